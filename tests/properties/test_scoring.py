"""What must hold of the scoring whatever the values."""

import numpy as np
from hypothesis import assume, given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from pickrig import scoring

values = arrays(float, st.tuples(st.integers(2, 6), st.integers(2, 5)), elements=st.floats(0, 1))


def weights_for(matrix, seed=1):
    draw = np.random.default_rng(seed).standard_exponential(matrix.shape[1])
    return draw / draw.sum()


@given(values)
def test_removing_a_machine_changes_no_other_score(matrix):
    weights = weights_for(matrix)
    assert np.array_equal(scoring.additive(matrix, weights)[1:], scoring.additive(matrix[1:], weights))


@given(values)
def test_the_leader_keeps_its_place_inside_the_interval_and_loses_it_outside(matrix):
    weights = weights_for(matrix)
    scores = np.sort(scoring.additive(matrix, weights))
    assume(scores[-1] - scores[-2] > 1e-6)
    leader = int(np.argmax(scoring.additive(matrix, weights)))
    low, high = scoring.weight_interval(matrix, weights, 0)
    assert low <= weights[0] <= high

    def lead_at(t):
        moved = weights * (1 - t) / (1 - weights[0])
        moved[0] = t
        scores_now = scoring.additive(matrix, moved)
        return scores_now[leader] - np.delete(scores_now, leader).max()

    assert lead_at((low + weights[0]) / 2) >= -1e-9
    assert lead_at((high + weights[0]) / 2) >= -1e-9
    if low > 1e-6:
        assert lead_at(low * 0.999) <= 1e-9
    if high < 1 - 1e-6:
        assert lead_at(high + 0.001 * (1 - high)) <= 1e-9


@given(st.lists(st.floats(-100, 100), min_size=1, max_size=8))
def test_rounded_parts_add_up(parts):
    shown = scoring.rounded_parts(parts)
    assert abs(shown.sum() - sum(parts)) <= 0.05 + 1e-9  # the total, rounded to the digit shown
    assert np.isclose(shown.sum() * 10, np.round(shown.sum() * 10), atol=1e-6)
    assert np.all(np.abs(shown - parts) <= 0.1 + 1e-9)


@given(st.integers(1, 12))
def test_ranked_weights_fall_and_sum_to_one(n):
    weights = scoring.rank_order_centroid(n)
    assert np.isclose(weights.sum(), 1)
    assert np.all(np.diff(weights) < 0)


@given(values)
def test_rows_and_columns_of_the_rank_shares_sum_to_one(matrix):
    ranks = scoring.rank_shares(matrix, draws=200).ranks
    assert np.allclose(ranks.sum(axis=0), 1)
    assert np.allclose(ranks.sum(axis=1), 1)


@given(values)
def test_who_dominates_never_scores_less_and_always_leads_more(matrix):
    beats, weights = scoring.dominated(matrix), weights_for(matrix)
    scores, first = scoring.additive(matrix, weights), scoring.first_shares(matrix, draws=200)
    for own, rival in zip(*np.nonzero(beats), strict=True):
        assert scores[rival] >= scores[own] - 1e-12
        assert first[rival] >= first[own] - 1e-12


@given(values, st.integers(0, 3))
def test_ranked_weightings_fall_from_the_first_question_on(matrix, seed):
    drawn = scoring.sample_weights(matrix.shape[1], 50, ranked=True, seed=seed)
    assert np.all(np.diff(drawn, axis=1) <= 0)
    assert np.allclose(drawn.sum(axis=1), 1)


@given(st.floats(0, 1), st.booleans())
def test_a_point_found_from_a_value_has_that_value(value, falling):
    points, worth = [1.0, 3.0, 8.0], [0.0, 0.7, 1.0]
    worth = worth[::-1] if falling else worth
    point = scoring.point_of_value(value, points, worth)
    assert np.isclose(scoring.piecewise_value(point, points, worth), value, atol=1e-9)


@given(values)
def test_holding_more_often_never_lowers_the_joint_share(matrix):
    rng = np.random.default_rng(0)
    some = rng.random((100, len(matrix))) < 0.5
    more = some.copy()
    more[:, 0] = True
    before, _ = scoring.joint_first_shares(matrix, some, 0)
    after, none = scoring.joint_first_shares(matrix, more, 0)
    assert after[0] >= before[0]
    assert none == 0
    assert np.isclose(after.sum(), 1)


def test_a_machine_that_never_leads_has_no_central_weighting():
    shares = scoring.rank_shares([[1.0, 1.0], [0.5, 0.5]])
    assert shares.ranks.tolist() == [[1.0, 0.0], [0.0, 1.0]]
    assert np.all(np.isnan(shares.central[1]))


def test_central_weights_average_to_the_middle_of_the_simplex():
    shares = scoring.rank_shares([[0.9, 0.2, 0.4], [0.3, 0.8, 0.5]])
    assert np.allclose(shares.first @ shares.central, 1 / 3, atol=0.01)


def test_scores_in_bulk_are_the_additive_value_of_the_curves():
    measured = np.random.default_rng(0).uniform(-10, 110, (50, 3))
    points, worth = np.array([0.0, 25, 50, 75, 100]), np.array([0.0, 0.4, 0.7, 0.9, 1.0])
    weights = scoring.rank_order_centroid(3)
    curves = np.column_stack([scoring.piecewise_value(measured[:, k], points, worth) for k in range(3)])
    bulk = scoring.curved_scores(measured, [points] * 3, [worth] * 3, weights)
    assert np.allclose(bulk, scoring.additive(curves, weights), atol=1e-12)


def test_ground_and_weights_together():
    # by hand: machine 0 leads wherever it stands, machine 1 where only it stands, nobody where neither does
    holds = np.array([[True, True], [True, False], [False, True], [False, False]])
    shares, none = scoring.joint_first_shares([[1.0, 1.0], [0.2, 0.2]], holds, 0)
    assert shares.tolist() == [0.5, 0.25]
    assert none == 0.25


def test_dominance():
    beats = scoring.dominated([[0.5, 0.5], [0.5, 0.6], [0.9, 0.1]])
    assert beats.tolist() == [[False, True, False], [False, False, False], [False, False, False]]


@given(st.lists(st.floats(-1, 1), min_size=2, max_size=5, unique=True))
def test_one_against_another_and_the_other_way_round_make_one(difference):
    d = np.array(difference)
    assume(np.all(d != 0) and np.min(np.abs(np.subtract.outer(d, d) + np.eye(len(d)))) > 0.05)
    assert abs(scoring.pairwise_share(d) + scoring.pairwise_share(-d) - 1) < 1e-9
