"""Views shown beside the answer: the standing machine as a footing, and the building code's table."""

from dataclasses import dataclass

from pickrig.checks.carrying import GRAVITY, Carry
from pickrig.checks.case import Case, need
from pickrig.checks.cited import source
from pickrig.checks.tyres import deflection
from pickrig.facts import Quantity, Ruled, Said, Statements, Term, number, small
from pickrig.physics import bearing, contact


def beside(case: Case, loading: Carry) -> Statements:
    """What bearing capacity and the presumptive table say of the loaded machine standing still."""
    return (*_footing(case, loading), *_presumptive(case))


def _footing(case: Case, loading: Carry) -> Statements:
    patch = _patch(case, loading)
    soil = case.rules.soils.get(case.job.ground.soil or "")
    stands = Said(
        "footing.stands",
        what=Term(patch.name),
        pressure=Quantity(patch.mean, "pressure"),
        width=small(patch.width),
        length=small(patch.length),
        peak=Quantity(patch.peak, "pressure"),
    )
    cited = case.cite("surface bearing capacity")
    if soil is not None and soil.drained_friction is not None:
        return (stands, _on_grains(case, patch, soil.drained_friction), *cited)
    if case.site.undrained_tenths is None:
        return ()
    return (stands, *_on_clay(case, patch, case.site.undrained_tenths), *cited)


def _on_clay(case: Case, patch: "_Patch", cohesions: tuple[float, float, float]) -> Statements:
    """Ratio of capacity to the peak pressure over the band of strength; the verdict is the worst tenth's."""
    unit_weight = case.rules.strength["moist_unit_weight"].value
    capacities = [float(bearing.surface_capacity(patch.width, patch.length, c, 0.0, unit_weight)) for c in cohesions]
    worst, middle, best = (capacity / patch.peak for capacity in capacities)
    wanted = case.rules.limits.floor_ratio.value
    low, mid, high = (Quantity(c, "pressure") for c in cohesions)
    verdict = "enough" if worst >= wanted else "spots" if middle >= wanted else "short"
    return (
        Said("footing.clay", low=low, middle=mid, high=high, capacity=Quantity(capacities[0], "pressure")),
        Said(
            f"footing.{verdict}",
            worst=number(worst, 1),
            middle=number(middle, 1),
            best=number(best, 1),
            wanted=number(wanted, 0),
        ),
    )


def _on_grains(case: Case, patch: "_Patch", friction: float) -> Said:
    """On sand and gravel the equation makes every small patch look weak, so it gives no advice there."""
    unit_weight = case.rules.strength["moist_unit_weight"].value
    if case.job.ground.standing_water:
        unit_weight -= 1000 * GRAVITY  # submerged
    capacity = float(bearing.surface_capacity(patch.width, patch.length, 0.0, friction, unit_weight))
    return Said("footing.grains", friction=Quantity(friction, "angle"), capacity=Quantity(capacity, "pressure"))


@dataclass(frozen=True)
class _Patch:
    """What stands loaded ("track", "front_tyre", "rear_tyre"): m and Pa."""

    name: str
    width: float
    length: float
    mean: float
    peak: float


def _patch(case: Case, loading: Carry) -> _Patch:
    total = (loading.mass + loading.payload) * GRAVITY
    if case.machine.tracks:
        width = need(case.machine.tracks.width, "tracks.width")
        offset = contact.resultant_offset(
            loading.mass, loading.base, loading.rear_share, loading.payload, loading.low_reach
        )
        length = float(contact.effective_length(loading.base, offset))
        _, peak = contact.track_pressure(total, loading.base, width, eccentricity=offset)
        return _Patch("track", width, length, total / (2 * width * length), float(peak))
    tyres = case.machine.tyres
    assert tyres is not None
    width, diameter = need(tyres.width, "tyres.width"), need(tyres.diameter, "tyres.diameter")
    front, rear = contact.axle_loads(
        loading.mass * GRAVITY, loading.base, loading.rear_share, loading.payload * GRAVITY, loading.low_reach
    )
    wheel = float(max(front, rear)) / 2
    _, area, pressure = contact.tyre_patch(wheel, diameter, width, deflection(case, wheel))
    name = "front_tyre" if front > rear else "rear_tyre"
    return _Patch(name, width, float(area) / width, float(pressure), float(pressure))


def _presumptive(case: Case) -> Statements:
    soil = case.rules.soils.get(case.job.ground.soil or "")
    if soil is None:
        return ()
    row = case.rules.presumptive.get(soil.presumptive)
    if row is None:
        return (Said("footing.no_code"),)
    allowed = Quantity(row.kpa * 1e3, "pressure")
    return (Said("footing.code", pressure=allowed, soil=Ruled(row.says)), source(case.rules, row))
