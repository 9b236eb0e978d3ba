"""What a dispatcher knows of a site and could not say before: each moves the answer the way it should."""

import itertools

import pytest

from pickrig.errors import InputError
from pickrig.inputs import read_fleet, read_job
from pickrig.plans.pick.answer import pick
from pickrig.plans.pick.ranking import weigh
from tests.conftest import EXAMPLES, english

DRY = 'soil = "gravel"\nwetness = "dry"'


@pytest.fixture
def job(tmp_path, rules):
    def make(ground=DRY, task='load = "900 lb"\npieces = 10', kind="move loose material", more=""):
        path = tmp_path / "job.toml"
        text = f'title = "invented"\n[task]\nkind = "{kind}"\n{task}\n[ground]\n{ground}\n'
        text += f'[access]\ngate = "open"\n{more}\n'
        path.write_text(text, encoding="utf-8")
        return read_job(path, rules)

    return make


@pytest.fixture
def found(fleet, rules):
    def find(job, check, name="Tracked 64", machines=None):
        answer = pick(job, machines or fleet, rules, draws=2000)
        return next(s for s in answer.ranking if s.name == name).finding(check)

    return find


def edited_fleet(edited, rules, *replacements):
    return read_fleet(edited("fleet.toml", *replacements), rules)


# ---- the site decides what counts


def test_the_same_yard_ranks_alike_whatever_the_work_is_called(job, rules):
    yard = 'travel = { "concrete" = "100 %" }\nslab = "6 in"'
    called = [weigh(job(yard, kind=kind), rules) for kind in ("move loose material", "work on finished paving")]
    assert called[0] == called[1]


@pytest.mark.parametrize(
    ("ground", "question", "place"),
    [
        ('travel = { "asphalt" = "100 %" }\ntemperature = "95 F"\nnew_asphalt = true', "spares_surface", 0),
        (f'{DRY}\ntravel = {{ "turf" = "50 %", "site soil" = "50 %" }}', "spares_surface", 1),
        (f'{DRY}\ngrade = "20 %"', "climbs", 2),
    ],
)
def test_what_the_site_has_comes_forward_and_says_why(job, rules, fleet, ground, question, place):
    at = job(ground)
    assert list(weigh(at, rules)).index(question) == place
    assert f"comes number {place + 1} of what counts" in english(pick(at, fleet, rules, draws=200).weighed)


def test_new_asphalt_in_the_heat_refuses_what_skids_and_not_what_steers(job, found):
    ground = 'travel = {{ "asphalt" = "100 %" }}\ntemperature = "{air} F"\nnew_asphalt = {new}'
    hot, cool, old = (
        job(ground.format(air=air, new=new), kind="work on finished paving")
        for air, new in ((95, "true"), (60, "true"), (95, "false"))
    )
    assert found(hot, "spares_surface").verdict == "no-go"
    assert "cool morning" in english(found(hot, "spares_surface").remedy)
    assert found(cool, "spares_surface").verdict == found(old, "spares_surface").verdict == "caution"
    assert found(hot, "spares_surface", "Articulated 45").verdict == "go"
    boards = job(ground.format(air=95, new="true"), 'load = "900 lb"\nturning = "on boards"', "work on finished paving")
    assert found(boards, "spares_surface").verdict == "go"


def test_rubble_on_a_stretch_warns_and_does_not_wear_the_whole_way(job, found):
    strip = '[[stretch]]\nsurface = "demolition rubble"\nlength = "3 ft"\n'
    plain, rubble = found(job(), "wears"), found(job(more=strip), "wears")
    assert rubble.value == plain.value
    assert rubble.verdict == "caution"


def test_sharp_debris_wears_rubber_more_the_softer_it_is(job, found, edited, rules):
    sharp, clean = job(more="[hazards]\ndebris = true"), job()
    dearer = []
    for kind in ("pneumatic", "foam-filled", "solid"):
        fleet = edited_fleet(edited, rules, ('kind = "pneumatic"', f'kind = "{kind}"'))
        name = next(m.name for m in fleet.machines if m.tyres)
        dearer.append(found(sharp, "wears", name, fleet).value / found(clean, "wears", name, fleet).value)
    assert dearer[0] > dearer[1] > dearer[2] == pytest.approx(1)
    assert found(sharp, "wears").verdict == "caution"
    assert "throws a track" in english(found(sharp, "wears").says)


def test_a_tyre_of_many_plies_stands_debris_better(job, found, edited, rules):
    sharp = job(more="[hazards]\ndebris = true")
    plain, plies = (
        edited_fleet(edited, rules, ('kind = "pneumatic"', f'kind = "pneumatic"{more}'))
        for more in ("", "\nplies = 14")
    )
    name = next(m.name for m in plain.machines if m.tyres)
    assert found(sharp, "wears", name, plies).value < found(sharp, "wears", name, plain).value


