"""The weighted sum, and its parts."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def additive(values: ArrayLike, weights: ArrayLike) -> Array:
    """Scores[..., machine] = sum over criteria of values[..., machine, criterion] x weights[criterion].

    values: 0 to 1. weights: not negative, summing to 1. Summed row by row rather than by a matrix product, whose last
    bit hangs on how many machines there are.
    """
    return contributions(values, weights).sum(axis=-1)


def contributions(values: ArrayLike, weights: ArrayLike) -> Array:
    """What each criterion adds to each score: [..., machine, criterion], summing to `additive` along the last axis."""
    return np.asarray(values, float) * np.asarray(weights, float)
