"""Does it get in and turn? Gate, headroom and aisle, with the attachment on."""

from dataclasses import dataclass
from math import isinf

from pickrig.checks.carrying import base_length
from pickrig.checks.case import Case, need
from pickrig.checks.cited import source
from pickrig.checks.finding import Account, Finding, Verdict
from pickrig.facts import Quantity, Said, Statements, Step, Value
from pickrig.physics import turning

_HAIR = 1e-6  # m: inches turned into metres and back must not shut a gate that is just wide enough


@dataclass(frozen=True)
class _Place:
    """An opening ("gate", "headroom", "bend", "spin"), what the machine needs of it, and the clearance that leaves (a
    side, or overhead), m."""

    name: str
    opening: float
    needs: float
    clearance: float
    working: Step

    def least(self, clearance: float) -> float:
        """The smallest opening it may go through with this clearance (a side, or overhead)."""
        return self.needs + clearance * (1 if self.name == "headroom" else 2)


def fits(case: Case) -> Finding:
    """Clearance at the tightest of the gate, the headroom and the aisle that were given. See `Finding`."""
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
        depends_on=("access.gate", "access.headroom", "access.aisle", "machine.width", "machine.height"),
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
        places.append(_gate(case, access.gate))
    if access.headroom is not None:
        height = need(case.machine.height, "height")
        clearance = access.headroom - height
        step = Step("fits.headroom", H=_length(access.headroom), h=_length(height), c=_length(clearance))
        places.append(_Place("headroom", access.headroom, height, clearance, step))
    if access.aisle is not None:
        places.append(_aisle(case, access.aisle))
    return places


def _length(metres: float) -> Quantity:
    return Quantity(metres, "length")


def _gate(case: Case, gate: float) -> _Place:
    width, attachment = need(case.machine.width, "width"), case.tool_width
    widest = max(width, attachment)
    clearance = (gate - widest) / 2
    step = Step(
        "fits.gate", G=_length(gate), w_machine=_length(width), w_tool=_length(attachment), c=_length(clearance)
    )
    return _Place("gate", gate, widest, clearance, step)


def _aisle(case: Case, aisle: float) -> _Place:
    """Room to turn half round on the spot, or round a right-angle bend for a machine that steers."""
    machine = case.machine
    frame = {name: case.rules.attachments[name][machine.frame] for name in (case.attachment, "bucket")}
    longer = frame[case.attachment].projection - frame["bucket"].projection
    symbols: dict[str, Value]
    if machine.kind == "articulated loader":
        outer, inner = need(machine.outer_radius, "outer_radius") + longer, need(machine.inner_radius, "inner_radius")
        needs, name = float(turning.bend_aisle(outer, inner)), "bend"
        symbols = {"R_o": _length(outer), "R_i": _length(inner)}
    else:
        rear = base_length(case) / 2 + need(machine.rear_overhang, "rear_overhang")
        front = need(machine.length, "length") + longer - rear
        needs, name = float(turning.spin_aisle(front, case.tool_width, rear, need(machine.width, "width"))), "spin"
        symbols = {"f": _length(front), "w_f": _length(case.tool_width), "r": _length(rear)}
        symbols["w_r"] = _length(need(machine.width, "width"))
    clearance = (aisle - needs) / 2
    step = Step(f"fits.{name}", **symbols, A=_length(aisle), needs=_length(needs), c=_length(clearance))
    return _Place(name, aisle, needs, clearance, step)


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
    unknown = (Said("fits.gate_unknown"),) if case.job.access.gate is None else ()
    if isinf(tightest.opening):
        return (Said("fits.open"), *unknown)
    word = {"go": "go", "caution": "tight", "unknown": "go", "no-go": "tight"}[verdict]
    clearance = _length(tightest.clearance)
    return (Said(f"fits.{word}_{tightest.name}", clearance=clearance, opening=_length(tightest.opening)), *unknown)


def _remedy(case: Case, places: list[_Place]) -> Statements:
    clearance = case.rules.limits.fits.caution_m
    return tuple(
        Said(f"fits.mend_{place.name}", needs=_length(place.least(clearance))) for place in _failing(case, places)
    )
