"""Does it get in and turn? Gate, headroom, bend and turning room, with the attachment on."""

from dataclasses import dataclass
from functools import lru_cache
from math import isinf

import numpy as np

from pickrig.checks.carrying import base_length
from pickrig.checks.case import Case, need
from pickrig.checks.cited import source
from pickrig.checks.finding import Account, Finding, Verdict
from pickrig.checks.snow.ways import is_walk
from pickrig.facts import Quantity, Said, Statements, Step, Value
from pickrig.physics import turning

_half_turn_lane = lru_cache(maxsize=1024)(turning.half_turn_lane)  # asked again for every lane that is tried
_TURNS = 200  # radii of turn that are tried in a bend
_HAIR = 1e-6  # m: inches turned into metres and back must not shut a gate that is just wide enough


@dataclass(frozen=True)
class _Place:
    """An opening ("gate", "headroom", "bend", "spin" on the spot, "turn" in three arcs), what the machine needs of it,
    and the clearance that leaves (a side, or overhead), m."""

    name: str
    opening: float
    needs: float
    clearance: float
    working: Step

    def least(self, clearance: float) -> float:
        """The smallest opening it may go through with this clearance (a side, or overhead)."""
        return self.needs + clearance * (1 if self.name == "headroom" else 2)


def fits(case: Case) -> Finding:
    """Clearance at the tightest of the gate, the headroom, the bend and the lane that were given. See `Finding`."""
    places = _places(case)
    if not places:
        return Finding(
            check="fits",
            verdict="unknown",
            unit="length",
            depends_on=("access.gate",),
            account=lambda: Account((Said("fits.unmeasured"),), (Said("fits.measure"),)),
        )
    tightest = min(places, key=lambda p: p.clearance)
    limits = case.rules.limits.fits
    clearance = tightest.clearance + _HAIR
    verdict: Verdict = "go" if clearance >= limits.go_m else "caution" if clearance >= limits.caution_m else "no-go"
    gate_unknown = case.job.access.gate is None
    if verdict != "no-go" and gate_unknown:
        verdict = "unknown"
    known = not isinf(tightest.clearance)
    return Finding(
        check="fits",
        verdict=verdict,
        unit="length",
        value=tightest.clearance,
        limit=limits.caution_m,
        margin=tightest.opening / tightest.least(limits.caution_m) if known else None,
        depends_on=("access", "machine.width", "machine.height"),
        account=lambda: Account(
            says=_says(case, places, verdict),
            remedy=_remedy(case, places) if verdict == "no-go" else (Said("fits.measure"),) * (verdict == "unknown"),
            working=tuple(place.working for place in places),
            sources=(*case.cite("plane geometry"), source(case.rules, limits, "source.clearances")),
        ),
    )


def _places(case: Case) -> list[_Place]:
    access = case.job.access
    places = []
    if access.gate is not None:
        places.append(_between(case, "gate", access.gate))
    if access.headroom is not None:
        height = need(case.machine.height, "height")
        clearance = access.headroom - height
        step = Step("fits.headroom", H=_length(access.headroom), h=_length(height), c=_length(clearance))
        places.append(_Place("headroom", access.headroom, height, clearance, step))
    if access.passage is not None:
        places.append(_between(case, "passage", access.passage))
    if case.job.snow is not None and is_walk(case):
        places.append(_between(case, "walk", case.job.snow.sides[1]))
    if access.bend is not None:
        places.append(_bend(case, access.bend))
    if access.lane is not None:
        places.append(_half_turn(case, access.lane))
    return places


def _length(metres: float) -> Quantity:
    return Quantity(metres, "length")


def _between(case: Case, name: str, opening: float) -> _Place:
    """Through a gate, or along a walk, as wide as the wider of machine and tool."""
    width, attachment = need(case.machine.width, "width"), case.tool_width
    widest = max(width, attachment)
    clearance = (opening - widest) / 2
    step = Step(
        f"fits.{name}", G=_length(opening), w_machine=_length(width), w_tool=_length(attachment), c=_length(clearance)
    )
    return _Place(name, opening, widest, clearance, step)


@dataclass(frozen=True)
class _Plan:
    """A machine from above, m: its tightest turn, and how far and how wide it is ahead of and behind its middle."""

    radius: float
    front: float
    front_width: float
    rear: float
    rear_width: float

    @property
    def sides(self) -> tuple[float, float, float, float]:
        return self.front, self.front_width, self.rear, self.rear_width

    @property
    def symbols(self) -> dict[str, Value]:
        names = ("f", "w_f", "r", "w_r")
        return {name: _length(side) for name, side in zip(names, self.sides, strict=True)}


