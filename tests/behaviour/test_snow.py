"""Snow work as a contractor meets it: who clears the lot, how long it takes, and which of three views decided."""

from pathlib import Path

import numpy as np
import pytest

from pickrig.checks import Case, ask_all
from pickrig.checks.carrying import GRAVITY, carry
from pickrig.checks.fits import fits
from pickrig.checks.ground.site import draw_site
from pickrig.checks.snow.work import clearing, pile_sizes
from pickrig.errors import InputError
from pickrig.inputs import Job, read_fleet, read_job
from pickrig.physics import snow
from pickrig.plans.pick.answer import pick
from pickrig.plans.pick.record import SnowPull, SnowView
from pickrig.plans.pick.snow_views import by_view
from tests.conftest import english

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def winter(rules):
    return read_fleet(EXAMPLES / "snow-fleet.toml", rules)


@pytest.fixture
def lot(rules, edited):
    def read(*replacements, name="snow-lot.toml"):
        return read_job(edited(name, *replacements), rules)

    return read


@pytest.fixture
def case_of(rules, winter, lot):
    def case(name, *replacements, **update):
        job = lot(*replacements)
        machine = next(m for m in winter.machines if m.name == name)
        if update:
            machine = machine.model_copy(update=update)
        return Case(job, machine, draw_site(job, rules, 2000), rules)

    return case


def finding(case, check):
    return next(f for f in ask_all(case) if f.check == check)


def test_wheels_with_snow_tyres_clear_a_paved_lot_in_time(lot, winter, rules):
    answer = pick(lot(), winter, rules)
    assert answer.pick.name == "Wheeled 74, snow tyres"
    assert "you have 4 h" in english(answer.answer)
    assert answer.pick.finding("produces").verdict == "go"


def test_tracks_lead_on_deep_snow_over_gravel_and_wheels_on_shallow(lot, winter, rules):
    deep = pick(lot(name="snow-lane.toml"), winter, rules)
    shallow = pick(lot(('depth = "12 in"', 'depth = "6 in"'), name="snow-lane.toml"), winter, rules)
    assert deep.pick.machine.gear == "tracks"
    assert shallow.pick.machine.gear == "tyres"


def test_on_ice_only_chains_hold(lot, winter, rules):
    answer = pick(lot(('under = "bare pavement"', 'under = "ice"')), winter, rules)
    assert answer.pick.name == "Wheeled 60, chained"
    grips = {s.name: s.finding("grips") for s in answer.ranking}
    assert grips.pop("Wheeled 60, chained").verdict == "go"
    assert all(found.verdict != "go" and found.value < 1 for found in grips.values())


def test_three_views_are_told_apart(lot, winter, rules):
    answer = pick(lot(), winter, rules)
    pulls = {view.view: {p.machine: p for p in view.pulls} for view in answer.snow}
    block, wheeled = "Tracked 64, block tread", "Wheeled 60"
    # by force alone the heavier tracked machine pulls more; with the pavement they are equal; by the trade's word it
    # is less
    assert pulls["force"][block].pull > pulls["force"][wheeled].pull
    assert pulls["reach"][block].pull == pytest.approx(pulls["reach"][wheeled].pull, rel=0.1)
    assert pulls["practice"][block].pull < pulls["practice"][wheeled].pull
    assert pulls["practice"][block].pull == pytest.approx(0.8 * pulls["reach"][block].pull)
    assert pulls["practice"]["Tracked 68, winter tread"] == pulls["reach"]["Tracked 68, winter tread"]


def test_the_practice_factor_can_be_left_out(lot, winter, rules):
    counted, left_out = (
        next(s for s in pick(job, winter, rules).ranking if s.name == "Tracked 64, block tread").finding("grips")
        for job in (lot(), lot(('window = "4 h"', 'window = "4 h"\ngrip = "reach"')))
    )
    assert left_out.value > counted.value
    assert any("common practice" in english(source) for source in counted.told.sources)


