"""The additive value model: value curves, weights, scores, robustness. Knows only numbers.

V(a) = sum_j w_j v_j(x_aj) with value curves fixed beforehand, so a machine's score never depends on which others
stand beside it. Keeney & Raiffa (1976) ch. 3; Goodwin & Wright (2004) ch. 3.
"""

from pickrig.scoring.additive import Array, additive, contributions
from pickrig.scoring.curves import piecewise_value
from pickrig.scoring.robustness import first_shares, weight_interval
from pickrig.scoring.rounding import rounded_parts
from pickrig.scoring.weights import from_points, rank_order_centroid

__all__ = [
    "Array",
    "additive",
    "contributions",
    "first_shares",
    "from_points",
    "piecewise_value",
    "rank_order_centroid",
    "rounded_parts",
    "weight_interval",
]
