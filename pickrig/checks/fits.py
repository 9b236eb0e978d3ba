"""Does it get in and turn? Gate, headroom and aisle, with the attachment on."""

from dataclasses import dataclass
from math import inf, isinf

from pickrig.checks.carrying import base_length
from pickrig.checks.case import Case, need
from pickrig.checks.finding import Finding, Verdict
from pickrig.physics import turning

_HAIR = 1e-6  # m: inches turned into metres and back must not shut a gate that is just wide enough


@dataclass(frozen=True)
class _Place:
    """An opening, what the machine needs of it, and the clearance that leaves (a side, or overhead), m."""

    name: str
    opening: float
    needs: float
    clearance: float
    working: str


def fits(case: Case) -> Finding:
    """Clearance at the tightest of the gate, the headroom and the aisle that were given. See `Finding`."""
    places = _places(case)
    missing = [key for key in ("gate", "headroom") if getattr(case.job.access, key) is None]
    if not places:
        return Finding(
            check="fits",
            verdict="unknown",
            unit="length",
            says=(
                'Cannot be told: no gate was given. Measure the narrowest place on the way in, or write gate = "open".'
            ),
            remedy="Measure the narrowest place on the way in.",
            depends_on=("access.gate",),
        )
    tightest = min(places, key=lambda p: p.clearance)
    limits = case.rules.limits.fits
    clearance = tightest.clearance + _HAIR
    verdict: Verdict = "go" if clearance >= limits.go_m else "caution" if clearance >= limits.caution_m else "no-go"
    if verdict != "no-go" and "gate" in missing:
        verdict = "unknown"
    known = not isinf(tightest.clearance)
    return Finding(
        check="fits",
        verdict=verdict,
        unit="length",
        value=tightest.clearance,
        limit=limits.caution_m,
        margin=tightest.opening / _least(tightest, limits.caution_m) if known else None,
        says=_says(case, places, verdict, missing),
        working=tuple(place.working for place in places),
        sources=(*case.cite("plane geometry"), f"clearances: {case.rules.cite(limits)}"),
        depends_on=("access.gate", "access.headroom", "access.aisle", "machine.width", "machine.height"),
        remedy=_remedy(case, places) if verdict == "no-go" else "Measure the gate." if verdict == "unknown" else "",
    )


def _places(case: Case) -> list[_Place]:
    access = case.job.access
    places = []
    if access.gate is not None:
        places.append(_gate(case, access.gate))
    if access.headroom is not None:
        height = need(case.machine.height, "height")
        line = f"headroom {_open(case, access.headroom)} - height {case.show(height, 'length')}"
        places.append(_Place("headroom", access.headroom, height, access.headroom - height, line))
    if access.aisle is not None:
        places.append(_aisle(case, access.aisle))
    return places


def _gate(case: Case, gate: float) -> _Place:
    width, attachment = need(case.machine.width, "width"), _attachment_width(case)
    widest = max(width, attachment)
    line = (
        f"gate {_open(case, gate)} - the wider of machine {case.show(width, 'length')} and {case.attachment} "
        f"{case.show(attachment, 'length')}, halved"
    )
    return _Place("gate", gate, widest, (gate - widest) / 2, line)


def _attachment_width(case: Case) -> float:
    width = case.rules.attachments[case.attachment][case.machine.frame].width
    return need(case.machine.width, "width") if width == "machine" else width


def _aisle(case: Case, aisle: float) -> _Place:
    """Room to turn half round on the spot, or round a right-angle bend for a machine that steers."""
    machine = case.machine
    if machine.kind == "articulated loader":
        outer, inner = need(machine.outer_radius, "outer_radius"), need(machine.inner_radius, "inner_radius")
        frame = {name: case.rules.attachments[name][machine.frame] for name in (case.attachment, "bucket")}
        outer += frame[case.attachment].projection - frame["bucket"].projection
        needs = float(turning.bend_aisle(outer, inner))
        turn = "a right-angle bend"
        line = f"a right-angle bend needs R_o {case.show(outer, 'length')} - R_i {case.show(inner, 'length')}/sqrt 2"
    else:
        frame = {name: case.rules.attachments[name][machine.frame] for name in (case.attachment, "bucket")}
        length = need(machine.length, "length") - frame["bucket"].projection + frame[case.attachment].projection
        rear = base_length(case) / 2 + need(machine.rear_overhang, "rear_overhang")
        front = length - rear
        needs = float(turning.spin_aisle(front, _attachment_width(case), rear, need(machine.width, "width")))
        turn = "half a turn on the spot"
        line = (
            f"half a turn on the spot needs R_front + R_rear, {case.show(front, 'length')} and "
            f"{case.show(rear, 'length')} from the middle"
        )
    line += f" = {case.show(needs, 'length')} of {_open(case, aisle)}, halved"
    return _Place(f"aisle for {turn}", aisle, needs, (aisle - needs) / 2, line)


def _least(place: _Place, clearance: float) -> float:
    """The smallest opening it may go through with this clearance (a side, or overhead)."""
    return place.needs + clearance * (1 if place.name == "headroom" else 2)


def _failing(case: Case, places: list[_Place]) -> list[_Place]:
    return [place for place in places if place.clearance + _HAIR < case.rules.limits.fits.caution_m]


def _says(case: Case, places: list[_Place], verdict: Verdict, missing: list[str]) -> str:
    tightest = min(places, key=lambda p: p.clearance)
    failing = _failing(case, places)
    if failing:
        told = [f"the {p.name} is {_open(case, p.opening)}, it needs {case.show(p.needs, 'length')}" for p in failing]
        return f"Does not go in: {'; '.join(told)}, and a little room."
    if isinf(tightest.opening):
        said = "The way in is open."
    else:
        side = "overhead" if tightest.name == "headroom" else "a side"
        lead = {"go": "Goes in", "caution": "Goes in with a spotter", "unknown": "Fits what was measured"}[verdict]
        said = (
            f"{lead}: {case.show(tightest.clearance, 'length')} {side} at the {tightest.name} of "
            f"{_open(case, tightest.opening)}."
        )
    return f"{said} The gate itself was not given: measure it." if "gate" in missing else said


def _remedy(case: Case, places: list[_Place]) -> str:
    ways = {
        "gate": "Take the gate leaf or a fence panel out",
        "headroom": "Find a way in with more headroom",
        "aisle": "Find more room to turn, or back in and out",
    }
    clearance = case.rules.limits.fits.caution_m
    return " ".join(
        f"{ways[place.name.split()[0]]}: it needs {case.show(_least(place, clearance), 'length')}."
        for place in _failing(case, places)
    )


def _open(case: Case, opening: float) -> str:
    return "open" if opening == inf else case.show(opening, "length")
