"""What a log teaches: the published arithmetic, what must hold of any log, and that it helps in invented yards."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pickrig.learning.ordinal import (
    BOGGED,
    DECLINED,
    HELD,
    RUTTED,
    TURNED_BACK,
    Model,
    fit_offsets,
    log_chance,
    outcome_chances,
)
from pickrig.learning.pace import fit_ratios
from tests.simulation import KINDS, off_by, run

MODEL = Model(spread=0.5, rut=0.4, misreport=0.05, sees=0.3, refuses=0.7, nerve=0.1)
PRIORS = np.array([0.5, *[0.3] * 3, *[0.4] * 4, *[0.25] * 3])  # a yard, its soils, sites and machines
FIVE = Model(spread=0.2, rut=0.4, misreport=0.05, sees=0.3, refuses=0.7, nerve=0.1)


def test_chances_of_five_margins_worked_by_hand():
    """Phi from a table, rounded to four places."""
    told = outcome_chances(np.array([-0.4, -0.1, 0.1, 0.3, 0.7]), FIVE)
    assert told[:, BOGGED] == pytest.approx([0.9451, 0.6736, 0.3098, 0.0801, 0.0169], abs=6e-5)
    assert told[:, RUTTED] == pytest.approx([0.0382, 0.3039, 0.6101, 0.6101, 0.0799], abs=6e-5)
    assert told.sum(axis=1) == pytest.approx(1)


def draw(count, rng):
    """Jobs at random sites with random machines, and the books' own margin of each."""
    rows = np.zeros((count, len(PRIORS)))
    rows[:, 0] = 1
    for first, many in ((1, 3), (4, 4), (8, 3)):
        rows[np.arange(count), first + rng.integers(many, size=count)] = 1
    return rows, rng.normal(0.6, 0.7, count)


def a_log(seed, count=12):
    rng = np.random.default_rng(seed)
    rows, margins = draw(count, rng)
    day = margins + rows @ rng.normal(0, PRIORS) - 0.5 + MODEL.spread * rng.standard_normal(count)
    outcomes = np.where(day < 0, BOGGED, np.where(day < MODEL.rut, RUTTED, HELD))
    return rows, margins, np.where(day < -0.7, DECLINED, outcomes)


def fit(rows, margins, outcomes, weights=None):
    return fit_offsets(rows, margins, outcomes, np.ones(len(rows)) if weights is None else weights, PRIORS, MODEL)


def test_an_empty_log_changes_nothing_to_the_last_digit():
    assert np.all(fit(np.zeros((0, len(PRIORS))), np.zeros(0), np.zeros(0, int)) == 0)


@settings(max_examples=40)
@given(st.integers(0, 2**32 - 1))
def test_the_order_of_entries_plays_no_part(seed):
    rows, margins, outcomes = a_log(seed)
    turned = np.random.default_rng(seed).permutation(len(rows))
    assert fit(rows, margins, outcomes) == pytest.approx(fit(rows[turned], margins[turned], outcomes[turned]), abs=1e-7)


@settings(max_examples=60)
@given(st.integers(0, 2**32 - 1), st.floats(-2, 2))
def test_bogging_never_raises_a_margin_that_shares_its_ground_and_holding_never_lowers_one(seed, margin):
    rows, margins, outcomes = a_log(seed)
    before = fit(rows, margins, outcomes)
    more, margins = np.vstack([rows, rows[:1]]), np.append(margins, margin)
    for outcome, way in ((BOGGED, -1), (TURNED_BACK, -1), (DECLINED, -1), (HELD, 1)):
        after = fit(more, margins, np.append(outcomes, outcome))
        assert way * (rows[0] @ (after - before)) >= -1e-7


@settings(max_examples=30)
@given(st.integers(0, 2**32 - 1), st.integers(0, 4))
def test_the_fit_is_where_no_small_step_is_better(seed, which):
    rows, margins, outcomes = a_log(seed)
    at = fit(rows, margins, outcomes)

    def value(b):
        return np.sum(log_chance(outcomes, margins + rows @ b, MODEL)) - np.sum(b**2 / PRIORS**2) / 2

    step = np.random.default_rng(which).normal(0, 1e-3, len(at))
    assert value(at) >= value(at + step) - 1e-9


def test_an_old_entry_counts_less():
    rows, margins = draw(1, np.random.default_rng(1))
    bogged = np.array([BOGGED])
    young, old = (fit(rows, margins + 0.8, bogged, np.array([weight])) for weight in (1.0, 0.25))
    assert young[0] < old[0] < 0


def test_what_is_left_of_a_normal_offsets_spread():
    """Share of its own deviation that a group mean of n keeps, n t^2/(n t^2 + s^2): 0.39, 0.66, 0.84."""
    for n, share in ((1, 0.39), (3, 0.66), (8, 0.84)):
        _, left = fit_ratios(np.ones((n, 1)), np.ones(n), np.full(n, 0.5), np.ones(n), np.array([0.4]))
        assert 1 - left[0, 0] / 0.4**2 == pytest.approx(share, abs=0.006)


@pytest.mark.parametrize("name", KINDS)
def test_in_no_invented_yard_is_the_log_a_loss_and_from_ten_jobs_on_it_helps(name):
    told, base, said = run(KINDS[name], 6, counts=(0, 10, 40), fresh=200)
    assert told[10][0] <= 1.01 * told[0][0]
    assert told[40][0] < told[10][0]
    assert told[40][0] < base
    assert off_by(said[40]) < 0.08
    if KINDS[name].whole < 0 and KINDS[name].writes:
        assert told[10][0] < 0.88 * told[0][0]


def test_refusals_that_are_written_down_teach_more_than_those_that_are_not():
    with_, without = (
        run(KINDS[f"drivers look, refusals {how}"], 8, counts=(0, 20), fresh=200)[0]
        for how in ("written down", "not written down")
    )
    assert with_[20][0] < without[20][0]


def test_outcomes_that_are_shuffled_teach_nothing():
    """A control: where outcomes are dealt to other jobs of the same log, the gain is gone."""
    scores = []
    for seed in range(12):
        rng = np.random.default_rng(seed)
        rows, margins = draw(880, rng)
        day = margins + rows @ rng.normal(0, PRIORS) + MODEL.spread * rng.standard_normal(880)
        outcomes = np.where(day < 0, BOGGED, np.where(day < MODEL.rut, RUTTED, HELD))
        log, fresh = slice(0, 80), slice(80, 880)
        fits = [fit(rows[log], margins[log], told) for told in (outcomes[log], rng.permutation(outcomes[log]))]
        told = [margins[fresh] + rows[fresh] @ b for b in (*fits, np.zeros(len(PRIORS)))]
        scores.append([-np.mean(log_chance(outcomes[fresh], one, MODEL)) for one in told])
    learned, shuffled, unlearned = np.mean(scores, axis=0)
    assert learned < 0.95 * unlearned
    assert shuffled > 0.99 * unlearned
