"""Where a machine presses most on what it stands on."""

from pickrig.checks.carrying import GRAVITY, Carry
from pickrig.checks.case import Case, need
from pickrig.checks.tyres import tyre_patch
from pickrig.physics import contact


def most_pressure(case: Case, loading: Carry, payload: float) -> float:
    """Pa, under the heavy end of the tracks, or a tire of the heavier axle."""
    tracks = case.machine.tracks
    if tracks is None:
        return tyre_patch(case, heaviest_wheel(loading, payload))[2]
    offset = contact.resultant_offset(loading.mass, loading.base, loading.rear_share, payload, loading.low_reach)
    within = min(abs(float(offset)), 0.49 * loading.base)  # one that tips is told of elsewhere
    total, width = (loading.mass + payload) * GRAVITY, need(tracks.width, "tracks.width")
    return float(contact.track_pressure(total, loading.base, width, eccentricity=within)[1])


def heaviest_wheel(loading: Carry, payload: float) -> float:
    """Load on a wheel of the heavier of two axles, N."""
    axles = contact.axle_loads(loading.mass, loading.base, loading.rear_share, payload, loading.low_reach)
    return float(max(axles)) * GRAVITY / 2
