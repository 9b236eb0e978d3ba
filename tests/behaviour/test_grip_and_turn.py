"""Slip and turning on soft ground: the same ground that holds or not, by its group, its water and the day's rain."""

import datetime as dt
from itertools import pairwise

import pytest

from pickrig.checks import Case
from pickrig.checks.grips import grips as grips_of
from pickrig.checks.ground.site import draw_site
from pickrig.inputs import read_job
from pickrig.plans.pick.answer import pick
from tests.conftest import english


@pytest.fixture
def job(tmp_path, rules):
    def make(ground, task='kind = "move loose material"\nload = "1,200 lb"\nsplit = true', weather=""):
        path = tmp_path / "job.toml"
        path.write_text(
            f'title = "invented"\n[task]\n{task}\n[ground]\n{ground}\n[access]\ngate = "open"\n{weather}',
            encoding="utf-8",
        )
        return read_job(path, rules)

    return make


def grips(job, fleet, rules):
    return {s.machine.name: s.finding("grips") for s in pick(job, fleet, rules, draws=1000).ranking}


def weather(rain_on_the_day, rain_before=0.0, days=21):
    """Three warm weeks of August and the day itself."""
    first = dt.date(2026, 8, 1)
    listed = "".join(
        f'[[weather.days]]\ndate = {first + dt.timedelta(d)}\nrain = "{rain_before} mm"\ntmin = "16 C"\ntmax = "30 C"\n'
        for d in range(days)
    )
    last = first + dt.timedelta(days)
    listed += f'[[weather.days]]\ndate = {last}\nrain = "{rain_on_the_day} mm"\ntmin = "16 C"\ntmax = "30 C"\n'
    return f'[weather]\njob_day = {last}\ntoday = {last - dt.timedelta(1)}\nlatitude = "44 deg"\n{listed}'


def test_fat_clay_under_water_is_no_work_for_anybody(job, fleet, rules):
    found = grips(job('soil = "fat clay"\nstanding_water = true'), fleet, rules)
    assert {f.verdict for f in found.values()} == {"no-go"}
    assert "turn" in english(found["Wide-track 68"].says)


def test_fat_clay_slips_worse_than_silt_under_the_same_water(job, fleet, rules):
    clay, silt = (grips(job(f'soil = "{s}"\nstanding_water = true'), fleet, rules) for s in ("fat clay", "silt"))
    for name in clay:
        assert clay[name].chance <= silt[name].chance


TASK = 'kind = "move loose material"\nload = "1,200 lb"\nsplit = true'


def test_sticky_clay_packs_tracks_and_not_tires(job, fleet, rules):
    loose, stuck = (
        grips(job(f'soil = "lean clay"\nwetness = "moist"\nsticky = {s}'), fleet, rules) for s in ("false", "true")
    )
    for name in ("Tracked 64", "Wide-track 68", "Stand-on 36"):
        assert stuck[name].value < 0.8 * loose[name].value
        assert "Mud packs the tracks" in english(stuck[name].says)
        assert "Mud" not in english(loose[name].says)
    for name in ("Wheeled 60", "Wheeled 66", "Articulated 45"):
        assert stuck[name].value == loose[name].value


@pytest.mark.parametrize(
    ("soil", "wetness", "packs"),
    [
        ("fat clay", "wet", True),
        ("lean clay", "wet", True),
        ("fat clay", "dry", False),
        ("silt", "moist", False),
        ("silty sand", "wet", False),
    ],
)
def test_clay_over_its_plastic_limit_packs(job, fleet, rules, soil, wetness, packs):
    found = grips(job(f'soil = "{soil}"\nwetness = "{wetness}"'), fleet, rules)["Tracked 64"]
    assert ("Mud packs" in english(found.says)) is packs


def test_packed_tracks_freeze_where_frost_is_ahead(job, fleet, rules):
    ground = 'soil = "fat clay"\nwetness = "wet"\ntemperature = "{}"'
    cold, warm = (english(grips(job(ground.format(t)), fleet, rules)["Tracked 64"].says) for t in ("-3 C", "12 C"))
    assert "freeze solid" in cold
    assert "freeze" not in warm


@pytest.mark.parametrize("soil", ["lean clay", "fat clay", "silt"])
def test_wetter_is_never_grippier(job, fleet, rules, soil):
    waters = [f'moisture = ["{w - 1} %", "{w} %", "{w + 1} %"]' for w in range(14, 46, 4)]
    found = [grips(job(f'soil = "{soil}"\n{water}'), fleet, rules)["Tracked 64"] for water in waters]
    assert all(a.value >= b.value - 0.01 for a, b in pairwise(found))
    stuck, under = (
        grips(job(f'soil = "{soil}"\n{g}\nsticky = true'), fleet, rules)["Tracked 64"]
        for g in ('wetness = "wet"', "standing_water = true")
    )
    assert under.value <= stuck.value