# ---- loads and tools


def test_loads_that_only_go_down_ask_less_of_grip_and_ground(job, found):
    slope = 'soil = "lean clay"\nwetness = "wet"\ngrade = "15 %"\nloaded = "{way}"'
    both, up, down = (job(slope.format(way=way)) for way in ("both ways", "uphill", "downhill"))
    chances = [found(one, "floats").chance for one in (both, up, down)]
    assert chances[2] > chances[1] >= chances[0]
    lawn = 'soil = "lean clay"\nwetness = "moist"\ntravel = {{ "turf" = "100 %" }}\ngrade = "15 %"\nloaded = "{way}"'
    ratios = [found(job(lawn.format(way=way)), "grips").value for way in ("uphill", "downhill")]
    assert ratios[1] >= ratios[0]


def test_a_bucketful_is_what_its_own_bucket_holds_and_no_more_than_it_may_carry(job, found, rules, fleet):
    own = pick(job(task='bucketful = true\nvolume = "6 yd3"'), fleet, rules, draws=200)
    assert all(s.finding("lifts").verdict in ("go", "caution") for s in own.ranking)
    heavy = found(job(task='load = "1,600 lb"'), "floats", "Stand-on 36")
    own_load = found(job(task="bucketful = true"), "floats", "Stand-on 36")
    assert max(d.strength for d in own_load.demands) <= max(d.strength for d in heavy.demands)


def test_a_wider_bucket_takes_fewer_trips(job, found):
    narrow, wide = (
        found(job(task=f'volume = "20 yd3"\nbucketful = true\nattachment_width = "{width} in"'), "produces")
        for width in (60, 72)
    )
    assert wide.seconds < narrow.seconds


@pytest.mark.parametrize(
    ("task", "kind", "says"),
    [
        ("bucketful = true\npieces = 4", "move loose material", "give volume"),
        ("bucketful = true", "carry pallets", "another attachment"),
        ('bucketful = true\nload = "900 lb"', "move loose material", "keep one"),
    ],
)
def test_a_bucketful_of_something_else_is_told(job, task, kind, says):
    with pytest.raises(InputError) as told:
        job(task=task, kind=kind)
    assert says in english(told.value.problems)


def test_a_wider_tool_weighs_more_and_leaves_less_to_carry(job, found):
    narrow, wide = (job(task=f'load = "900 lb"\nattachment_width = "{width} in"') for width in (66, 96))
    assert found(wide, "lifts").value < found(narrow, "lifts").value


def test_a_machine_has_tools_of_its_own_width_and_the_job_has_the_last_word(job, found, edited, rules):
    name = 'name = "Tracked 64"'
    own = edited_fleet(edited, rules, (name, f'{name}\ntool_widths = {{ bucket = "90 in" }}'))
    told = job(task='load = "900 lb"')
    narrow = told.model_copy(update={"access": told.access.model_copy(update={"gate": 86 * 0.0254})})
    assert found(narrow, "fits").verdict == "go"
    assert found(narrow, "fits", machines=own).verdict == "no-go"
    back = narrow.model_copy(update={"task": narrow.task.model_copy(update={"attachment_width": 66 * 0.0254})})
    assert found(back, "fits", machines=own).verdict == "go"
    with pytest.raises(InputError) as fault:
        edited_fleet(edited, rules, (name, f'{name}\ntool_widths = {{ bukket = "90 in" }}'))
    assert "bucket" in english(fault.value.problems)


def test_a_tool_on_another_truck_lightens_the_trailer(job, found):
    rig = '[haul]\ntruck = "One-ton flatbed"\ntrailer = "Tilt deck, 14,000 lb"\n'
    shares = [found(job(more=rig + more), "hauls").value for more in ("", "tool_apart = true")]
    assert shares[1] < shares[0]


def test_a_machine_that_cannot_creep_stalls_the_trencher(job, found, edited, rules):
    trench = job(task='run = "200 ft"\nrun_per_hour = "100 ft"', kind="trench")
    fast, slow = (
        edited_fleet(edited, rules, ('name = "Tracked 64"', f'name = "Tracked 64"\ncreep_speed = "{pace} km/h"'))
        for pace in (0.5, 0.01)
    )
    assert "stalls" in english(found(trench, "powers", machines=fast).says)
    assert "stalls" not in english(found(trench, "powers", machines=slow).says)


