"""Grip, harm and wear on hard ground and grades, and what no score can buy back."""

from pathlib import Path

import numpy as np
import pytest

from pickrig.checks import Case, ask_all
from pickrig.checks.carrying import GRAVITY, carry
from pickrig.checks.grips import grips
from pickrig.checks.ground.site import draw_site
from pickrig.inputs import read_job
from pickrig.plans.pick.answer import pick
from tests.conftest import english, keys, values

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture
def case_of(rules, fleet, edited):
    def case(name, *replacements, job="twenty-percent.toml", **update):
        read = read_job(edited(job, *replacements), rules)
        machine = next(m for m in fleet.machines if m.name == name).model_copy(update=update)
        return Case(read, machine, draw_site(read, rules, 2000), rules)

    return case


def finding(case, check):
    return next(f for f in ask_all(case) if f.check == check)


def test_grip_is_redone_by_hand_from_its_line(case_of):
    step = grips(case_of("Wheeled 66")).told.working[1]
    assert "Site soil, pushing" in english(step)
    told = values([step], "grips.thrust")
    usable = min(told["μ"] * told["W"], told["H"], told["engine"])
    against = told["ρ"] * told["W"] + told["grade"] + told["push"]
    assert usable / against == pytest.approx(told["ratio"], rel=0.02)


def test_steeper_is_never_easier_and_a_harder_push_never_is(case_of):
    for name in ("Wheeled 66", "Wide-track 68"):
        ratios = [
            finding(case_of(name, ('grade = "20 %"', f'grade = "{g} %"')), "grips").value for g in (0, 5, 10, 20, 40)
        ]
        assert ratios == sorted(ratios, reverse=True)
        pushes = [
            finding(case_of(name, ("split = true", f'split = true\npush = "{p} lbf"')), "grips").value
            for p in (100, 1000, 3000)
        ]
        assert pushes == sorted(pushes, reverse=True)


def test_pressing_down_never_raises_grip(case_of):
    for name in ("Wheeled 66", "Wide-track 68"):
        ratios = [
            finding(case_of(name, ("split = true", f'split = true\ndown_force = "{d} lbf"')), "grips").value
            for d in (100, 1000, 3000)
        ]
        assert ratios == sorted(ratios, reverse=True)


def test_the_engine_or_a_stalling_drive_limits_the_pull(case_of):
    free = grips(case_of("Wide-track 68"))
    weak = grips(case_of("Wide-track 68", drive_pull=2000.0))
    assert weak.value < free.value
    assert values(weak.told.working, "grips.thrust")["engine"] == 2000


def test_weak_soil_holds_no_more_than_its_shear(case_of):
    case = case_of("Wheeled 66", ('wetness = "moist"', 'wetness = "wet"\nthumb = "fist easily"'))
    found = grips(case)
    firm = grips(case_of("Wheeled 66"))
    assert found.value < firm.value
    assert "grips.thrust" in keys(found.told.working)
    assert "decides nothing" in english(found.told.beside)


def test_across_a_slope_a_machine_slides_before_it_grips(case_of):
    across = ('grade = "20 %"', 'grade_across = "15 %"')
    wet = case_of(
        "Wheeled 66",
        across,
        ('wetness = "moist"', 'wetness = "wet"'),
        ("[hazards]", '[ground.travel]\nturf = "100 %"\n\n[hazards]'),
    )
    lines = grips(wet).told.working
    assert "grips.across" in keys(lines)


@pytest.mark.parametrize(
    ("hazard", "says"),
    [
        ('septic = "on the route"', "septic"),
        ('services = "unmarked"', "buried lines"),
        ('trench = "unprotected"', "trench edge"),
        ('power_lines = "near"', "power lines"),
    ],
)
def test_a_danger_ends_the_job_whatever_the_machine(edited, rules, fleet, hazard, says):
    job = read_job(edited("asphalt-yard.toml", ("[access]", f"[hazards]\n{hazard}\n\n[access]")), rules)
    answer = pick(job, fleet, rules)
    assert answer.pick is None
    found = answer.ranking[0].finding("spares_surface")
    assert says in english(found.says)
    assert found.remedy
    assert english(answer.answer).startswith("None")


