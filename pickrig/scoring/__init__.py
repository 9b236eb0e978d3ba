"""The additive value model: value curves, weights, scores, robustness. Knows only numbers.

V(a) = sum_j w_j v_j(x_aj) with value curves fixed beforehand, so a machine's score never depends on which others
stand beside it. Keeney & Raiffa (1976) ch. 3; Goodwin & Wright (2004) ch. 3.
"""

from pickrig.scoring.additive import Array, additive, contributions, dominated, fold, folded_scores
from pickrig.scoring.curves import curved_scores, piecewise_value, point_of_value
from pickrig.scoring.robustness import (
    Shares,
    first_shares,
    joint_first_shares,
    pairwise_share,
    rank_shares,
    weight_interval,
)
from pickrig.scoring.rounding import rounded_parts
from pickrig.scoring.weights import from_points, rank_order_centroid, sample_weights

__all__ = [
    "Array",
    "Shares",
    "additive",
    "contributions",
    "curved_scores",
    "dominated",
    "first_shares",
    "fold",
    "folded_scores",
    "from_points",
    "joint_first_shares",
    "pairwise_share",
    "piecewise_value",
    "point_of_value",
    "rank_order_centroid",
    "rank_shares",
    "rounded_parts",
    "sample_weights",
    "weight_interval",
]