@pytest.mark.parametrize(
    ("picks", "counted", "says"),
    [
        (("Tracked", "Tracked", "Wheeled"), "practice", "What decided is the trade's word"),
        (("Tracked", "Wheeled", "Wheeled"), "practice", "What decided is the share of contact that reaches"),
        (("Wheeled", "Tracked", "Wheeled"), "practice", "What decided is the trade's word"),
        (("Tracked", "Wheeled", "Wheeled"), "reach", "What decided is the share of contact that reaches"),
        (("Tracked", "Tracked", "Wheeled"), "reach", "Computed force decided"),
        (("Wheeled", "Wheeled", "Wheeled"), "practice", "All three ways send Wheeled"),
    ],
)
def test_the_view_that_decided_is_named(picks, counted, says):
    views = tuple(
        SnowView(
            view,
            pick,
            tuple(
                SnowPull(m, g, 0.3, pull, 5e3, 3600.0) for m, g, pull in (("T", "tracks", 9e3 + i), ("W", "tyres", 8e3))
            ),
            view == counted,
        )
        for i, (view, pick) in enumerate(zip(("force", "reach", "practice"), picks, strict=True))
    )
    assert says in english(by_view(views))
    assert "1.12 times the best on tires by force" in english(by_view(views))


def test_the_lines_of_a_paved_lot_can_be_redone(case_of):
    """Weight on the drive, coefficient and resistances, in the middle draw, from the fleet file's own figures."""
    case = case_of("Wheeled 74, snow tyres")
    work = clearing(case, "bare pavement", "reach")
    weight = (carry(case).mass - 400) * GRAVITY  # the pusher rests on the ground
    assert work.weight_on_drive == pytest.approx(weight)
    on_snow = 0.321 * (work.pressure / 1e3) ** 0.97 / (work.pressure / 1e3) * 1.15  # packed, snow tyres
    middle = 0.5 * 0.55 + 0.5 * on_snow
    assert np.median(work.traction) == pytest.approx(middle, rel=0.03)
    assert np.median(work.pull) == pytest.approx(np.median(work.traction) * weight - 0.02 * weight, rel=0.01)


def test_time_is_lanes_times_loads(case_of):
    case = case_of("Wheeled 60")
    work = clearing(case, "bare pavement", "reach")
    n = work.hours.middle
    pace = work.hours.pace
    back = snow.clearing_time(
        150 * 0.3048,
        200 * 0.3048,
        work.hours.width,
        0.24,
        work.hours.length[n],
        work.push_speed,
        work.return_speed,
        pace.turn,
        pace.share[n],
        0.0,
    )
    assert work.time[n] == pytest.approx(float(back) * (1 + pace.trickles[n]))
    assert np.median(work.time) == pytest.approx(work.time[n], rel=0.01)


def times(case_of, *replacements, name="Wheeled 60", **update):
    return float(np.median(clearing(case_of(name, *replacements, **update), "bare pavement", "practice").time))


def test_twice_the_depth_takes_about_twice_the_time_once_boxes_fill(case_of):
    once, twice = (times(case_of, ('depth = "8 in"', f'depth = "{d} in"')) for d in (12, 24))
    assert 1.7 < twice / once < 2.1


def test_denser_snow_is_never_lighter_work(case_of):
    hours = [times(case_of, ('kind = "powder"', f'density = "{d} kg/m3"')) for d in (60, 120, 240, 480)]
    assert hours == sorted(hours)
    full = [
        float(
            np.median(
                clearing(case_of("Wheeled 60", ('kind = "powder"', f'density = "{d} kg/m3"')), "ice", "force").full
            )
        )
        for d in (60, 120, 240, 480)
    ]
    assert full == sorted(full)


def test_pressing_the_blade_takes_weight_off_the_drive(case_of):
    pulls = []
    for press in ("100 lbf", "1,000 lbf", "3,000 lbf"):
        case = case_of("Wheeled 60", ("[snow]", f'down_force = "{press}"\n\n[snow]'))
        work = clearing(case, "packed snow", "force")
        pulls.append((work.weight_on_drive, float(np.median(work.pull))))
    assert pulls == sorted(pulls, reverse=True)


def test_uphill_is_never_easier(case_of):
    ratios = [
        finding(case_of("Wheeled 60", ("[ground]", f'[ground]\ngrade = "{g} %"')), "grips").value for g in (0, 3, 6, 10)
    ]
    assert ratios == sorted(ratios, reverse=True)


