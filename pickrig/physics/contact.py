"""What a machine presses on the ground: track pressure, tyre patch, axle loads."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def track_pressure(
    load: ArrayLike, contact_length: ArrayLike, track_width: ArrayLike, tracks: int = 2, eccentricity: ArrayLike = 0.0
) -> tuple[Array, Array]:
    """Mean and peak pressure under rigid tracks, Pa.

    load: total weight on all tracks, N. contact_length, track_width: m, hard ground. eccentricity: distance of the
    resultant from mid-length, m, either sign.

    mean = N / (tracks b L). Peak from a linear pressure distribution: mean (1 + 6|e|/L) while |e| <= L/6, else
    2 N / (3 tracks b (L/2 - |e|)) on the part of the track still pressed down.

    Statics of a rigid strip (middle-third rule). A rubber belt peaks under each roller by a further factor that this
    does not hold. Raises ValueError where |e| >= L/2: the machine tips, there is no pressure to speak of.
    """
    load, length, width, offset = (np.asarray(x, float) for x in (load, contact_length, track_width, eccentricity))
    offset = np.abs(offset)
    if np.any(offset >= length / 2):
        raise ValueError("the resultant lies outside the contact length: the machine tips")
    mean = load / (tracks * width * length)
    within_third = mean * (1 + 6 * offset / length)
    beyond_third = 2 * load / (3 * tracks * width * (length / 2 - offset))
    return mean, np.where(offset <= length / 6, within_third, beyond_third)


def effective_length(contact_length: ArrayLike, eccentricity: ArrayLike) -> Array:
    """Length of track that carries an off-centre load as if it were uniform, m: L' = L - 2|e|, never below zero.

    Meyerhof's effective footing dimension, UFC 3-220-20 (2025) section 5-3.3. For bearing capacity and mean pressure;
    not to be mixed with the peak of `track_pressure`.
    """
    return np.maximum(np.asarray(contact_length, float) - 2 * np.abs(np.asarray(eccentricity, float)), 0.0)


def resultant_offset(
    weight: ArrayLike,
    contact_length: ArrayLike,
    rear_share: ArrayLike,
    payload: ArrayLike = 0.0,
    reach: ArrayLike = 0.0,
) -> Array:
    """Distance of the resultant ahead of mid-track, m (negative: behind).

    weight, payload: N. contact_length: m. rear_share: distance of the empty centre of gravity behind the front end of
    the contact length, as a share of that length. reach: load centre ahead of that front end, m.

    Moments about mid-track: e = [P (L/2 + a) - W L (r - 1/2)] / (W + P). Statics.
    """
    weight, length, rear, payload, reach = (
        np.asarray(x, float) for x in (weight, contact_length, rear_share, payload, reach)
    )
    return (payload * (length / 2 + reach) - weight * length * (rear - 0.5)) / (weight + payload)


def axle_loads(
    weight: ArrayLike, wheelbase: ArrayLike, rear_share: ArrayLike, payload: ArrayLike = 0.0, reach: ArrayLike = 0.0
) -> tuple[Array, Array]:
    """Load on the front and on the rear axle when carrying, N.

    weight: machine with its empty attachment, N. rear_share: part of it on the rear axle. payload: N, its centre
    `reach` m ahead of the front axle. A negative rear load means the machine tips forward.

    F = W (1 - r) + P (L + a)/L, R = W + P - F: moments about the rear axle. Statics.
    """
    weight, wheelbase, rear, payload, reach = (
        np.asarray(x, float) for x in (weight, wheelbase, rear_share, payload, reach)
    )
    front = weight * (1 - rear) + payload * (wheelbase + reach) / wheelbase
    return front, weight + payload - front


def tyre_patch(
    load: ArrayLike, diameter: ArrayLike, width: ArrayLike, deflection: ArrayLike
) -> tuple[Array, Array, Array]:
    """Contact length, area and mean pressure of one tyre on firm ground: m, m2, Pa.

    load: N on this tyre. diameter, width, deflection: m.

    Chord of the deflected circle l = 2 sqrt(d delta - delta^2); ellipse A = (pi/4) b l; p = N / A. Geometry. Other
    published areas for the same tyre spread the pressure by a factor of up to four, so compare tyres with tyres.
    """
    load, diameter, width, deflection = (np.asarray(x, float) for x in (load, diameter, width, deflection))
    length = 2 * np.sqrt(diameter * deflection - deflection**2)
    area = np.pi / 4 * width * length
    return length, area, load / area


def tyre_deflection(load: ArrayLike, inflation: ArrayLike) -> Array:
    """Hard-surface deflection of a pneumatic tyre, m: 0.008 + 0.001 (0.365 + 170/p) W, W in kN and p in kPa.

    load: N on this tyre. inflation: Pa.

    Saarilahti (2002), Soil interaction model, ECOWOOD, eq. 2.22. Fitted on forestry tyres; a tyre maker's load and
    deflection table is better. The first term, 0.008, is from memory (one public code has 0.0008).
    """
    kilonewton, kilopascal = np.asarray(load, float) / 1e3, np.asarray(inflation, float) / 1e3
    return 0.008 + 0.001 * (0.365 + 170 / kilopascal) * kilonewton