def test_tracks_over_the_tyres_float_better_weigh_more_and_pass_less_narrow_gates(job, found, edited, rules):
    mud = job('soil = "lean clay"\nwetness = "wet"')
    name = 'name = "Wheeled 66"'
    over = '\nover_tyres = { mass = "1,000 lb", width = "15 in" }'
    bare, fitted = (edited_fleet(edited, rules, (name, name + more)) for more in ("", over))
    wheels, belts = (next(m for m in one.machines if m.name == "Wheeled 66") for one in (bare, fitted))
    assert belts.gear == "tracks"
    assert belts.mass == pytest.approx(wheels.mass + 1000 * 0.45359237)
    assert belts.width >= wheels.width
    assert found(mud, "floats", "Wheeled 66", fitted).chance > found(mud, "floats", "Wheeled 66", bare).chance


@pytest.mark.parametrize(
    "over",
    [
        'mass = "1,300 lb", width = "70 in"',
        'mass = "1,300 lb", width = "12 in", contact_length = "20 in"',
        'mass = "9,000 lb", width = "12 in"',
    ],
)
def test_tracks_over_tyres_that_cannot_be_are_told(edited, rules, over):
    name = 'name = "Wheeled 60"'
    with pytest.raises(InputError):
        edited_fleet(edited, rules, (name, f"{name}\nover_tyres = {{ {over} }}"))


# ---- the way


def test_dew_makes_grass_slick_on_soil_that_is_only_moist(job, found):
    lawn = 'soil = "lean clay"\nwetness = "moist"\ntravel = {{ "turf" = "100 %" }}\nwet_on_top = {wet}\ngrade = "12 %"'
    dry, wet = (found(job(lawn.format(wet=wet)), "grips") for wet in ("false", "true"))
    assert wet.value < dry.value


def test_a_stretch_nobody_knows_is_not_taken_for_the_ground_of_the_job(job, found):
    strip = '[[stretch]]\nsoil = "unknown"\nwetness = "wet"\n'
    assert found(job(DRY, more=strip), "floats").chance < found(job(DRY), "floats").chance


# ---- snow


@pytest.fixture
def time(tmp_path, rules):
    fleet = read_fleet(EXAMPLES / "snow-fleet.toml", rules)

    def clear(**keys):
        snow = {"depth": '"8 in"', "length": '"160 ft"', "breadth": '"180 ft"', "under": '"bare pavement"'} | keys
        path = tmp_path / "snow.toml"
        lines = "\n".join(f"{key} = {value}" for key, value in snow.items())
        path.write_text(
            f'title = "invented"\n[task]\nkind = "clear snow"\n[snow]\n{lines}\n[access]\ngate = "open"\n', "utf-8"
        )
        answer = pick(read_job(path, rules), fleet, rules, draws=2000)
        finding = answer.pick.finding("produces")
        cost = next(one for one in answer.costs if one.machine == answer.pick.name)
        return finding.seconds, english(finding.told.working), cost.work

    return clear


def test_a_second_machine_saves_time_and_not_money(time):
    alone, pair = time(), time(machines=2)
    assert 0.5 < pair[0] / alone[0] < 0.6
    assert pair[2] > alone[2]
    assert "2 machines do the work of" in pair[1]


def test_docks_and_snow_that_has_to_go_further_take_longer(time):
    plain, docks, far = time()[0], time(dock='"90 ft"'), time(beyond='"60 ft"')
    assert 60 < docks[0] - plain < 20 * 60
    assert "Dragging back" in docks[1]
    assert 1.15 < far[0] / plain < 2.2
    assert "k b" in far[1]


def test_each_further_machine_adds_less(time):
    times = [time(machines=n)[0] for n in (1, 2, 4, 8)]
    gains = [a / b for a, b in itertools.pairwise(times)]
    assert gains[0] > gains[1] > gains[2] > 1


@pytest.mark.parametrize(
    ("keys", "says"),
    [
        ({"beyond": '"40 ft"', "windrow": '"one side"'}, "cast aside"),
        ({"dock": '"5000 ft"'}, "longer than the lot"),
    ],
)
def test_snow_that_contradicts_itself_is_told(tmp_path, rules, keys, says):
    snow = {"depth": '"8 in"', "length": '"160 ft"', "breadth": '"180 ft"'} | keys
    lines = "\n".join(f"{key} = {value}" for key, value in snow.items())
    path = tmp_path / "snow.toml"
    tool = 'attachment = "snow blade"'
    path.write_text(f'title = "x"\n[task]\nkind = "clear snow"\n{tool}\n[snow]\n{lines}\n', encoding="utf-8")
    with pytest.raises(InputError) as told:
        read_job(path, rules)
    assert says in english(told.value.problems)