@pytest.mark.parametrize("under", ["bare pavement", "packed snow", "ice", "gravel"])
def test_chains_never_lower_the_grip(case_of, under):
    case = case_of("Wheeled 60")
    chained = Case(
        case.job,
        case.machine.model_copy(update={"tyres": case.machine.tyres.model_copy(update={"chains": True})}),
        case.site,
        case.rules,
    )
    assert np.all(clearing(chained, under, "practice").traction >= clearing(case, under, "practice").traction)


def test_nobody_looked_shows_both_and_asks(lot, winter, rules):
    answer = pick(lot(('under = "bare pavement"', 'under = "unknown"')), winter, rules)
    tracked = next(s for s in answer.ranking if s.name == "Tracked 64, block tread").finding("grips")
    assert tracked.verdict == "unknown"
    assert "On bare pavement" in english(tracked.says)
    assert "On ice" in english(tracked.says)
    assert any("Nobody has looked" in english(note) for note in answer.assumed)


def test_a_window_nobody_meets_sends_nothing_and_says_what_would_help(lot, winter, rules):
    answer = pick(lot(('window = "4 h"', 'window = "30 min"')), winter, rules)
    assert answer.pick is None
    assert "Start earlier" in english(answer.ranking[0].finding("produces").remedy)
    assert any(flip.input == "window" and flip.then_pick for flip in answer.flips)


@pytest.mark.parametrize(
    ("edit", "says"),
    [
        (('under = "bare pavement"', 'under = "lava"'), ["snow.under", '"bare pavement"', '"ice"']),
        (('kind = "powder"', 'kind = "powdr"'), ["snow.kind", 'did you mean "powder"?']),
        (('length = "150 ft" ', "#"), ["does not say how large", "area"]),
        (('breadth = "200 ft"', 'breadth = "200 ft"\narea = "1 acre"'), ["keep two of them"]),
        (('kind = "clear snow"', 'kind = "carry pallets"'), ["not to clear it", "clear snow"]),
        (("[snow]", 'attachment = "pallet forks"\n\n[snow]'), ["task.attachment", "hold no snow", '"snow pusher"']),
        (('kind = "powder"', 'kind = "powder"\ndensity = "30 lb/ft3"'), ["snow.density", "does not go with powder"]),
        (('kind = "powder"', 'kind = "slush"'), ["ground.temperature", "does not go with slush"]),
        (('depth = "8 in"', 'depth = "8"'), ["snow.depth", "a depth of snow"]),
        (('depth = "8 in"', 'depth = "8 ft"'), ["snow.depth", "accepted is"]),
        (('window = "4 h"', 'window = "4 h"\ngrip = "luck"'), ["snow.grip", '"practice", "reach", and "force"']),
    ],
)
def test_bad_snow_is_told_in_a_sentence(edited, rules, edit, says):
    with pytest.raises(InputError) as caught:
        read_job(edited("snow-lot.toml", edit), rules)
    for part in says:
        assert part in str(caught.value)


def test_clearing_snow_without_any_is_refused(edited, rules):
    with pytest.raises(InputError, match="says nothing of it"):
        read_job(edited("muddy-lot.toml", ('kind = "carry pallets"', 'kind = "clear snow"')), rules)


def test_a_short_lane_never_asks_for_a_full_box(case_of):
    shallow = ('depth = "8 in"', 'depth = "1 in"'), ('length = "150 ft"', 'length = "50 ft"')
    case = case_of("Tracked 64, block tread", *shallow, ('under = "bare pavement"', 'under = "ice"'))
    work = clearing(case, "ice", "practice")
    assert np.all(work.fills >= 50 * 0.3048 - 1e-9)
    assert float(np.max(work.box)) < 300
    assert finding(case, "grips").verdict != "no-go"


def test_slush_is_never_a_plain_go(case_of):
    for under in ("bare pavement", "gravel"):
        replaced = (
            ('under = "bare pavement"', f'under = "{under}"\n'),
            ('kind = "powder"', 'kind = "slush"'),
            ('temperature = "-6 C"', 'temperature = "0 C"'),
        )
        soil = ("[ground]", '[ground]\nsoil = "gravel"')
        found = finding(case_of("Wheeled 74, snow tyres", *replaced, soil), "grips")
        assert found.verdict != "go"
        assert "guess" in english(found.says)


