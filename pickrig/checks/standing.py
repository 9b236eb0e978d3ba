"""Views shown beside the answer: the standing machine as a footing, and the building code's table."""

from pickrig.checks.case import Case, need
from pickrig.checks.loading import GRAVITY, Carry
from pickrig.checks.tyres import deflection
from pickrig.physics import bearing, contact


def beside(case: Case, loading: Carry) -> tuple[str, ...]:
    """What bearing capacity and the presumptive table say of the loaded machine standing still."""
    if case.brief:
        return ()
    return (*_footing(case, loading), *_presumptive(case))


def _footing(case: Case, loading: Carry) -> tuple[str, ...]:
    width, length, pressure, peak, name = _patch(case, loading)
    soil = case.rules.soils.get(case.job.ground.soil or "")
    if case.site.undrained_middle is not None:
        cohesion, friction = case.site.undrained_middle, 0.0
        ground = f"undrained strength {case.show(cohesion, 'pressure')}, middle of the draws"
    elif soil is not None and soil.drained_friction is not None:
        cohesion, friction = 0.0, soil.drained_friction
        ground = f"friction angle {friction:.0f} degrees"
    else:
        return ()
    unit_weight = case.rules.strength["moist_unit_weight"].value
    if case.job.ground.standing_water:
        unit_weight -= 1000 * GRAVITY  # submerged, in the drained term only
    capacity = float(bearing.surface_capacity(width, length, cohesion, friction, unit_weight))
    ratio, wanted = capacity / pressure, case.rules.limits.floor_ratio.value
    source = case.cite("surface bearing capacity")[0]
    verdict = "enough to stand without mats" if ratio >= wanted else f"under {wanted:.0f}: lay mats where it stands"
    return (
        f"Standing loaded, the {name} presses {case.show(pressure, 'pressure')} on {case.show(width, 'length')} x "
        f"{case.show(length, 'length')}{peak}; the surface fails at {case.show(capacity, 'pressure')} ({ground}): "
        f"ratio {ratio:.1f}, {verdict}. Bearing capacity explains; it did not decide. [{source}]",
    )


def _patch(case: Case, loading: Carry) -> tuple[float, float, float, str, str]:
    """Width, length and mean pressure of what stands loaded, a word on the peak, and its name."""
    total = (loading.mass + loading.payload) * GRAVITY
    if case.machine.tracks:
        width = need(case.machine.tracks.width, "track width")
        offset = contact.resultant_offset(
            loading.mass, loading.base, loading.rear_share, loading.payload, loading.low_reach
        )
        length = float(contact.effective_length(loading.base, offset))
        _, peak = contact.track_pressure(total, loading.base, width, eccentricity=offset)
        says = f" (rigid-track peak {case.show(float(peak), 'pressure')} at the end)"
        return width, length, total / (2 * width * length), says, "track"
    tyres = case.machine.tyres
    assert tyres is not None
    width, diameter = need(tyres.width, "tyre width"), need(tyres.diameter, "tyre diameter")
    front, rear = contact.axle_loads(
        loading.mass * GRAVITY, loading.base, loading.rear_share, loading.payload * GRAVITY, loading.low_reach
    )
    wheel = float(max(front, rear)) / 2
    patch, area, pressure = contact.tyre_patch(wheel, diameter, width, deflection(case, wheel))
    name = "front tyre" if front > rear else "rear tyre"
    says = f" (patch {case.show(float(patch), 'length')} long, an ellipse)"
    return width, float(area) / width, float(pressure), says, name


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
