"""What a machine's work in snow comes to: does it grip, and is the lot open in time?"""

import numpy as np

from pickrig.checks.case import Case, need
from pickrig.checks.finding import Finding, Verdict
from pickrig.checks.ground.draws import Array
from pickrig.checks.snow.grip import View, air, counted, gear_and_tread, kind_of, practice, snow_of
from pickrig.checks.snow.work import Clearing, clearing, pile_sizes
from pickrig.physics.cycle import trips
from pickrig.quantities import duration, percent
from pickrig.rulebook.tables import Belly

_VIEWS: tuple[tuple[View, str], ...] = (
    ("force", "computed force alone, all of the contact on snow"),
    ("reach", "counting the share of the contact that reaches the pavement"),
    ("practice", "counting the trade's word on block-tread tracks"),
)
_VIEW_ORDER = [view for view, _ in _VIEWS]
_NOBODY_LOOKED = ("bare pavement", "ice")
_RAMP = 1.0  # m a machine climbs onto its own pile to stack higher, our judgment


def unders(case: Case) -> tuple[str, ...]:
    """What may be under the snow: what the job says, else the best and the worst it can be."""
    under = snow_of(case).under
    return (under,) if under else _NOBODY_LOOKED


def snow_grips(case: Case) -> Finding:
    """Traction over all that resists a full box, in the middle draw, where the ground under the snow is worst."""
    works = {under: clearing(case, under, counted(case)) for under in unders(case)}
    worst = min(works, key=lambda under: float(np.median(works[under].ratio)))
    verdicts = {under: _grip_verdict(case, work) for under, work in works.items()}
    work = works[worst]
    verdict: Verdict = verdicts[worst] if len(set(verdicts.values())) == 1 else "unknown"
    ratio = _middle(work.ratio)
    value = ratio if work.belly is None else min(ratio, _rides(case, _middle(work.belly)))
    chance = float(np.mean(work.pull >= work.full))
    return Finding(
        check="grips",
        verdict=verdict,
        unit="ratio",
        value=value,
        limit=1.0,
        margin=value,
        chance=chance,
        says="" if case.brief else " ".join(_grip_says(case, one, verdicts[under]) for under, one in works.items()),
        working=() if case.brief else tuple(line for under in works for line in _grip_working(case, under)),
        sources=_sources(case),
        depends_on=("snow", "ground.temperature", "machine.mass", f"machine.{case.machine.gear}"),
        remedy=_grip_remedy(case, verdict),
    )


def _rides(case: Case, belly: float) -> float:
    """Clearance over sinkage on the scale of the pull: from hanging up, through dragging, to well clear."""
    row = _belly(case)
    return float(np.interp(belly, [row.hangs, row.drags, row.clear], [0.5, 1.0, 3.0]))


def _belly(case: Case) -> Belly:
    return case.rules.snow.belly.tracks if case.machine.tracks else case.rules.snow.belly.tyres


def _middle(draws: Array) -> float:
    return float(np.median(draws))


def _grip_verdict(case: Case, work: Clearing) -> Verdict:
    limits = case.rules.limits.floats
    belly = None if work.belly is None else _middle(work.belly)
    if float(np.mean(work.pull >= work.least)) < limits.caution or _hangs(case, work) or _slides(case, work):
        return "no-go"
    rides = belly is None or belly >= _belly(case).drags
    covered = not case.rules.snow.kinds[
        kind_of(case)
    ].thawing  # wet snow lies outside what the equations were fitted on
    return "go" if float(np.mean(work.pull >= work.full)) >= limits.go and rides and covered else "caution"


def _hangs(case: Case, work: Clearing) -> bool:
    return work.belly is not None and _middle(work.belly) < _belly(case).hangs


def _slides(case: Case, work: Clearing) -> bool:
    """Whether it slides down sideways on a slope it works across, in more than a few draws."""
    across = case.job.ground.grade_across or 0.0
    return across > 0 and float(np.mean(work.traction >= across)) < case.rules.limits.floats.go


