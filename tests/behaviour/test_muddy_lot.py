"""The main job as its users meet it: does the answer say the right thing, and move the right way?"""

import itertools
import re

import pytest

from pickrig.facts import Ruled, Term
from tests.conftest import english


def chances(answer):
    return {s.name: s.finding("floats").chance for s in answer.ranking}


def test_the_wide_tracked_machine_goes_and_the_loaded_front_axle_is_what_sinks(answer_to):
    answer = answer_to()
    assert answer.pick.name == "Wide-track 68"
    assert 0.6 < answer.pick.finding("floats").chance < 0.9
    out = {s.name: s.finding("floats") for s in answer.ranking if not s.usable}
    assert set(out) == {"Wheeled 60", "Wheeled 66", "Articulated 45"}
    assert all("Loaded, its front axle needs" in english(finding.says) for finding in out.values())


def test_dry_gravel_changes_the_answer_to_wheels(answer_to):
    answer = answer_to(('soil = "lean clay"', 'soil = "gravel"'), ('wetness = "wet"', 'wetness = "dry"'))
    assert answer.pick.machine.gear == "tyres"
    assert all(chance > 0.99 for chance in chances(answer).values())
    assert answer.reasons[0].check != "floats"


def test_a_narrow_gate_leaves_the_walk_behind_with_its_trips(answer_to):
    answer = answer_to(('gate = "72 in"', 'gate = "40 in"'))
    assert [s.name for s in answer.ranking if s.usable] == ["Stand-on 36"]
    assert "42 trips for 14 loads" in english(answer.pick.finding("lifts").says)


def _printed(step):
    """The symbols of a printed step with their numbers."""
    given = re.findall(r"([A-Za-z_0-9]+) = (-?[0-9][0-9,]*\.?[0-9]*)", english(step).split("; ", 1)[1])
    return {name: float(number.replace(",", "")) for name, number in given}


def test_the_working_can_be_redone_by_hand_from_the_page_alone(answer_to):
    """Every figure below is read off the printed lines, nothing from the files or the code."""
    finding = next(s for s in answer_to().ranking if s.name == "Wheeled 66").finding("floats")
    axle, pressure, gives, index, needs = (_printed(step) for step in finding.told.working[:5])
    front = axle["W"] * (1 - axle["r"]) + axle["P"] * (axle["L"] + axle["a"]) / axle["L"]
    assert front == pytest.approx(axle["F"], abs=6)  # printed to 0.001 of r and whole lb
    assert 2 * pressure["P"] == pytest.approx(axle["F"], abs=2)
    assert 2 * pressure["P"] / (pressure["d"] * pressure["b"]) == pytest.approx(pressure["CPF"], abs=0.006)
    assert pressure["CPF"] == index["CPF"]
    given = 0.008 + 0.001 * (0.365 + 170 / (gives["p"] * 6.894757)) * gives["P"] * 4.4482e-3
    assert given / (gives["h"] * 0.0254) == pytest.approx(gives["ratio"], abs=6e-4)
    i = index
    mobility = (i["CPF"] * i["WF"] / (i["TEF"] * i["GF"]) + i["WLF"] - i["CF"]) * i["EF"] * i["TX"]
    assert mobility == pytest.approx(i["MI"], abs=0.1)
    assert (needs["MI"], needs["ratio"]) == (i["MI"], gives["ratio"])
    curve = needs["a"] + needs["b"] * needs["MI"] - needs["c"] / (needs["MI"] + needs["d"])
    assert curve * (0.15 / needs["ratio"]) ** 0.25 == pytest.approx(needs["VCI50"], abs=0.6)


LADDER = ["fist easily", "thumb easily", "thumb with effort", "thumb dents", "thumbnail", "thumbnail hardly"]


def test_a_stronger_thumb_test_never_lowers_the_chance(chances_on):
    tested = [chances_on(('wetness = "wet"', f'wetness = "wet"\nthumb = "{result}"')) for result in LADDER]
    for weaker, stronger in itertools.pairwise(tested):
        assert all(stronger[name] >= weaker[name] for name in weaker)
    before = chances_on()
    assert all(tested[2][name] < before[name] < tested[4][name] < 1 for name in before)


@pytest.mark.parametrize(
    ("weak", "strong"),
    [
        ('heel = "heel sinks 2 in"', 'heel = "heel no print"'),
        ('boot = "walking man sinks 2 in"', 'boot = "truck ruts 3 in"'),
        ('pocket = "0.4 tsf"', 'pocket = "2.5 tsf"'),
        ('dcp = "80 mm"', 'dcp = "20 mm"'),
        ('cone = "40 psi"', 'cone = "250 psi"'),
    ],
)
def test_every_test_moves_the_chance_its_own_way(chances_on, weak, strong):
    before = chances_on()
    soft, firm = (chances_on(('wetness = "wet"', f'wetness = "wet"\n{test}')) for test in (weak, strong))
    assert all(soft[name] < before[name] < firm[name] for name in before)


