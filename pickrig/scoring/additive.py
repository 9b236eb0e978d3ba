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


def fold(worst: ArrayLike, best: ArrayLike, weights: ArrayLike) -> tuple[Array, float]:
    """Straight value curves and weights folded into one slope a criterion and an offset: V = x . slopes + offset.

    worst, best: the ends of each criterion's curve, in its own unit; best may be the smaller. weights: summing to 1.
    Within the ends this is `additive` on straight curves, reading the matrix once; beyond them a curve is held and
    this is not.
    """
    worst, best, weights = (np.asarray(x, float) for x in (worst, best, weights))
    slopes = weights / (best - worst)
    return slopes, float(-np.sum(slopes * worst))


def folded_scores(measured: ArrayLike, slopes: ArrayLike, offset: float) -> Array:
    """Scores[machine] of measured[machine, criterion], each in its own unit and within the ends given to `fold`."""
    scores = np.asarray(measured, float) @ np.asarray(slopes, float)
    scores += offset
    return scores


def dominated(values: ArrayLike) -> NDArray[np.bool_]:
    """[machine, rival]: whether the rival is at least as good on every criterion and better on one.

    values[machine, criterion]. Pareto dominance.
    """
    values = np.asarray(values, float)
    rival_less_own = values[None, :, :] - values[:, None, :]
    return np.all(rival_less_own >= 0, axis=-1) & np.any(rival_less_own > 0, axis=-1)
