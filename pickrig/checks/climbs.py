"""Does it stand on the slope? Static tip angles for the load it carries."""

from dataclasses import dataclass
from math import atan, degrees, tan

from pickrig.checks.carrying import Carry, carry
from pickrig.checks.case import Case, need
from pickrig.checks.cited import source
from pickrig.checks.finding import Account, Finding, Verdict
from pickrig.facts import Quantity, Said, Statements, Step, Term, small
from pickrig.inputs import Job
from pickrig.physics import tipping
from pickrig.rulebook import Rules

_LEVEL = 1e-4  # share of the tip angle below which ground is level and a margin has no meaning


@dataclass(frozen=True)
class _Way:
    """One way of standing on the slope: its angle, the angle it tips at, degrees, and the plate's limit if any.

    name: "loaded", load uphill; "empty", tail uphill; "across", load low; "raised", across with the load up.
    """

    name: str
    slope: float
    tips: float
    plate: float | None
    working: Step

    def used(self, caution: float) -> float:
        """Share of the tip angle used; a plate's limit counts as the end of caution, but never past the tip angle."""
        if self.slope >= self.tips:
            return 1.0
        return self.slope / self.tips if self.plate is None else caution * self.slope / self.plate


def applies(job: Job, _rules: Rules) -> bool:
    """Only where a slope is given, here or on a stretch of the way; level ground is assumed, and said, otherwise."""
    return bool(job.grades)


def climbs(case: Case) -> Finding:
    """Slope over tip angle, heavy end uphill, or over the plate's limit, in the worst way of the job. See `Finding`."""
    ground, limits = case.job.ground, case.rules.limits.climbs
    if not ground.grade and not ground.grade_across:
        return Finding(
            check="climbs",
            verdict="go",
            unit="share",
            value=0.0,
            limit=limits.caution,
            depends_on=("ground.grade",),
            account=lambda: Account((Said("climbs.level"),)),
        )
    ways = _ways(case, carry(case))
    worst = max(ways, key=lambda way: way.used(limits.caution))
    used = worst.used(limits.caution)
    verdict = _verdict(case, worst, used)
    return Finding(
        check="climbs",
        verdict=verdict,
        unit="share",
        value=used,
        limit=limits.caution,
        margin=limits.caution / used if used > _LEVEL else None,
        depends_on=("ground.grade", "ground.grade_across", "task.load", "machine.centre_height", "machine.gauge"),
        account=lambda: Account(
            says=_says(case, worst, verdict),
            remedy=() if verdict != "no-go" else (Said("climbs.mend"),),
            working=tuple(way.working for way in ways),
            sources=(*case.cite("statics"), source(case.rules, limits, "source.tip_share")),
        ),
    )


def _verdict(case: Case, worst: _Way, used: float) -> Verdict:
    limits, ground = case.rules.limits.climbs, case.job.ground
    if used > limits.caution + 1e-9 or _asks_leave(case):
        return "no-go"
    if worst.plate is not None:
        return "go"
    steepest = max(ground.grade or 0.0, ground.grade_across or 0.0)
    return "go" if used <= limits.go and steepest <= limits.level else "caution"


def _asks_leave(case: Case) -> bool:
    """Whether it works across a slope that only its manual may allow, and nobody has said what that allows."""
    across = case.job.ground.grade_across or 0.0
    return across > case.rules.limits.climbs.across and case.machine.max_grade_across is None


def _ways(case: Case, loading: Carry) -> list[_Way]:
    """Up and down with the heavy end uphill, loaded and empty; across, loaded."""
    ground, ways = case.job.ground, []
    low = case.rules.strength["carry_height"].value
    height = need(case.machine.centre_height, "centre_height")
    if ground.grade:
        ways.append(_along(case, loading, loading.payload, height, low))
        ways.append(_along(case, loading, 0.0, height, low))
    if ground.grade_across:
        ways.append(_across(case, loading, height, low, case.machine.max_grade_across))
        raised = case.job.task.set_height or 0.0
        if raised > low:  # a plate's limit is for a load carried low
            ways.append(_across(case, loading, height, raised, None))
    return ways


def _along(case: Case, loading: Carry, payload: float, height: float, low: float) -> _Way:
    """Loaded with the load uphill it tips over the rear, empty with the tail uphill over the front."""
    grade = case.job.ground.grade or 0.0
    centre = float(tipping.combined_height(loading.mass, height, payload, low))
    behind = (loading.mass * loading.rear_share * loading.base - payload * loading.low_reach) / (loading.mass + payload)
    distance = loading.base - behind if payload else behind
    tips = float(tipping.end_tip_angle(distance, centre))
    wrong = float(tipping.end_tip_angle(loading.base - distance, centre))
    name = "loaded" if payload else "empty"
    step = Step(f"climbs.{name}", d=small(distance), h=small(centre), wrong=_fine(wrong), θ=_fine(tips))
    return _Way(name, degrees(atan(grade)), tips, _plate(case.machine.max_grade), step)


def _across(case: Case, loading: Carry, height: float, up: float, plate: float | None) -> _Way:
    """With the load's centre at this height."""
    grade, gauge = case.job.ground.grade_across or 0.0, need(case.machine.gauge, "gauge")
    bump = degrees(atan(case.rules.strength["bump"].value / gauge))
    centre = float(tipping.combined_height(loading.mass, height, loading.payload, up))
    tips = float(tipping.side_tip_angle(gauge, centre)) - bump
    name = "across" if up <= case.rules.strength["carry_height"].value else "raised"
    step = Step(
        f"climbs.{name}", u=Quantity(up, "length"), g=small(gauge), h=small(centre), bump=_fine(bump), θ=_fine(tips)
    )
    return _Way(name, degrees(atan(grade)), tips, _plate(plate), step)


def _fine(angle: float) -> Quantity:
    return Quantity(angle, "fine angle")


def _plate(limit: float | None) -> float | None:
    return None if limit is None else degrees(atan(limit))


def _says(case: Case, worst: _Way, verdict: Verdict) -> Statements:
    lead = {"go": "stands", "caution": "careful", "no-go": "steep", "unknown": "steep"}[verdict]
    slope = Quantity(worst.slope, "angle")
    told = [
        Said(f"climbs.{lead}", slope=slope, grade=Quantity(tan(worst.slope * atan(1) / 45), "share")),
        Said("climbs.way", way=Term(worst.name)),
    ]
    if worst.plate is not None:
        told.append(Said("climbs.plate", plate=Quantity(worst.plate, "angle")))
    else:
        told.append(Said("climbs.tips", tips=Quantity(worst.tips, "angle")))
    if _asks_leave(case):
        told.append(Said("climbs.leave", across=Quantity(case.rules.limits.climbs.across, "slope")))
    return tuple(told)
