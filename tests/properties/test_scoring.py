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
def test_contributions_sum_to_the_score(matrix):
    weights = weights_for(matrix)
    assert np.allclose(
        scoring.contributions(matrix, weights).sum(axis=-1), scoring.additive(matrix, weights), atol=1e-12
    )


@given(values)
def test_removing_a_machine_changes_no_other_score(matrix):
    weights = weights_for(matrix)
    assert np.array_equal(scoring.additive(matrix, weights)[1:], scoring.additive(matrix[1:], weights))


@given(values)
def test_first_shares_sum_to_one(matrix):
    assert np.isclose(scoring.first_shares(matrix, draws=200).sum(), 1)


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
