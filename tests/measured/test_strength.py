"""The form of strength in use, against measured cone indexes and against what it took the place of."""

import numpy as np
import pytest

from tests.measured.strength import crps, scores


def test_between_the_two_scores_better_than_a_coin_or_either_equation_over_the_band_of_remoulding():
    mean = {form: float(np.mean(each)) for form, each in scores().items()}
    others = [mean[form] for form in ("a coin", "by soil group", "by clay")]
    assert mean["between the two (ours)"] < min(others)


def test_the_score_is_the_published_one_of_a_normal():
    # at the mean of a normal: 0.2336950 sigma (Gneiting & Raftery 2007)
    drawn = np.random.default_rng(1).standard_normal(200_000)
    assert crps(drawn, 0.0) == pytest.approx(0.2336950, abs=0.002)
