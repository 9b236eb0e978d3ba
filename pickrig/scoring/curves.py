"""From a natural unit to a value between 0 and 1, and back."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def piecewise_value(x: ArrayLike, points: ArrayLike, values: ArrayLike) -> Array:
    """Value of x on a monotone piecewise-linear curve, held at its ends.

    points: strictly increasing, in x's unit. values: between 0 and 1, rising or falling throughout. Raises ValueError
    when they are not: a curve that turns back would reward getting worse.
    """
    at, worth = np.asarray(points, float), np.asarray(values, float)
    if np.any(np.diff(at) <= 0):
        raise ValueError("the points of a value curve must increase")
    steps = np.diff(worth)
    if not (np.all(steps >= 0) or np.all(steps <= 0)) or worth.min() < 0 or worth.max() > 1:
        raise ValueError("the values of a value curve must rise or fall throughout, between 0 and 1")
    return np.interp(np.asarray(x, float), at, worth)


def curved_scores(measured: ArrayLike, points: list[Array], values: list[Array], weights: ArrayLike) -> Array:
    """Scores[machine] of measured[machine, criterion] on one curve a criterion, each in its own unit.

    points, values: arrays a criterion, as `piecewise_value` takes them, and already known to be good: they are not
    checked again here. weights: summing to 1. The same as `additive` on the curves' values, one criterion at a time.
    """
    measured = np.asarray(measured, float)
    scores = np.zeros(measured.shape[0])
    for k, weight in enumerate(np.asarray(weights, float).tolist()):
        scores += weight * np.interp(measured[:, k], points[k], values[k])
    return scores


def point_of_value(value: float, points: ArrayLike, values: ArrayLike) -> float:
    """The point at which a curve reaches a value; where it is flat there, the end nearer the worse.

    points, values: as in `piecewise_value`. value: between 0 and 1; held at the curve's own ends.
    """
    at, worth = np.asarray(points, float), np.asarray(values, float)
    if worth[-1] < worth[0]:
        return float(-point_of_value(value, -at[::-1], worth[::-1]))
    rising, first = np.unique(worth, return_index=True)
    return float(np.interp(value, rising, at[first]))