def test_a_ribbon_names_the_soil_when_nobody_can(answer_to):
    answer = answer_to(('soil = "lean clay"', 'ribbon = "over 2 in"'))
    assert answer.site.name == Term("unknown_soil")
    assert answer.pick is not None


def test_flips_hold_on_the_real_model(answer_to):
    answer = answer_to()
    gate = next(f for f in answer.flips if f.input == "gate")
    assert (gate.then_pick, gate.by) == ("Tracked 64", "knock-out")
    just_above, just_below = (f'gate = "{gate.at.value / 0.0254 + step} in"' for step in (0.1, -0.1))
    assert answer_to(('gate = "72 in"', just_above)).pick.name == "Wide-track 68"
    assert answer_to(('gate = "72 in"', just_below)).pick.name == "Tracked 64"
    dry = next(f for f in answer.flips if f.at == Ruled("dry"))
    assert answer_to(('wetness = "wet"', 'wetness = "dry"')).pick.name == dry.then_pick


def test_no_machine_fits(answer_to):
    answer = answer_to(('gate = "72 in"', 'gate = "30 in"'))
    assert answer.pick is None
    assert answer.runner_up is None
    assert "None of the 6 machines" in english(answer.answer)
    assert all("Take the gate leaf" in english(s.finding("fits").remedy) for s in answer.ranking)
    assert any(f.input == "gate" and f.then_pick == "Stand-on 36" for f in answer.flips)


@pytest.mark.parametrize(("soil", "word"), [("peat", "measured"), ("fill", "Probe"), ("ice", "authority")])
def test_ground_that_is_not_assessed_gets_no_number_and_no_pick(answer_to, soil, word):
    answer = answer_to(('soil = "lean clay"', f'soil = "{soil}"'))
    assert answer.pick is None
    for standing in answer.ranking:
        finding = standing.finding("floats")
        assert finding.verdict == "no-go"
        assert finding.chance is None
        assert word in english(finding.says)
    assert word in answer.cautions[0].says.text


def test_a_missing_gate_is_told_and_never_counts_as_good(answer_to):
    answer = answer_to(('gate = "72 in"\n', ""), ('headroom = "open"\n', ""))
    assert all(s.finding("fits").verdict == "unknown" for s in answer.ranking)
    assert "gate" in english(answer.provisos[0])
    position = list(answer.weights).index("fits")
    assert all(s.parts[position] == 0 for s in answer.ranking)


def test_frost_is_told_beside_what_the_ground_holds_without_it(answer_to):
    frozen = answer_to(('wetness = "wet"', 'wetness = "wet"\nfrost = "4 in"'))
    finding = frozen.pick.finding("floats")
    assert finding.verdict == "caution"
    assert "Thawed, the ground holds it" in english(finding.says)
    assert "0.825 σ h²" in english(finding.told.working)
    deep = answer_to(('wetness = "wet"', 'wetness = "wet"\nfrost = "14 in"'))
    assert deep.pick.finding("floats").verdict == "go"
    assert deep.pick.finding("floats").chance == 1
    thin = answer_to(('wetness = "wet"', 'wetness = "wet"\nfrost = "1 in"'))
    assert not all(s.usable for s in thin.ranking)


def test_own_weights_are_used_and_named(answer_to):
    answer = answer_to(("[access]", '[weights]\nranking = ["wears", "fits", "lifts", "climbs", "floats"]\n\n[access]'))
    # level ground asks nothing of slopes; questions the job does not name follow as its kind
    # of work has them, marks moved up by the asphalt
    assert list(answer.weights) == ["wears", "fits", "lifts", "floats", "spares_surface", "produces", "grips"]
    assert "own weights" in english(answer.weighed)
    assert answer.pick.name == "Stand-on 36"


def test_an_unsplittable_load_knocks_out_by_the_moment_balance(answer_to):
    answer = answer_to(("split = true", "split = false"), ('load = "1,600 lb" ', 'load = "2,200 lb" '))
    out = {s.name for s in answer.ranking if s.finding("lifts").verdict == "no-go"}
    assert out == {"Stand-on 36", "Wheeled 60", "Wheeled 66", "Tracked 64", "Wide-track 68"}
    wide = next(s for s in answer.ranking if s.name == "Wide-track 68").finding("lifts")
    assert "T_r = 7,100 lb, a_r = 50.0 in" in english(wide.told.working[0])
    assert "Split the load" in english(wide.remedy)
