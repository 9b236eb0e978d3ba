"""How far the order hangs on the weights."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pickrig.scoring.weights import sample_weights

Array = NDArray[np.float64]

_TIE = 1e-12  # scores this close are the same score


@dataclass(frozen=True)
class Shares:
    """Over all weightings drawn: ranks[machine, rank], rows and columns summing to 1; central[machine, criterion], the
    mean weighting under which a machine leads, NaN where it never does."""

    ranks: Array
    central: Array

    @property
    def first(self) -> Array:
        return self.ranks[:, 0]


def first_shares(values: ArrayLike, ranked: bool = False, draws: int = 10_000, seed: int = 0) -> Array:
    """Share of weightings under which each machine scores highest; a tie is split.

    values[machine, criterion], 0 to 1. ranked: draw only weightings that keep the order of the columns (first column
    most important), else all. The rank-one acceptability of SMAA-2, Lahdelma & Salminen (2001), Operations Research
    49:444-454: a share of weightings, not a chance of success. Standard error sqrt(b (1 - b)/draws): 0.005 at most for
    10,000.
    """
    scores = _scores(values, ranked, draws, seed)[1]
    leads = scores >= scores.max(axis=1, keepdims=True) - _TIE
    return (leads / leads.sum(axis=1, keepdims=True)).mean(axis=0)


def rank_shares(values: ArrayLike, ranked: bool = False, draws: int = 10_000, seed: int = 0) -> Shares:
    """Share of weightings in which each machine takes each rank, and the mean weighting under which it leads.

    values, ranked, draws, seed: as in `first_shares`. Ties fall as they come. SMAA-2, Lahdelma &
    Salminen (2001), Operations Research 49:444-454.
    """
    weights, scores = _scores(values, ranked, draws, seed)
    machines = scores.shape[1]
    order = np.argsort(-scores, axis=1)
    places = order * machines + np.arange(machines)  # one number for each machine at each rank: a single count for all
    counts = np.bincount(places.ravel(), minlength=machines**2).reshape(machines, machines)
    leader = order[:, 0]
    sums = np.stack([np.bincount(leader, weights[:, k], minlength=machines) for k in range(weights.shape[1])], axis=1)
    led = counts[:, :1].astype(float)
    central = np.divide(sums, led, out=np.full_like(sums, np.nan), where=led > 0)
    return Shares(counts / draws, central)


def joint_first_shares(
    values: ArrayLike, holds: ArrayLike, criterion: int, ranked: bool = True, seed: int = 0
) -> tuple[Array, float]:
    """Share of pairs of ground and weighting in which each machine leads, and share in which none is left.

    values[machine, criterion], 0 to 1. holds[draw, machine]: whether the ground of that draw holds it: there the
    criterion counts as 1, elsewhere the machine is out. One weighting a draw, so ground and weights vary together.
    """
    out = np.asarray(values, float).copy()
    out[:, criterion] = 1.0
    standing = np.asarray(holds, bool)
    scores = _scores(out, ranked, len(standing), seed)[1]
    scores = np.where(standing, scores, -np.inf)
    best = scores.max(axis=1, keepdims=True)
    leads = (scores >= best - _TIE) & standing
    count = leads.sum(axis=1, keepdims=True)
    shares = np.divide(leads, count, out=np.zeros(leads.shape), where=count > 0)
    return shares.mean(axis=0), float(np.mean(count == 0))


def pairwise_share(difference: ArrayLike, ranked: bool = False) -> float:
    """Share of weightings under which one machine beats another, in closed form.

    difference[criterion]: values of the one less those of the other. ranked: only weightings that keep the order of the
    criteria, first the most important.

    P(sum d_j w_j > 0) = sum over d_j > 0 of prod_{k != j} d_j / (d_j - d_k) on the uniform simplex; with ranked
    weights the running means of d stand for d. Algebra of a linear form on a simplex. Raises ValueError where two of
    them are nearly equal: the formula loses its digits there, and `first_shares` does not.
    """
    d = np.asarray(difference, float)
    d = np.cumsum(d) / np.arange(1, len(d) + 1) if ranked else d
    gaps = d[:, None] - d[None, :]
    np.fill_diagonal(gaps, np.inf)
    if np.min(np.abs(gaps)) < 1e-4 * max(float(np.max(np.abs(d))), 1e-12):
        raise ValueError("two differences are nearly equal; draw weightings instead")
    ratios = np.where(np.isinf(gaps), 1.0, d[:, None] / gaps)
    return float(np.sum(np.prod(ratios, axis=1)[d > 0]))


def _scores(values: ArrayLike, ranked: bool, draws: int, seed: int) -> tuple[Array, Array]:
    """Weightings[draw, criterion] and scores[draw, machine]."""
    values = np.asarray(values, float)
    weights = sample_weights(values.shape[1], draws, ranked, seed)
    return weights, weights @ values.T


def weight_interval(values: ArrayLike, weights: ArrayLike, criterion: int) -> tuple[float, float]:
    """Range of one criterion's weight in which the leader stays ahead, the others sharing the rest as they do now.

    values[machine, criterion], 0 to 1. weights: summing to 1.

    With D the leader's lead over a rival, D_k the part on the criterion and D_R = (D - w_k D_k)/(1 - w_k), the lead
    at weight t is t D_k + (1 - t) D_R, zero at t* = D_R/(D_R - D_k). The interval is what all rivals leave.
    Algebra; equivalent to Triantaphyllou & Sanchez (1997), Decision Sciences 28:151-194.
    """
    values, weights = np.asarray(values, float), np.asarray(weights, float)
    weight = float(weights[criterion])
    if weight >= 1.0:  # the others have no proportions to keep
        return 1.0, 1.0
    scores = values @ weights
    leader = int(np.argmax(scores))
    on_criterion = values[leader, criterion] - values[:, criterion]
    on_the_rest = (scores[leader] - scores - weight * on_criterion) / (1 - weight)
    turns = on_the_rest * on_criterion < 0  # elsewhere the sign is the same at weight 0 and at weight 1
    flips = np.divide(on_the_rest, on_the_rest - on_criterion, out=np.full_like(on_the_rest, np.nan), where=turns)
    below, above = flips[turns & (on_criterion > 0)], flips[turns & (on_criterion < 0)]
    low = max((float(min(flip, weight)) for flip in below), default=0.0)
    high = min((float(max(flip, weight)) for flip in above), default=1.0)
    return low, high
