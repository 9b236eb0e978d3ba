"""Views shown beside the answer: the standing machine as a footing, and the building code's table."""

from dataclasses import dataclass

from pickrig.checks.carrying import GRAVITY, Carry
from pickrig.checks.case import Case, need
from pickrig.checks.tyres import deflection
from pickrig.physics import bearing, contact


def beside(case: Case, loading: Carry) -> tuple[str, ...]:
    """What bearing capacity and the presumptive table say of the loaded machine standing still."""
    if case.brief:
        return ()
    return (*_footing(case, loading), *_presumptive(case))


def _footing(case: Case, loading: Carry) -> tuple[str, ...]:
    patch = _patch(case, loading)
    soil = case.rules.soils.get(case.job.ground.soil or "")
    stands = (
        f"Standing loaded, the {patch.name} presses {case.show(patch.mean, 'pressure')} on "
        f"{case.show(patch.width, 'small length')} x {case.show(patch.length, 'small length')}{patch.peak_says}"
    )
    source = case.cite("surface bearing capacity")[0]
    if soil is not None and soil.drained_friction is not None:
        return (f"{stands}. {_on_grains(case, patch, soil.drained_friction)} [{source}]",)
    if case.site.undrained_tenths is None:
        return ()
    return (f"{stands}. {_on_clay(case, patch, case.site.undrained_tenths)} [{source}]",)


def _on_clay(case: Case, patch: "_Patch", cohesions: tuple[float, float, float]) -> str:
    """Ratio of capacity to the peak pressure over the band of strength; the verdict is the worst tenth's."""
    unit_weight = case.rules.strength["moist_unit_weight"].value
    capacities = [float(bearing.surface_capacity(patch.width, patch.length, c, 0.0, unit_weight)) for c in cohesions]
    ratios = [capacity / patch.peak for capacity in capacities]
    wanted = case.rules.limits.floor_ratio.value
    told = ", ".join(f"{ratio:.1f}" for ratio in ratios)
    if ratios[0] >= wanted:
        verdict = "enough to stand without mats even there"
    elif ratios[1] >= wanted:
        verdict = f"under {wanted:.0f} there: test the spot, or lay mats where it stands"
    else:
        verdict = f"under {wanted:.0f}: lay mats where it stands"
    strengths = ", ".join(case.show(c, "pressure") for c in cohesions)
    return (
        f"Undisturbed shear strength {strengths} (worst tenth, middle, best tenth) fails under "
        f"{case.show(capacities[0], 'pressure')} in the worst tenth; over the peak pressure that is {told} times: "
        f"{verdict}. Bearing capacity explains; it did not decide."
    )


def _on_grains(case: Case, patch: "_Patch", friction: float) -> str:
    """On sand and gravel the equation makes every small patch look weak, so it gives no advice there."""
    unit_weight = case.rules.strength["moist_unit_weight"].value
    if case.job.ground.standing_water:
        unit_weight -= 1000 * GRAVITY  # submerged
    capacity = float(bearing.surface_capacity(patch.width, patch.length, 0.0, friction, unit_weight))
    return (
        f"A footing of that size on the surface of grains at {friction:.0f} degrees fails under "
        f"{case.show(capacity, 'pressure')}: a small patch settles in until it is confined, so this says little of a "
        "machine; it did not decide."
    )


@dataclass(frozen=True)
class _Patch:
    """What stands loaded: m and Pa."""

    name: str
    width: float
    length: float
    mean: float
    peak: float
    peak_says: str


def _patch(case: Case, loading: Carry) -> _Patch:
    total = (loading.mass + loading.payload) * GRAVITY
    if case.machine.tracks:
        width = need(case.machine.tracks.width, "tracks.width")
        offset = contact.resultant_offset(
            loading.mass, loading.base, loading.rear_share, loading.payload, loading.low_reach
        )
        length = float(contact.effective_length(loading.base, offset))
        _, peak = contact.track_pressure(total, loading.base, width, eccentricity=offset)
        says = f" (rigid-track peak {case.show(float(peak), 'pressure')} at the end)"
        return _Patch("track", width, length, total / (2 * width * length), float(peak), says)
    tyres = case.machine.tyres
    assert tyres is not None
    width, diameter = need(tyres.width, "tyres.width"), need(tyres.diameter, "tyres.diameter")
    front, rear = contact.axle_loads(
        loading.mass * GRAVITY, loading.base, loading.rear_share, loading.payload * GRAVITY, loading.low_reach
    )
    wheel = float(max(front, rear)) / 2
    patch, area, pressure = contact.tyre_patch(wheel, diameter, width, deflection(case, wheel))
    name = "front tyre" if front > rear else "rear tyre"
    says = f" (an ellipse {case.show(float(patch), 'small length')} long)"
    return _Patch(name, width, float(area) / width, float(pressure), float(pressure), says)


def _presumptive(case: Case) -> tuple[str, ...]:
    soil = case.rules.soils.get(case.job.ground.soil or "")
    if soil is None:
        return ()
    row = case.rules.presumptive.get(soil.presumptive)
    if row is None:
        return ("The building code's table gives this soil no value without tests.",)
    return (
        f"The building code's table allows {case.show(row.kpa * 1e3, 'pressure')} under a footing on {row.says}: for "
        f"embedded footings, not for a machine on the surface; it did not decide. [{case.rules.cite(row)}]",
    )