@pytest.mark.parametrize("name", ["Wheeled 60", "Tracked 64"])
def test_worn_lugs_slip_on_slick_clay_and_not_on_dry(job, fleet, rules, name):
    machine = next(m for m in fleet.machines if m.name == name)
    gear = "tracks" if machine.tracks else "tyres"

    def value(state, ground):
        worn = getattr(machine, gear).model_copy(update={"tread_state": state})
        job_of_it = job(f'soil = "fat clay"\nsticky = false\n{ground}', TASK, "" if "wetness" in ground else weather(6))
        site = draw_site(job_of_it, rules, 1000)
        return grips_of(Case(job_of_it, machine.model_copy(update={gear: worn}), site, rules)).value

    rained = 'cover = "grass"'
    assert value("bald", rained) < value("half", rained) < value("new", rained) == value(None, rained)
    assert value("bald", 'wetness = "dry"') == value("new", 'wetness = "dry"')


def test_boards_carry_and_grip_where_the_mud_does_not(job, fleet, rules):
    ground, boards = 'soil = "lean clay"\nwetness = "wet"', f'{TASK}\nturning = "on boards"'
    bare, laid = (pick(job(ground, task), fleet, rules, draws=1000) for task in (TASK, boards))
    for before in bare.ranking:
        after = next(s for s in laid.ranking if s.machine.name == before.machine.name)
        assert after.finding("floats").chance > before.finding("floats").chance + 0.05
        assert after.finding("grips").chance >= before.finding("grips").chance


def test_wheels_that_still_drive_straight_may_not_turn(job, fleet, rules):
    found = grips(job('soil = "lean clay"\nwetness = "wet"'), fleet, rules)
    assert "turn" in english(found["Wheeled 60"].says)
    steered = english(found["Articulated 45"].says)
    assert "turn" not in steered  # it drives round


def test_wider_turns_ask_for_less(job, fleet, rules):
    def chance(turning):
        task = f'kind = "move loose material"\nload = "1,200 lb"\nsplit = true\nturning = "{turning}"'
        return grips(job('soil = "lean clay"\nwetness = "wet"', task), fleet, rules)["Wheeled 60"].chance

    assert chance("on the spot") <= chance("ordinary") <= chance("wide")


def test_on_dry_ground_turning_says_nothing(job, fleet, rules):
    for found in grips(job('soil = "lean clay"\nwetness = "dry"'), fleet, rules).values():
        assert found.verdict == "go"
        assert "turn" not in english(found.says)


def test_three_dry_weeks_of_august_are_no_wet_grass(job, fleet, rules):
    travel = 'cover = "grass"\nsoil = "lean clay"\ntravel = { turf = "100 %" }'
    dry = grips(job(travel, weather=weather(0)), fleet, rules)
    wet = grips(job(travel, weather=weather(12)), fleet, rules)
    assert "turf wet" not in english(dry["Wheeled 60"].says)
    assert all(wet[name].value < dry[name].value for name in dry)


def test_rain_on_the_day_makes_clay_slick_and_gravel_not(job, fleet, rules):
    ground = 'cover = "grass"\nsoil = "{}"'
    for soil, slick in (("fat clay", True), ("gravel", False)):
        dry, rained = (grips(job(ground.format(soil), weather=weather(mm)), fleet, rules) for mm in (0, 6))
        for name in dry:
            assert (rained[name].value < 0.9 * dry[name].value) is slick, (soil, name)


def test_a_bucket_is_filled_where_the_pile_is(job, fleet, rules):
    ground = 'soil = "lean clay"\nwetness = "moist"\ngrade = "{}"'
    level, steep = (english(grips(job(ground.format(g)), fleet, rules)["Wheeled 60"].says) for g in ("0.5 %", "18 %"))
    assert "pushing up" not in level + steep
    grading = 'kind = "cut grade"\npush = "2,500 lbf"'
    assert "pushing up" in english(grips(job(ground.format("18 %"), grading), fleet, rules)["Wheeled 60"].says)


def test_no_push_is_an_answer(job, fleet, rules):
    task = 'kind = "move loose material"\nload = "1,200 lb"\nsplit = true\npush = "0 lbf"'
    for found in grips(job('soil = "lean clay"\nwetness = "moist"', task), fleet, rules).values():
        assert "pushing" not in english(found.says)


@pytest.mark.parametrize(("word", "group"), [("muck", "PT"), ("topsoil", "ML"), ("black topsoil", "ML")])
def test_muck_is_peat_and_topsoil_is_loam(job, word, group):
    assert job(f'soil = "{word}"\nwetness = "moist"').ground.soil == group


def test_a_load_goes_down_a_slope_as_every_crew_takes_it(job, fleet, rules):
    task = 'kind = "carry pallets"\nload = "1,700 lb"\npieces = 4'
    ground = 'soil = "lean clay"\nwetness = "dry"\ngrade = "12 %"'
    found = {s.machine.name: s.finding("lifts") for s in pick(job(ground, task), fleet, rules, draws=500).ranking}
    assert found["Wide-track 68"].verdict != "no-go"
    assert "arms level, it tips" not in english(found["Wide-track 68"].says)


