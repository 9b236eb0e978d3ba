"""How far the order hangs on the weights."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def first_shares(values: ArrayLike, ranked: bool = False, draws: int = 10_000, seed: int = 0) -> Array:
    """Share of weightings under which each machine scores highest; a tie is split.

    values[machine, criterion], 0 to 1. ranked: draw only weightings that keep the order of the columns (first column
    most important), else all. The rank-one acceptability of SMAA-2, Lahdelma & Salminen (2001), Operations Research
    49:444-454: a share of weightings, not a chance of success. Exponential draws over their sum are uniform on the
    simplex. Standard error sqrt(b (1 - b)/draws): 0.005 at most for 10,000.
    """
    values = np.asarray(values, float)
    weights = np.random.default_rng(seed).standard_exponential((draws, values.shape[1]))
    weights /= weights.sum(axis=1, keepdims=True)
    if ranked:
        weights = -np.sort(-weights, axis=1)
    scores = weights @ values.T
    leads = np.isclose(scores, scores.max(axis=1, keepdims=True), rtol=0, atol=1e-12)
    return (leads / leads.sum(axis=1, keepdims=True)).mean(axis=0)


def weight_interval(values: ArrayLike, weights: ArrayLike, criterion: int) -> tuple[float, float]:
    """Range of one criterion's weight in which the leader stays ahead, the others sharing the rest as they do now.

    values[machine, criterion], 0 to 1. weights: summing to 1.

    With D the leader's lead over a rival, D_k the part on the criterion and D_R = (D - w_k D_k)/(1 - w_k), the lead
    at weight t is t D_k + (1 - t) D_R, zero at t* = D_R/(D_R - D_k). The interval is what all rivals leave.
    Algebra; equivalent to Triantaphyllou & Sanchez (1997), Decision Sciences 28:151-194.
    """
    values, weights = np.asarray(values, float), np.asarray(weights, float)
    scores = values @ weights
    leader = int(np.argmax(scores))
    low, high = 0.0, 1.0
    weight = float(weights[criterion])
    if weight >= 1.0:  # the others have no proportions to keep
        return 1.0, 1.0
    for rival in range(len(values)):
        on_criterion = float(values[leader, criterion] - values[rival, criterion])
        lead = float(scores[leader] - scores[rival])
        on_the_rest = (lead - weight * on_criterion) / (1 - weight)
        if on_the_rest * on_criterion >= 0:  # no change of sign between weight 0 and weight 1
            continue
        flip = on_the_rest / (on_the_rest - on_criterion)
        if on_criterion > 0:
            low = max(low, min(flip, weight))
        else:
            high = min(high, max(flip, weight))
    return low, high