def _grip_says(case: Case, work: Clearing, verdict: Verdict) -> str:
    where, pull, full = work.row.says, case.show(_middle(work.pull), "force"), case.show(_middle(work.full), "force")
    share = f"{_middle(work.traction):.2f} of the weight on its {case.machine.gear}"
    if _slides(case, work):
        across = case.show(case.job.ground.grade_across or 0.0, "share")
        return f"On {where} it slides sideways on {across} across: grip {share}."
    if _hangs(case, work):
        said = f"On {where} it hangs on its belly before it pushes anything."
    elif verdict == "no-go":
        leaves = f"leaves {pull} at the edge" if _middle(work.pull) > 0 else "does not even move it"
        said = f"On {where} it only spins: grip {share} {leaves}, a quarter box at a third of its width takes more."
    else:
        keeps = "keeps a full box moving" if verdict == "go" else f"moves a full box with {_chance(work)} chance"
        said = f"On {where} it {keeps}: {pull} at the edge (grip {share}), the box takes {full}."
    if case.rules.snow.kinds[kind_of(case)].thawing:
        said += " Nobody has published traction in wet snow or slush: take this as a guess."
    if work.belly is not None and _middle(work.belly) < _belly(case).clear and not _hangs(case, work):
        said += (
            f" In snow not yet cleared it sinks {case.show(_middle(work.sinks), 'length')}, {_middle(work.belly):.2f} "
            "of "
            "that is its clearance: the belly drags, which decides here. Work forward from what is cleared."
        )
    if work.by_engine and _middle(work.pull) < 1.5 * _middle(work.full):
        said += " The engine gives out before the grip at that speed."
    return said


def _chance(work: Clearing) -> str:
    return percent(float(np.mean(work.pull >= work.full)))


def _grip_working(case: Case, under: str) -> list[str]:
    """Three views in three lines, each to be redone by hand; then the box."""
    works = {view: clearing(case, under, view) for view, _ in _VIEWS}
    last = works["practice"]
    lines = [
        f"on {last.row.says}: weight on the {case.machine.gear} {case.show(last.weight_on_drive, 'force')} (the "
        "pusher rests "
        f"on the ground), nominal pressure {case.show(last.pressure, 'pressure')}; middle values below, "
        f"{air(case):.0f} degC, {gear_and_tread(case)}"
    ]
    for view, name in _VIEWS:
        work = works[view]
        beyond = " (not counted by this job)" if _VIEW_ORDER.index(view) > _VIEW_ORDER.index(counted(case)) else ""
        lines.append(
            f"{name}{beyond}: {_kept(case, work, view)}{_middle(work.traction):.3f} x "
            f"{case.show(work.weight_on_drive, 'force')} - rolling, "
            "grade "
            f"and left snow {case.show(_middle(work.resists), 'force')} = about "
            f"{case.show(_middle(work.pull), 'force')}"
        )
    lines.append(
        f"a full box holds {case.show(_middle(last.box), 'mass')} and takes {case.show(_middle(last.full), 'force')}: "
        "sliding "
        "it, the edge, crushing and picking up fresh snow"
    )
    return lines


def _kept(case: Case, work: Clearing, view: View) -> str:
    """What the trade's word leaves, before the pull it is taken off."""
    left = practice(case, work.row, view)
    return "" if left == 1 else f"{left:.1f} of what is left of "


def _grip_remedy(case: Case, verdict: Verdict) -> str:
    if verdict == "go":
        return ""
    if verdict == "unknown":
        return "Scrape a strip with a boot and see what is under the snow, then write under in [snow]."
    tyres = case.machine.tyres
    if tyres is not None and not tyres.chains:
        return "Chains on all four, or salt and sand first, or take half boxes."
    return "Salt or sand first, take smaller bites, or scrape with a toothed edge."