@pytest.mark.parametrize("soil", ["gravel", "silty sand"])
def test_grass_stays_wet_the_day_after_rain(job, fleet, rules, soil):
    ground = f'soil = "{soil}"\ndrainage = "sloping"\ncover = "grass"\ngrade = "22 %"\ntravel = {{ turf = "100 %" }}'
    task = 'kind = "carry pallets"\nload = "1,600 lb"\nsplit = true'
    unsaid = grips(job(ground, task), fleet, rules)
    rained = grips(job(ground, task, weather(0, rain_before=25)), fleet, rules)
    for name in unsaid:
        assert rained[name].chance == pytest.approx(unsaid[name].chance, abs=0.02)


def test_a_turn_hides_no_other_no(job, fleet, rules):
    ground = (
        'soil = "fat clay"\nstanding_water = true\ngrade = "4 %"\ntemperature = "-6 C"\n'
        'travel = { "site soil" = "50 %", ice = "50 %" }'
    )
    on_both = grips(job(ground), fleet, rules)
    on_ice = grips(job(ground.replace('"site soil" = "50 %", ice = "50 %"', 'ice = "100 %"')), fleet, rules)
    for name, found in on_ice.items():
        if found.verdict == "no-go":
            assert on_both[name].verdict == "no-go"


def test_who_must_turn_on_the_spot_is_not_told_to_turn_wide(job, fleet, rules):
    task = 'kind = "move loose material"\nload = "1,200 lb"\nsplit = true\nturning = "on the spot"'
    found = grips(job('soil = "fat clay"\nstanding_water = true', task), fleet, rules)
    assert {f.verdict for name, f in found.items() if name != "Articulated 45"} == {"no-go"}


def test_a_load_set_high_on_a_slope_is_derated(job, fleet, rules):
    def most(high):
        task = f'kind = "carry pallets"\nload = "1,900 lb"\n{high}'
        ground = 'soil = "lean clay"\nwetness = "dry"\ngrade = "30 %"'
        return pick(job(ground, task), fleet, rules, draws=500)

    low, high = most(""), most('set_height = "8 ft"')
    verdicts = [
        {s.machine.name: s.finding("lifts").verdict for s in answer.ranking}["Wheeled 66"] for answer in (low, high)
    ]
    assert verdicts[1] == "no-go" != verdicts[0]
    assert "sets down on level ground" in english(low.assumed)


def test_a_soil_known_by_its_ribbon_slips_as_the_worst_it_may_be(job, fleet, rules):
    named, felt = (
        grips(job(f"{soil}\nstanding_water = true"), fleet, rules)["Articulated 45"]
        for soil in ('soil = "fat clay"', 'ribbon = "over 2 in"')
    )
    assert felt.chance == pytest.approx(named.chance, abs=0.15)


def test_rain_in_the_night_still_makes_it_slick(job, fleet, rules):
    ground = 'soil = "fat clay"\ncover = "grass"\ndrainage = "sloping"\ngrade = "12 %"'
    dry = grips(job(ground, weather=weather(0)), fleet, rules)
    before = grips(job(ground, weather=weather(0, rain_before=12, days=1)), fleet, rules)
    assert all(before[name].chance <= dry[name].chance for name in dry)
    assert before["Articulated 45"].value < 0.9 * dry["Articulated 45"].value


def test_on_sand_pressure_load_and_kind_of_tire_count(job, fleet, rules):
    def chance(load, **tyres):
        machine = next(m for m in fleet.machines if m.name == "Wheeled 60")
        changed = machine.model_copy(update={"tyres": machine.tyres.model_copy(update=tyres)})
        one = fleet.model_copy(update={"machines": [changed]})
        task = f'kind = "carry pallets"\nload = "{load}"\nsplit = true'
        answer = pick(job('soil = "sand"\nwetness = "moist"', task), one, rules, draws=1000)
        return answer.ranking[0].finding("floats").chance

    assert chance("1,400 lb", inflation=100e3) > chance("1,400 lb", inflation=450e3)
    assert chance("300 lb") >= chance("1,400 lb")
    assert chance("1,400 lb") > chance("1,400 lb", kind="solid")


def test_flooded_sand_is_weaker_than_dry_and_damp_is_best(job, fleet, rules):
    def chances(ground):
        found = pick(job(f'soil = "sand"\n{ground}'), fleet, rules, draws=1000).ranking
        return {s.machine.name: s.finding("floats").chance for s in found}

    dry, moist, flooded = (chances(g) for g in ('wetness = "dry"', 'wetness = "moist"', "standing_water = true"))
    for name in dry:
        assert flooded[name] <= dry[name] <= moist[name]
    assert dry["Wheeled 60"] < 0.5 < dry["Wide-track 68"]
