"""Rounded parts that still add up."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def rounded_parts(parts: ArrayLike, decimals: int = 1) -> Array:
    """The parts rounded so that they sum to the rounded total (largest remainders are rounded up first).

    parts: one-dimensional, any sign.
    """
    scaled = np.asarray(parts, float) * 10**decimals
    floors = np.floor(scaled)
    short = round(float(scaled.sum())) - int(floors.sum())
    order = np.argsort(-(scaled - floors), kind="stable")
    floors[order[:short]] += 1
    return floors / 10**decimals
