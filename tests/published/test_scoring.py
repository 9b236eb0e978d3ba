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
        (10, [0.2929, 0.1929, 0.1429, 0.1096, 0.0846, 0.0646, 0.0479, 0.0336, 0.0211, 0.0100]),
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


CORNERS = np.vstack([np.eye(3), np.full(3, 0.5)])


def test_all_ranks_of_three_corners_and_a_compromise():
    # exact polytope volumes: compromise (1/4, 3/4, 0, 0), corner (1/4, 1/12, 1/3, 1/3)
    shares = scoring.rank_shares(CORNERS)
    assert shares.ranks[3] == pytest.approx([1 / 4, 3 / 4, 0, 0], abs=0.015)
    for corner in range(3):
        assert shares.ranks[corner] == pytest.approx([1 / 4, 1 / 12, 1 / 3, 1 / 3], abs=0.015)


def test_central_weights_of_three_corners_and_a_compromise():
    # exact: corner (2/3, 1/6, 1/6), compromise (1/3, 1/3, 1/3)
    central = scoring.rank_shares(CORNERS).central
    assert central[0] == pytest.approx([2 / 3, 1 / 6, 1 / 6], abs=0.01)
    assert central[3] == pytest.approx([1 / 3] * 3, abs=0.01)


def test_a_machine_that_never_leads_has_no_central_weighting():
    shares = scoring.rank_shares([[1.0, 1.0], [0.5, 0.5]])
    assert shares.ranks.tolist() == [[1.0, 0.0], [0.0, 1.0]]
    assert np.all(np.isnan(shares.central[1]))


def test_central_weights_average_to_the_middle_of_the_simplex():
    # the published run of the R package smaa averages to one third each, as it must: 0.3504 w1 + 0.6496 w2
    published = 0.3504 * np.array([0.1865, 0.2772, 0.5363]) + 0.6496 * np.array([0.4073, 0.3641, 0.2285])
    assert published == pytest.approx([1 / 3] * 3, abs=0.005)
    shares = scoring.rank_shares([[0.9, 0.2, 0.4], [0.3, 0.8, 0.5]])
    assert shares.first @ shares.central == pytest.approx([1 / 3] * 3, abs=0.01)


@pytest.mark.parametrize(
    ("difference", "share"),
    [((0.4, 0.1, -0.3), 0.678571), ((0.5, -0.2, -0.1), 0.595238), ((0.3, 0.2, -0.1, -0.6), 0.416667),
     ((0.05, 0.4, -0.3, 0.12, -0.25), 0.508470)],
)  # fmt: skip
def test_closed_form_of_one_against_another(difference, share):
    assert scoring.pairwise_share(difference) == pytest.approx(share, abs=5e-7)
    assert scoring.pairwise_share(-np.array(difference)) == pytest.approx(1 - share, abs=5e-7)


def test_the_closed_form_refuses_where_it_loses_its_digits():
    with pytest.raises(ValueError, match="nearly equal"):
        scoring.pairwise_share([0.3, 0.3, -0.1])


def test_folded_curves_are_the_additive_value():
    # the fixed matrix of the decision libraries' check, fixed ends: V = 0.41 0.55 0.59 0.63
    matrix = np.array([[30, 6.5, 2.0, 70], [45, 8.0, 3.5, 90], [55, 7.0, 5.0, 60], [38, 9.5, 2.5, 80]])
    slopes, offset = scoring.fold([20, 5, 6, 100], [60, 10, 1, 50], [0.4, 0.3, 0.2, 0.1])
    assert scoring.folded_scores(matrix, slopes, offset) == pytest.approx([0.41, 0.55, 0.59, 0.63])


def test_scores_in_bulk_are_the_additive_value_of_the_curves():
    measured = np.random.default_rng(0).uniform(-10, 110, (50, 3))
    points, worth = np.array([0.0, 25, 50, 75, 100]), np.array([0.0, 0.4, 0.7, 0.9, 1.0])
    weights = scoring.rank_order_centroid(3)
    values = np.column_stack([scoring.piecewise_value(measured[:, k], points, worth) for k in range(3)])
    bulk = scoring.curved_scores(measured, [points] * 3, [worth] * 3, weights)
    assert bulk == pytest.approx(scoring.additive(values, weights), abs=1e-12)


def test_ground_and_weights_together():
    # by hand: machine 0 leads wherever it stands, machine 1 where only it stands, nobody where neither does
    holds = np.array([[True, True], [True, False], [False, True], [False, False]])
    shares, none = scoring.joint_first_shares([[1.0, 1.0], [0.2, 0.2]], holds, 0)
    assert shares.tolist() == [0.5, 0.25]
    assert none == 0.25


def test_dominance():
    beats = scoring.dominated([[0.5, 0.5], [0.5, 0.6], [0.9, 0.1]])
    assert beats.tolist() == [[False, True, False], [False, False, False], [False, False, False]]


def test_back_from_a_value_to_its_point():
    assert scoring.point_of_value(0.5, [10, 20, 30], [0, 0.4, 1]) == pytest.approx(20 + 10 / 6)
    assert scoring.point_of_value(0.5, [1, 3, 8], [1, 0.7, 0]) == pytest.approx(3 + 5 * 0.2 / 0.7)
