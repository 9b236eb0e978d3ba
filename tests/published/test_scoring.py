"""Scoring against published examples and closed forms."""

import numpy as np
import pytest

from pickrig import scoring


def test_piecewise_curve_of_a_published_test_run():
    # Saved test output of the R package smaa (gertvv/rsmaa, smaa-Ex.Rout.save)
    got = scoring.piecewise_value([50, 90, 100, 10, 40, 101, 120], [50, 75, 90, 100], [1, 0.8, 0.5, 0])
    assert got == pytest.approx([1, 0.5, 0, 1, 1, 0, 0])


def test_office_example():
    # Goodwin & Wright (2004) pp. 43-46: office A, weights 32 26 23 10 6 3: 80.8
    values = np.array([100, 60, 100, 75, 0, 90]) / 100
    assert 100 * scoring.additive(values, np.array([32, 26, 23, 10, 6, 3]) / 100) == pytest.approx(80.8)
    # and 80.48 with the unrounded weights of swings 100 80 70 30 20 10
    assert 100 * scoring.additive(values, scoring.from_points([100, 80, 70, 30, 20, 10])) == pytest.approx(
        80.48, abs=0.005
    )


@pytest.mark.parametrize(
    ("n", "weights"),
    [  # Barron & Barrett (1996) formula; n = 4 as printed in method descriptions: 0.52 0.27 0.15 0.06
        (1, [1.0]),
        (2, [0.75, 0.25]),
        (3, [0.6111, 0.2778, 0.1111]),
        (4, [0.5208, 0.2708, 0.1458, 0.0625]),
        (5, [0.4567, 0.2567, 0.1567, 0.0900, 0.0400]),
        (8, [0.3397, 0.2147, 0.1522, 0.1106, 0.0793, 0.0543, 0.0335, 0.0156]),
    ],
)
def test_rank_order_centroid(n, weights):
    assert scoring.rank_order_centroid(n) == pytest.approx(weights, abs=5e-5)


def test_first_shares_of_three_corners_and_a_compromise():
    # Exact polytope volumes: a quarter each
    values = np.vstack([np.eye(3), np.full(3, 0.5)])
    assert scoring.first_shares(values) == pytest.approx([0.25] * 4, abs=0.015)  # 3 standard errors at 10,000 draws


@pytest.mark.parametrize(
    ("difference", "share"),
    [  # closed form on the uniform simplex: sum over d_j > 0 of prod d_j/(d_j - d_k)
        ((0.4, 0.1, -0.3), 0.678571),
        ((0.5, -0.2, -0.1), 0.595238),
        ((0.3, 0.2, -0.1, -0.6), 0.416667),
        ((0.05, 0.4, -0.3, 0.12, -0.25), 0.508470),
    ],
)
def test_pairwise_shares_in_closed_form(difference, share):
    d = np.array(difference)
    assert scoring.first_shares(np.vstack([d, np.zeros_like(d)]) + 0.5)[0] == pytest.approx(share, abs=0.015)


@pytest.mark.parametrize("difference", [(0.4, 0.1, -0.3), (-0.2, 0.5, -0.1), (0.3, -0.5, -0.1, 0.6)])
def test_ranked_pairwise_shares_in_closed_form(difference):
    # the same closed form with running means, all distinct, in place of the differences
    d = np.array(difference)
    means = np.cumsum(d) / np.arange(1, len(d) + 1)
    exact = sum(
        np.prod([m / (m - other) for k, other in enumerate(means) if k != j]) for j, m in enumerate(means) if m > 0
    )
    assert scoring.first_shares(np.vstack([d, np.zeros_like(d)]) + 0.5, ranked=True)[0] == pytest.approx(
        exact, abs=0.015
    )


def test_single_weight_above_a_bound():
    # P(w_1 > c) = (1 - c)^(n-1): n 4, c 0.4: 0.216. Normalised uniform draws would give less
    share = scoring.first_shares([[1, 0, 0, 0], [0.4, 0.4, 0.4, 0.4]])[0]
    assert share == pytest.approx(0.216, abs=0.013)


def test_ties_are_split():
    assert scoring.first_shares([[0.5, 0.5], [0.5, 0.5]]) == pytest.approx([0.5, 0.5])


def test_weight_interval_in_closed_form():
    # leader (1, 0), rival (0, 1), weights 0.7 0.3: the leader keeps its place while its criterion weighs over half
    assert scoring.weight_interval([[1, 0], [0, 1]], [0.7, 0.3], 0) == pytest.approx((0.5, 1.0))
    assert scoring.weight_interval([[1, 0], [0, 1]], [0.7, 0.3], 1) == pytest.approx((0.0, 0.5))
    assert scoring.weight_interval([[1, 1], [0, 0.5]], [0.7, 0.3], 0) == pytest.approx((0.0, 1.0))


def test_no_rank_reversal_where_local_scales_have_one():
    # Cost/day and pressure; a useless fourth machine flips the winner under min-max scales, never here
    def score(rows):
        cost = scoring.piecewise_value([r[0] for r in rows], [150, 350], [1, 0])
        pressure = scoring.piecewise_value([r[1] for r in rows], [20, 70], [1, 0])
        return scoring.additive(np.column_stack([cost, pressure]), [0.5, 0.5])

    three = [(200, 30), (240, 24), (300, 22)]
    assert score(three) == pytest.approx([0.775, 0.735, 0.605])
    assert score([*three, (210, 60)])[:3] == pytest.approx(score(three))


def test_bad_curves_and_points_are_refused():
    with pytest.raises(ValueError, match="increase"):
        scoring.piecewise_value(1, [1, 1], [0, 1])
    with pytest.raises(ValueError, match="rise or fall"):
        scoring.piecewise_value(1, [1, 2, 3], [0, 1, 0.5])
    with pytest.raises(ValueError, match="points"):
        scoring.from_points([0, 0])
    with pytest.raises(ValueError, match="at least one"):
        scoring.rank_order_centroid(0)