def _longer(case: Case) -> float:
    """How much further than the bucket on its plate the attachment reaches, m."""
    frame = {name: case.rules.attachments[name][case.machine.frame] for name in (case.attachment, "bucket")}
    return frame[case.attachment].projection - frame["bucket"].projection


def _circles(case: Case) -> tuple[float, float]:
    """Outer and inner clearance circle of a machine that steers, m."""
    machine = case.machine
    return need(machine.outer_radius, "outer_radius") + _longer(case), need(machine.inner_radius, "inner_radius")


def _plan(case: Case) -> _Plan:
    """Straight, as it stands: a machine that steers turns about its inner circle, any other on the spot."""
    machine, width = case.machine, need(case.machine.width, "width")
    length = need(machine.length, "length") + _longer(case)
    if machine.kind == "articulated loader":
        return _Plan(_circles(case)[1] + width / 2, length / 2, case.tool_width, length / 2, width)
    rear = base_length(case) / 2 + need(machine.rear_overhang, "rear_overhang")
    return _Plan(0.0, length - rear, case.tool_width, rear, width)


def _bend(case: Case, lanes: tuple[float, float]) -> _Place:
    """Round a right-angle bend: between the circles of its plate, or on whatever turn suits one that turns on the
    spot."""
    first, second = lanes
    symbols: dict[str, Value]
    if case.machine.kind == "articulated loader":
        outer, inner = _circles(case)
        ring = outer - inner
        clearance = turning.bend_clearance(first, second, (outer + inner) / 2, 0.0, ring, 0.0, ring)
        symbols = {"R_o": _length(outer), "R_i": _length(inner)}
    else:
        plan = _plan(case)
        widest = max(plan.front_width, plan.rear_width)
        turns = np.linspace(widest / 2, widest / 2 + 2 * plan.front, _TURNS)
        clearance = turning.bend_clearance(first, second, turns, *plan.sides)
        symbols = plan.symbols
    opening = min(lanes)
    step = Step("fits.bend", A_1=_length(first), A_2=_length(second), **symbols, c=_length(clearance))
    return _Place("bend", opening, opening - 2 * clearance, clearance, step)


def _half_turn(case: Case, lane: float) -> _Place:
    """Room to turn half round: on the spot, or in three arcs for a machine that steers."""
    plan = _plan(case)
    name = "turn" if plan.radius else "spin"
    needs = _half_turn_lane(plan.radius, *plan.sides)
    clearance = (lane - needs) / 2
    symbols = ({"R": _length(plan.radius)} if plan.radius else {}) | plan.symbols
    step = Step(f"fits.{name}", **symbols, A=_length(lane), needs=_length(needs), c=_length(clearance))
    return _Place(name, lane, needs, clearance, step)


def _failing(case: Case, places: list[_Place]) -> list[_Place]:
    return [place for place in places if place.clearance + _HAIR < case.rules.limits.fits.caution_m]


def _says(case: Case, places: list[_Place], verdict: Verdict) -> Statements:
    tightest = min(places, key=lambda p: p.clearance)
    failing = _failing(case, places)
    if failing:
        return tuple(
            Said(
                f"fits.no_{place.name}",
                opening=_length(place.opening),
                needs=_length(place.needs),
                over=_length(max(place.needs - place.opening, 0.0)),
            )
            for place in failing
        )
    besides: Statements = (Said("fits.gate_unknown"),) if case.job.access.gate is None else ()
    if case.job.access.back_out:
        besides += (Said("fits.backs_out"),)
    if isinf(tightest.opening):
        return (Said("fits.open"), *besides)
    word = {"go": "go", "caution": "tight", "unknown": "go", "no-go": "tight"}[verdict]
    clearance = _length(tightest.clearance)
    return (Said(f"fits.{word}_{tightest.name}", clearance=clearance, opening=_length(tightest.opening)), *besides)


def _remedy(case: Case, places: list[_Place]) -> Statements:
    """What to change: the tool, where the machine alone would pass, else the opening."""
    clearance = case.rules.limits.fits.caution_m
    width, tool = need(case.machine.width, "width"), case.tool_width
    told = []
    for place in _failing(case, places):
        if place.name in ("gate", "passage", "walk") and width + 2 * clearance <= place.opening + _HAIR:
            told.append(Said("fits.mend_tool", tool=_length(tool), width=_length(width)))
        else:
            told.append(Said(f"fits.mend_{place.name}", needs=_length(place.least(clearance))))
    return tuple(told)