def snow_time(case: Case) -> Finding:
    """Time to clear the lot over the window of hours. See `Finding`."""
    lot, values = snow_of(case), case.rules.snow.values
    window = lot.window if lot.window is not None else 3600 * values["usual_window"].value
    # Where nobody knows what lies under the snow, the worst of it counts, for the time and for the chance alike.
    works = [clearing(case, under, counted(case)) for under in unders(case)]
    chances = [float(np.mean(work.time <= window)) for work in works]
    work = works[max(range(len(works)), key=lambda i: (_middle(works[i].time), -chances[i]))]
    time, chance = _middle(work.time), min(chances)
    _, bank, heap = pile_sizes(case)
    size = case.rules.attachments[case.attachment][case.machine.frame]
    reach = need(case.machine.lift_height, "lift_height") - size.drop + _RAMP
    verdict = _time_verdict(case, chance, bank > reach, never=bool(np.isinf(time)))
    return Finding(
        check="produces",
        verdict=verdict,
        unit="share",
        value=min(time / window, 1e3),
        limit=1.0,
        margin=window / time if np.isfinite(time) else 0.0,
        chance=chance,
        says="" if case.brief else _time_says(case, work, window, (bank, heap, reach)),
        working=() if case.brief else _time_working(case, work),
        sources=_sources(case),
        depends_on=("snow", "task.attachment", "machine.travel_speed"),
        remedy=""
        if verdict == "go"
        else "Start earlier, send a second machine, a wider pusher, or stack at both ends.",
        hours=time if np.isfinite(time) else None,
    )


def _time_verdict(case: Case, chance: float, high: bool, never: bool) -> Verdict:
    limits = case.rules.limits.floats
    if never or (chance < limits.caution and snow_of(case).window is not None):
        return "no-go"
    return "go" if chance >= limits.go and not high else "caution"


def _time_says(case: Case, work: Clearing, window: float, pile: tuple[float, float, float]) -> str:
    lot, (bank, heap, reach) = snow_of(case), pile
    given = lot.window is not None
    of = f"of a {duration(window)} window" if given else f"of {duration(window)} assumed"
    if lot.depth <= work.row.left:
        return f"Nothing to push: the shoes leave {case.show(work.row.left, 'length')} standing on {work.row.says}."
    if not np.isfinite(_middle(work.time)):
        return f"Never clears it on {work.row.says}: it cannot push."
    low, high = np.quantile(work.time, (0.1, 0.9), method="nearest")  # some draws never end
    spread = f" ({duration(float(low))} to {'never' if np.isinf(high) else duration(float(high))})"
    stops = "the box is full" if _middle(work.push_length) >= 0.99 * _middle(work.fills) else "it loses grip"
    many = _middle(work.push_length) < lot.sides[0]
    each = f": every {case.show(_middle(work.push_length), 'length')} {stops}" if many else ": one load a lane"
    end = "each end" if lot.stack == "both ends" else "the end"
    stands = (
        f"Banked along {end} the snow stands {case.show(bank, 'length')}; in one heap it would stand "
        f"{case.show(heap, 'length')}, and this machine stacks to about {case.show(reach, 'length')}."
    )
    return f"{duration(_middle(work.time))}{spread} {of}{each}. {stands}"


def _time_working(case: Case, work: Clearing) -> tuple[str, ...]:
    lot, values = snow_of(case), case.rules.snow.values
    along, across = lot.sides
    lanes = int(trips(across, work.width - min(values["overlap"].value, work.width / 2)))
    length = along / (2 if lot.stack == "both ends" else 1)
    loads = int(trips(length, max(_middle(work.push_length), 0.5)))
    both = " from each end" if lot.stack == "both ends" else ""
    return (
        f"snow of {case.show(_middle(work.density), 'density')} ({kind_of(case)}); box "
        f"{case.show(_middle(work.box), 'mass')} "
        f"full after {case.show(_middle(work.fills), 'length')}, grip ends after "
        f"{case.show(_middle(work.push_length), 'length')} where that is sooner",
        f"{lanes} lanes of {case.show(work.width, 'length')} with overlap, {loads} loads a lane of "
        f"{case.show(length, 'length')}{both}, nearest first: lane = L (k + 1)/2 "
        f"(1/{case.show(work.push_speed, 'speed')} + "
        f"1/{case.show(work.return_speed, 'speed')}) + k x {values['turn_time'].value:.0f} s; all lanes over a "
        "working share "
        f"of {values['efficiency'].value:.2f} of the time",
    )


def _sources(case: Case) -> tuple[str, ...]:
    names = ["snow traction", "snow resistance", "pushing snow", "clearing a lot"]
    values = case.rules.snow.values
    word = f"the trade's word on tracks: common practice; its size {case.rules.cite(values['practice'])}"
    return (*case.cite(*names), word, f"density of snow: {case.rules.cite(case.rules.snow.kinds[kind_of(case)])}")