def harm(case_of, name, mode, job="asphalt-yard.toml"):
    edits = [("split = true", f'split = true\nturning = "{mode}"')] if job == "asphalt-yard.toml" else []
    return finding(case_of(name, *edits, job=job), "spares_surface")


def test_tighter_turns_rub_more_and_steering_rubs_nothing(case_of):
    for name in ("Wheeled 66", "Wide-track 68"):
        work = [harm(case_of, name, mode).value for mode in ("on boards", "wide", "ordinary", "on the spot")]
        assert work == sorted(work)
        assert work[0] == 0
    assert harm(case_of, "Articulated 45", "on the spot").value == 0
    assert harm(case_of, "Wheeled 66", "on the spot").verdict == "caution"
    assert harm(case_of, "Articulated 45", "on the spot").verdict == "go"


def test_turning_work_of_tracks_is_the_published_moment(case_of):
    case = case_of("Wide-track 68", ("split = true", 'split = true\nturning = "on the spot"'), job="asphalt-yard.toml")
    loading = carry(case)
    weight = loading.mass * GRAVITY
    even = 0.9 * weight * loading.base / 4 * np.pi / 2  # upper bound: an uneven pressure turns easier
    work = finding(case, "spares_surface").value * case.rules.care.surfaces["asphalt"].care_from
    assert 0.6 * even < work < 1.1 * even * (loading.mass + loading.payload) / loading.mass


def test_a_hot_or_new_asphalt_calls_for_care(case_of):
    mild = finding(case_of("Wheeled 60", job="asphalt-yard.toml"), "spares_surface")
    hot = finding(
        case_of("Wheeled 60", ('wetness = "dry"', 'wetness = "dry"\ntemperature = "95 F"'), job="asphalt-yard.toml"),
        "spares_surface",
    )
    assert (mild.verdict, hot.verdict) == ("go", "caution")
    assert hot.value > mild.value  # and it costs points


def test_turf_tears_by_the_drag_not_by_the_pressure(case_of):
    light, heavy = (
        finding(case_of(name, ('turning = "wide"', 'turning = "ordinary"'), job="finished-turf.toml"), "spares_surface")
        for name in ("Stand-on 36", "Wide-track 68")
    )
    assert "tears" in english(heavy.says)  # 62 in on a 10 ft turn: L^2/8R = 4 in, whatever its 4 psi
    assert heavy.verdict == "caution"
    assert light.value < heavy.value


def test_a_thin_slab_cracks_under_a_loaded_wheel_at_its_edge(case_of):
    drive = [('asphalt = "100 %"', 'concrete = "100 %"'), ('wetness = "dry"', 'wetness = "dry"\nslab = "4 in"')]
    stresses = {}
    for name in ("Wheeled 66", "Wide-track 68"):
        found = finding(case_of(name, *drive, job="asphalt-yard.toml"), "spares_surface")
        stresses[name] = values(found.says, "spares.slab")["edge"]
        assert "never a design" in english(found.told.working)
    assert stresses["Wide-track 68"] < stresses["Wheeled 66"]
    assert (
        finding(case_of("Wheeled 66", drive[0], job="asphalt-yard.toml"), "spares_surface").verdict == "caution"
    )  # unmeasured
    thick = finding(
        case_of("Wheeled 66", drive[0], ('wetness = "dry"', 'wetness = "dry"\nslab = "8 in"'), job="asphalt-yard.toml"),
        "spares_surface",
    )
    assert thick.verdict == "go"


def test_more_turning_never_wears_less(case_of):
    for name in ("Wheeled 66", "Wide-track 68"):
        rates = [
            finding(
                case_of(name, ("split = true", f'split = true\nturning = "{mode}"'), job="asphalt-yard.toml"), "wears"
            ).value
            for mode in ("wide", "ordinary", "on the spot")
        ]
        assert rates == sorted(rates)