def test_it_slides_sideways_before_it_grips(case_of):
    across = ('under = "bare pavement"', 'under = "packed snow"'), ("[ground]", '[ground]\ngrade_across = "30 %"')
    found = finding(case_of("Tracked 64, block tread", *across, max_grade_across=0.35), "grips")
    assert found.verdict == "no-go"
    assert "slides sideways" in english(found.says)


def test_never_is_no_whatever_the_window(case_of):
    case = case_of(
        "Tracked 64, block tread",
        ('under = "bare pavement"', 'under = "ice"'),
        ('window = "4 h"\n', ""),
        ('temperature = "-6 C"', 'temperature = "0 C"'),
    )
    assert np.isinf(np.median(clearing(case, "ice", "practice").time))
    assert finding(case, "produces").verdict == "no-go"


def test_grip_moves_smoothly_with_the_cold(case_of):
    def grip(celsius):
        case = case_of("Wheeled 60", ('temperature = "-6 C"', f'temperature = "{celsius} C"'))
        return float(np.median(clearing(case, "packed snow", "force").traction))

    for celsius in (-1.0, -3.0, -8.0, -10.0, -12.0):
        assert grip(celsius - 0.1) == pytest.approx(grip(celsius + 0.1), rel=0.03)


def test_a_heavier_snow_never_makes_a_lower_pile(case_of):
    heights = [
        pile_sizes(case_of("Wheeled 60", ('kind = "powder"', f'density = "{d} kg/m3"')))[2]
        for d in (100, 300, 500, 800)
    ]
    assert heights == sorted(heights)


def test_a_narrower_bite_is_tried_before_giving_up(case_of):
    case = case_of("Wheeled 60", ('kind = "powder"', 'kind = "settled"'), ('depth = "8 in"', 'depth = "6 in"'))
    assert np.isfinite(np.median(clearing(case, "bare pavement", "practice").time))
    assert finding(case, "grips").verdict != "no-go"


# Hours an operator gave for lots of his own, asked from outside; no measurement. Area ft2, depth in, kind, air, hours.
SAID = [
    (30_000, 8, "powder", -6, (1.5, 2.5)),
    (22_500, 10, "powder", -29, (1.5, 2.0)),
    (15_000, 4, "slush", 1, (1.5, 2.0)),
    (14_400, 14, "settled", -6, (3.0, 4.0)),
    (10_000, 20, "settled", -6, (4.0, 6.0)),
]


def quickest(winter, rules, tool="snow pusher", air=-6, **lot):
    """Hours of the quickest machine of the winter yard, in the middle draw."""
    task = {"kind": "clear snow", "attachment": tool}
    width = lot.pop("attachment_width", None)
    task |= {"attachment_width": width} if width else {}
    job = Job.of(rules=rules, task=task, snow={"under": "bare pavement"} | lot, ground={"temperature": air})
    site = draw_site(job, rules, 1000)
    found = (clearing(Case(job, machine, site, rules), "bare pavement", "practice") for machine in winter.machines)
    return min(float(work.time[work.hours.middle]) for work in found) / 3600


@pytest.mark.parametrize(("area", "depth", "kind", "air", "hours"), SAID)
def test_a_lot_takes_about_as_long_as_the_trade_says(winter, rules, area, depth, kind, air, hours):
    took = quickest(winter, rules, air=air, area=area * 0.3048**2, depth=depth * 0.0254, kind=kind)
    assert hours[0] / 1.5 < took < 1.5 * hours[1]


def test_a_walk_is_cleared_by_the_pass(winter, rules):
    """400 by 6 ft with a 42 in blade: 20 to 30 minutes to the trade."""
    walk = {"length": 400 * 0.3048, "breadth": 6 * 0.3048, "depth": 0.1, "kind": "powder"}
    assert 15 < 60 * quickest(winter, rules, tool="snow blade", attachment_width=42 * 0.0254, **walk) < 30


