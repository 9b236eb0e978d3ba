"""How much a loader moves in an hour."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def cycle_time(fixed: ArrayLike, distance: ArrayLike, loaded_speed: ArrayLike, empty_speed: ArrayLike) -> Array:
    """Time of one trip there and back, s: fixed + d/v_loaded + d/v_empty.

    fixed: load, manoeuvre and dump, s. distance: one way, m. speeds: m/s, above zero. Definition; elements as a maker's
    performance handbook, 47th ed., pp. 18-29 to 18-31, gives them.
    """
    distance = np.asarray(distance, float)
    travel = distance / np.asarray(loaded_speed, float) + distance / np.asarray(empty_speed, float)
    return np.asarray(fixed, float) + travel


def trips(total: ArrayLike, each: ArrayLike) -> Array:
    """Trips to move a total, the last one lighter. Both in the same unit; each above zero.

    A billionth over a whole number of trips is rounding: "60 yd3" and the same in m3 make the same trips. Arithmetic.
    """
    return np.ceil(np.asarray(total, float) / np.asarray(each, float) - 1e-9)


def area_rate(speed: ArrayLike, width: ArrayLike, efficiency: ArrayLike) -> Array:
    """Area worked a second, m2/s: v w e (mph x ft x e / 8.25 acre an hour).

    speed: m/s. width: worked in one pass, m. efficiency: as a fraction. ASAE Standards (2000), machinery cost
    equations.
    """
    return np.asarray(speed, float) * np.asarray(width, float) * np.asarray(efficiency, float)


def loose_volume(bank: ArrayLike, swell: ArrayLike) -> Array:
    """Volume once dug, in the unit of the bank volume: V (1 + s). swell: as a fraction. Definition."""
    return np.asarray(bank, float) * (1 + np.asarray(swell, float))