def test_an_overloaded_tyre_and_a_fast_one_wear_sooner(case_of, fleet):
    tyres = next(m for m in fleet.machines if m.name == "Wheeled 66").tyres
    rated, short = (
        finding(
            case_of("Wheeled 66", job="asphalt-yard.toml", tyres=tyres.model_copy(update={"rated_load": kg})), "wears"
        ).value
        for kg in (5000.0, 900.0)
    )
    assert short > rated
    slow, fast = (
        finding(case_of("Wheeled 66", job="asphalt-yard.toml", travel_speed=v), "wears").value for v in (3.0, 9.0)
    )
    assert fast > slow


def test_the_trades_own_rules_hold(rules, fleet):
    """Common practice: tracks float in mud, wear faster on pavement, push snow poorly on pavement."""
    muddy = pick(read_job(EXAMPLES / "muddy-lot.toml", rules), fleet, rules)
    assert muddy.pick.machine.gear == "tracks"
    wheeled, tracked = (
        next(s for s in pick(read_job(EXAMPLES / "asphalt-yard.toml", rules), fleet, rules).ranking if s.name == name)
        for name in ("Wheeled 66", "Wide-track 68")
    )
    assert tracked.finding("wears").value > wheeled.finding("wears").value
    assert rules.snow.values["practice"].value < 1
    assert rules.snow.values["practice"].says.startswith("common practice")


def test_a_plate_never_overrides_the_tip_angle(case_of):
    across = ('grade = "20 %"', 'grade_across = "45 %"'), ("split = true", 'split = true\nset_height = "9 ft"')
    found = finding(case_of("Wheeled 60", *across, max_grade_across=0.5), "climbs")
    assert found.verdict == "no-go"
    assert "raised" in english(found.says)


def test_bare_ice_holds_nothing_without_chains(case_of, fleet):
    ice = [('asphalt = "100 %"', 'ice = "100 %"'), ('wetness = "dry"', 'grade = "8 %"\ntemperature = "-1 C"')]
    tyres = next(m for m in fleet.machines if m.name == "Wheeled 66").tyres
    bare = finding(case_of("Wheeled 66", *ice, job="asphalt-yard.toml"), "grips")
    chained = finding(
        case_of("Wheeled 66", *ice, job="asphalt-yard.toml", tyres=tyres.model_copy(update={"chains": True})), "grips"
    )
    assert bare.verdict == "no-go"
    assert chained.value > bare.value


def test_pressing_off_all_the_weight_leaves_nothing_to_pull_with(case_of):
    pressed = finding(case_of("Wheeled 66", ("split = true", 'split = true\ndown_force = "15,000 lbf"')), "grips")
    assert pressed.verdict == "no-go"


def test_heavier_tracks_never_strain_a_slab_less(case_of):
    strains = []
    for mass in (3000.0, 4400.0, 6000.0):
        concrete = ('asphalt = "100 %"', 'concrete = "100 %"')
        case = case_of("Wide-track 68", concrete, job="asphalt-yard.toml", mass=mass, rear_share=0.55)
        strains.append(values(finding(case, "spares_surface").says, "spares.slab_assumed")["edge"])
    assert strains == sorted(strains)
    assert strains[0] > 0


def test_a_thinner_slab_never_comes_out_stronger(case_of):
    for name in ("Wheeled 66", "Wide-track 68"):
        stresses = []
        for inches in (1, 2, 3, 4, 6):
            edits = (
                ('asphalt = "100 %"', 'concrete = "100 %"'),
                ('wetness = "dry"', f'wetness = "dry"\nslab = "{inches} in"'),
            )
            found = finding(case_of(name, *edits, job="asphalt-yard.toml"), "spares_surface")
            stresses.append(values(found.says, "spares.slab")["edge"])
        assert stresses == sorted(stresses, reverse=True)
        assert min(stresses) > 0


def test_cutting_grade_counts_what_gets_done(case_of):
    job = ('kind = "move loose material"', 'kind = "cut grade"'), ('load = "1,000 lb"\npieces = 40\nsplit = true\n', "")
    small, large = (finding(case_of(name, *job), "produces") for name in ("Stand-on 36", "Wide-track 68"))
    assert small.value > large.value
    bigger = finding(
        case_of("Wide-track 68", job[0], ('load = "1,000 lb"\npieces = 40\nsplit = true\n', 'area = "20,000 ft2"\n')),
        "produces",
    )
    assert bigger.value > large.value
