"""One number for each step of each check, worked out here by hand from the shipped fleet and rules."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner

from pickrig.checks import Case, ask_all
from pickrig.checks.carrying import carry
from pickrig.checks.floats import floats
from pickrig.checks.ground.site import draw_site
from pickrig.checks.tyres import deflection
from pickrig.cli import app
from pickrig.errors import OutputError
from pickrig.inputs import read_fleet, read_job
from pickrig.plans.pick.answer import pick
from tests.conftest import english, values

INCH, LB, G, PSI = 0.0254, 0.45359237, 9.80665, 6894.757293168


@pytest.fixture
def case_of(rules, fleet, muddy_lot):
    """A case of one shipped machine on the muddy lot, with parts of the job changed."""

    def case(name, machines=fleet, ground=None, task=None, access=None):
        changes = {"ground": ground or {}, "task": task or {}, "access": access or {}}
        job = muddy_lot.model_copy(
            update={part: getattr(muddy_lot, part).model_copy(update=change) for part, change in changes.items()}
        )
        machine = next(m for m in machines.machines if m.name == name)
        return Case(job, machine, draw_site(job, rules, 1000), rules)

    return case


def finding(case, check):
    return next(f for f in ask_all(case) if f.check == check)


def test_standing_ratio_is_capacity_over_peak_pressure(case_of):
    # cu in the worst tenth, Nc 5.14 (1 + 0.2 B/L is Vesic's 1 + B/(L Nc)), over the peak of the track
    case = case_of("Wide-track 68")
    loading = carry(case)
    total = loading.mass + loading.payload
    length, width = 62 * INCH, 17.7 * INCH
    offset = (
        loading.payload * (length / 2 + loading.low_reach) - loading.mass * length * (loading.rear_share - 0.5)
    ) / total
    assert abs(offset) < length / 6
    peak = total * G / (2 * width * length) * (1 + 6 * abs(offset) / length)
    effective = length - 2 * abs(offset)
    capacity = case.site.undrained_tenths[0] * (2 + np.pi + width / effective)
    beside = floats(case).told.beside
    assert f"that is {capacity / peak:.1f}, " in english(beside)
    assert "did not decide" in english(beside)


def test_granular_ground_never_orders_mats(case_of):
    for name in ("Wheeled 66", "Wide-track 68"):
        beside = floats(case_of(name, ground={"soil": "GW", "wetness": "dry"})).told.beside
        assert values(beside, "footing.grains")["friction"] == 38
        assert "mats" not in english(beside)


def test_gravel_draws_lie_evenly_by_factor_over_its_band(case_of):
    strength = case_of("Wheeled 66", ground={"soil": "GM", "wetness": "wet"}).site.strength / PSI
    assert strength.min() == pytest.approx(25, rel=0.02)
    assert strength.max() == pytest.approx(120, rel=0.02)
    assert np.median(strength) == pytest.approx(np.sqrt(25 * 120), rel=0.06)


@pytest.mark.parametrize(
    ("attachment", "height", "verdict"),
    # Wheeled 60: hinge pin 114 in; forks 0.15 m below it, a bucket dumps 0.60 m below it
    [("pallet forks", 108, "caution"), ("pallet forks", 109, "no-go"), ("bucket", 90, "go"), ("bucket", 91, "no-go")],
)
def test_height_to_set_down_or_dump(case_of, attachment, height, verdict):
    case = case_of("Wheeled 60", task={"attachment": attachment, "set_height": height * INCH})
    assert finding(case, "lifts").verdict == verdict


def test_half_a_turn_on_the_spot(case_of):
    # Wide-track 68: 146 in with a 0.80 m bucket, forks 1.32 m: 166.5 in; half the 62 in contact and 0.95 m behind it
    case = case_of("Wide-track 68", access={"gate": None, "aisle": 4.6})
    rear = 31 * INCH + 0.95
    front = 146 * INCH - 0.80 + 1.32 - rear
    needs = np.hypot(front, 1.22 / 2) + np.hypot(rear, 68 * INCH / 2)
    assert finding(case, "fits").value == pytest.approx((4.6 - needs) / 2, abs=1e-9)


def test_a_gate_just_wide_enough_is_not_shut_by_rounding(case_of):
    for inches in range(40, 120):  # whole inches turned into metres and back miss by a hair now and then
        case = case_of("Stand-on 36", access={"gate": float("inf"), "headroom": (inches + 1) * INCH})
        exact = replace(case, machine=case.machine.model_copy(update={"height": inches * INCH}))
        assert finding(exact, "fits").verdict == "caution", inches
    case = case_of("Stand-on 36", access={"headroom": 56 * INCH, "gate": float("inf")})
    assert finding(case, "fits").verdict == "caution"
    tight = case_of("Stand-on 36", access={"headroom": 55.9 * INCH, "gate": float("inf")})
    assert finding(tight, "fits").verdict == "no-go"


def test_all_places_that_fail_are_told(case_of):
    says = finding(case_of("Articulated 45", access={"gate": 42 * INCH, "headroom": 80 * INCH}), "fits").says
    assert "gate is 42 in" in english(says)
    assert "headroom is 80 in" in english(says)


def test_solid_tyres_last_three_times_as_long(edited, rules, case_of):
    solid = read_fleet(edited("fleet.toml", ('kind = "pneumatic"', 'kind = "solid"')), rules)
    assert solid.machines[1].tyres.kind == "solid"
    soft, hard = (finding(case_of("Wheeled 60", machines=m), "wears").value for m in (read_fleet_default(rules), solid))
    assert hard == pytest.approx(soft / 3)
    # 80 % soil at 1,000 h and 20 % asphalt at 600 h: 882 h; $1,900 a set
    assert soft == pytest.approx(1900 * (0.8 / 1000 + 0.2 / 600))


def read_fleet_default(rules):
    return read_fleet(Path(__file__).parents[2] / "examples" / "fleet.toml", rules)


def test_tyre_deflection_by_kind_and_its_end(case_of):
    case = case_of("Wheeled 60")
    # 0.008 + 0.001 (0.365 + 170/310.3 kPa) 10 kN; never over a third of 0.70 x 10.5 in
    assert deflection(case, 10e3) == pytest.approx(0.008 + 0.001 * (0.365 + 170 / (45 * 6.894757)) * 10)
    assert deflection(case, 500e3) == pytest.approx(0.70 * 10.5 * INCH / 3)


def test_the_layer_that_decides_goes_by_the_loaded_wheel(case_of):
    # Wheeled 60 loaded: over 2,000 lbf on a front wheel, 6 to 12 in; on tracks under 4 psi, 3 to 9 in
    loaded = values(floats(case_of("Wheeled 60")).told.working, "floats.layer")
    assert loaded == pytest.approx({"top": 6 * INCH, "bottom": 12 * INCH})
    light = case_of("Stand-on 36", task={"load": 10.0})
    mean = (carry(light).mass + 10) * G / (2 * 9.8 * 42 * INCH**2) / PSI
    top, bottom = (3, 9) if mean < 4 else (6, 12)
    layer = values(floats(light).told.working, "floats.layer")
    assert layer == pytest.approx({"top": top * INCH, "bottom": bottom * INCH})


def test_frost_has_to_carry_the_load_too(case_of):
    found = [floats(case_of("Wheeled 66", ground={"frost": 0.09}, task={"load": load})) for load in (50.0, 900.0)]
    assert found[0].chance > found[1].chance


def test_deeper_frost_is_never_worse_and_has_no_cliff(case_of):
    depths = np.linspace(0.01, 0.35, 35)
    found = [floats(case_of("Wheeled 66", ground={"frost": depth})) for depth in depths]
    chances = [finding.chance for finding in found]
    assert chances == sorted(chances)
    assert np.max(np.diff(chances)) < 0.25  # a centimetre of frost, which nobody measures closer
    assert chances[-1] == 1.0
    assert {f.verdict for f, depth in zip(found, depths, strict=True) if 0.1 < depth < 0.15} == {"caution"}
    assert found[-1].verdict == "go"


def test_the_heavier_machine_never_rides_on_frost_that_drops_the_lighter(case_of):
    for depth in np.linspace(0.03, 0.2, 18):
        light, heavy = (floats(case_of(name, ground={"frost": depth})) for name in ("Wheeled 60", "Wheeled 66"))
        if "frozen" in english(light.says) + english(heavy.says):
            assert light.chance >= heavy.chance


def test_frost_gives_drained_sand_no_grip(case_of):
    frozen, open_ground = (
        finding(case_of("Wheeled 66", ground={"soil": "SP", "wetness": "dry", "grade": 0.1, "frost": frost}), "grips")
        for frost in (6 * INCH, None)
    )
    assert frozen.value == open_ground.value


def test_a_frost_too_thin_to_add_anything_sets_no_condition(case_of):
    thin = floats(case_of("Wide-track 68", ground={"frost": 0.8 * INCH}))
    assert thin.chance == floats(case_of("Wide-track 68")).chance
    assert thin.provided is None


def test_thin_frost_over_muck_is_not_trusted(case_of):
    muck = {"soil": "OH", "standing_water": True, "wetness": None, "frost": 2 * INCH}
    found = floats(case_of("Wheeled 66", ground=muck))
    assert found.verdict == "no-go"
    assert "too thin to count" in english(found.says)


def test_flooded_sand_is_never_a_plain_go(case_of):
    found = floats(case_of("Wide-track 68", ground={"soil": "SP", "wetness": None, "standing_water": True}))
    assert found.verdict == "caution"
    assert "quick" in english(found.says)


def test_a_machine_that_tips_on_level_ground_is_told(edited, rules, case_of):
    nose_heavy = read_fleet(
        edited("fleet.toml", ('tipping_share = "35 %"', 'tipping_share = "35 %"\nrear_share = "100 %"')), rules
    )
    found = floats(case_of("Stand-on 36", machines=nose_heavy))
    assert found.verdict == "no-go"
    assert "tip over" in english(found.says)


def test_contradicting_tests_are_told_and_the_weaker_believed(answer_to):
    weak = answer_to(('wetness = "wet"', 'wetness = "wet"\nthumb = "fist easily"'))
    both = answer_to(('wetness = "wet"', 'wetness = "wet"\nthumb = "fist easily"\ncone = "300 psi"'))
    assert both.ranking[0].finding("floats").chance == weak.ranking[0].finding("floats").chance
    assert any("CONTRADICT" in english(note) for note in both.assumed)


@pytest.mark.parametrize("result", ["fist easily", "thumb easily", "thumb with effort", "thumbnail"])
def test_a_test_weighs_alike_whatever_was_guessed_before(chances_on, result):
    guesses = [('wetness = "wet"', f'wetness = "{wetness}"\nthumb = "{result}"') for wetness in ("wet", "moist", "dry")]
    chances = [chances_on(guess)["Wide-track 68"] for guess in guesses]
    assert chances == sorted(chances)


def test_a_job_without_a_load_is_a_proviso_not_a_knock_out(edited, rules, fleet):
    job = read_job(
        edited("muddy-lot.toml", ('load = "1,600 lb"          # one pallet of pavers as delivered\n', "")), rules
    )
    answer = pick(job, fleet, rules)
    assert answer.pick is not None
    assert any("weight of one load" in english(proviso) for proviso in answer.provisos)


def test_outputs_never_overwrite_inputs_or_each_other(edited, tmp_path):
    job, fleet = edited("muddy-lot.toml"), edited("fleet.toml")
    before = job.read_text()
    for more in (["-o", str(job)], ["--json", str(fleet)], ["-o", "a.html", "--json", "a.html"], ["-o", "-"]):
        result = CliRunner().invoke(app, ["pick", str(job), "--fleet", str(fleet), *more])
        assert isinstance(result.exception, OutputError), more
    for odd in (["-o", "/dev/null"], ["-o", str(tmp_path / ("x" * 300))]):
        result = CliRunner().invoke(app, ["pick", str(job), "--fleet", str(fleet), *odd])
        assert isinstance(result.exception, OutputError), odd
    assert job.read_text() == before


def slope(case_of, name="Wheeled 66", **ground):
    return finding(case_of(name, ground=ground), "climbs")


def test_the_heavy_end_goes_uphill_and_steeper_is_never_easier(case_of):
    loaded = values(slope(case_of, grade=0.15).told.working, "climbs.loaded")
    assert loaded["θ"] > loaded["wrong"]  # loaded, the load uphill tips later than the load downhill
    used = [slope(case_of, grade=g).value for g in (0.05, 0.1, 0.2, 0.4, 0.8)]
    assert used == sorted(used)
    assert slope(case_of, grade=0.05).verdict == "go"
    assert slope(case_of, grade=0.8).verdict == "no-go"


def test_a_raised_load_counts_and_a_narrow_machine_tips_sooner(case_of):
    told = slope(case_of, grade_across=0.1)
    low, raised = (values(told.told.working, key)["θ"] for key in ("climbs.across", "climbs.raised"))
    assert raised < low
    assert told.value == pytest.approx(np.degrees(np.arctan(0.1)) / raised)
    higher = finding(case_of("Wheeled 66", ground={"grade_across": 0.1}, task={"set_height": 2.4}), "climbs")
    assert higher.value > told.value
    assert slope(case_of, "Stand-on 36", grade_across=0.1).value > told.value


def test_across_over_ten_degrees_needs_the_manual(case_of, edited, rules):
    assert slope(case_of, grade_across=0.19).verdict == "no-go"
    assert "only if the manual allows it" in english(slope(case_of, grade_across=0.19).says)
    text = ('gauge = "54 in"', 'gauge = "54 in"\nmax_grade_across = "12 deg"')
    allowed = read_fleet(edited("fleet.toml", text), rules)
    case = case_of("Wheeled 66", machines=allowed, ground={"grade_across": 0.19})
    assert finding(case, "climbs").verdict == "go"
    steeper = case_of("Wheeled 66", machines=allowed, ground={"grade_across": 0.22})
    assert finding(steeper, "climbs").verdict == "no-go"
    assert "The plate or the manual allows 12°" in english(finding(steeper, "climbs").says)


def test_level_ground_asks_for_no_figures(case_of):
    assert "climbs" not in {f.check for f in ask_all(case_of("Wheeled 66"))}
    assert slope(case_of, grade=0.0).value == 0