def test_casting_aside_beats_pushing_where_the_snow_may_lie_beside(winter, rules):
    drive = {"length": 90.0, "breadth": 6.0, "depth": 0.05, "kind": "powder"}
    pushed, one, both = (
        quickest(winter, rules, tool="snow blade", **drive, **more)
        for more in ({}, {"windrow": "one side"}, {"windrow": "both sides"})
    )
    assert both <= one < pushed / 1.5


def test_deeper_snow_spills_over_an_angled_blade_sooner(winter, rules):
    drive = {"length": 90.0, "breadth": 12.0, "kind": "powder", "windrow": "both sides"}
    hours = [quickest(winter, rules, tool="snow blade", depth=depth, **drive) for depth in (0.05, 0.1, 0.2, 0.4)]
    assert hours == sorted(hours)
    assert hours[-1] > 1.5 * hours[0]


def test_a_blower_is_bound_by_its_oil_in_deep_snow_and_by_the_driver_in_shallow(winter, rules):
    lot = {"length": 50.0, "breadth": 20.0, "kind": "settled"}
    hours = [quickest(winter, rules, tool="snow blower", depth=depth, **lot) for depth in (0.02, 0.05, 0.3, 0.6)]
    assert hours[0] == pytest.approx(hours[1], rel=0.05)
    assert hours[3] > 1.4 * hours[2]
    assert quickest(winter, rules, tool="snow blower", air=1, depth=0.1, **lot | {"kind": "slush"}) == np.inf


def test_a_broom_takes_a_little_dry_snow_and_no_more(winter, rules):
    lot = {"length": 50.0, "breadth": 20.0}
    assert quickest(winter, rules, tool="angle broom", depth=0.04, kind="powder", **lot) < np.inf
    assert quickest(winter, rules, tool="angle broom", depth=0.10, kind="powder", **lot) == np.inf
    assert quickest(winter, rules, tool="angle broom", air=1, depth=0.04, kind="wet", **lot) == np.inf


def test_a_tool_wider_than_the_walk_does_not_go_on_it(winter, rules):
    walk = {"length": 100.0, "breadth": 1.5, "depth": 0.1, "kind": "powder", "under": "bare pavement"}
    task = {"kind": "clear snow", "attachment": "snow blade"}
    job = Job.of(rules=rules, task=task, snow=walk, access={"gate": "open"})
    case = Case(job, winter.machines[0], draw_site(job, rules, 100), rules)
    assert fits(case).verdict == "no-go"
    assert "Too wide" in english(fits(case).told.says)


def test_nothing_goes_up_a_steep_packed_ramp_before_it_is_salted(case_of):
    packed = ('under = "bare pavement"', 'under = "packed snow"')
    verdicts = [
        finding(case_of("Wheeled 60, chained", packed, ("[ground]", f'[ground]\ngrade = "{g} %"')), "grips").verdict
        for g in (4, 12, 25)
    ]
    assert verdicts == ["go", "caution", "no-go"]


def test_a_tool_narrower_than_its_machine_is_told(winter, rules):
    job = Job.of(
        rules=rules,
        task={"kind": "clear snow", "attachment": "snow blower", "attachment_width": 1.2},
        snow={"length": 50.0, "breadth": 20.0, "depth": 0.2, "kind": "powder", "under": "bare pavement"},
    )
    case = Case(job, winter.machines[0], draw_site(job, rules, 100), rules)
    assert "narrower than the machine" in english(finding(case, "produces").says)
    assert "box" not in english(finding(case, "grips").says)


def test_where_time_alone_stops_all_of_them_it_is_said(lot, winter, rules):
    answer = pick(lot(('window = "4 h"', 'window = "30 min"')), winter, rules, draws=300)
    assert "What stops all of them: time" in english(answer.answer)


def test_a_blade_that_is_too_slow_is_told_to_cast_aside(winter, rules):
    job = Job.of(
        rules=rules,
        task={"kind": "clear snow", "attachment": "snow blade"},
        snow={
            "length": 60.0,
            "breadth": 24.0,
            "depth": 0.25,
            "kind": "powder",
            "under": "bare pavement",
            "window": 3600.0,
        },
    )
    case = Case(job, winter.machines[0], draw_site(job, rules, 200), rules)
    assert "windrow" in english(finding(case, "produces").remedy)
