"""What a test on the site says: draws that explain it are kept, draws that do not are dropped."""

from dataclasses import dataclass
from math import erf, log, sqrt

import numpy as np
from numpy.typing import NDArray

from pickrig.checks.luck import Array, Luck
from pickrig.inputs import Job
from pickrig.physics import cone_index
from pickrig.rulebook import Rules

KPA = 1e3
FEW_DRAWS = 100
"""With fewer effective draws than this after a test, the test contradicts what the soil and its wetness would give."""

_HAND_TESTS = ("thumb", "boot")


@dataclass(frozen=True)
class Evidence:
    """kept: which draws stay, some of them several times; None without a test. correction: where a test contradicts the
    model, the factor that takes each draw to what was measured, so that the test is believed."""

    kept: NDArray[np.intp] | None = None
    correction: Array | None = None
    notes: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()


def is_tested(job: Job) -> bool:
    """Whether anyone tested the ground."""
    return bool(job.ground.thumb or job.ground.boot or job.ground.cone is not None)


def believe(job: Job, rules: Rules, luck: Luck, strength: Array, undisturbed: Array, n_k: Array) -> Evidence:
    """Weigh the draws of the day of the tests by how well they explain them (Bayes), then draw again by weight.

    strength: worked over, Pa. undisturbed: cone index of the ground as it lies, Pa. n_k: cone factor.
    """
    if not is_tested(job):
        return Evidence()
    undisturbed = np.maximum(undisturbed, strength)
    undrained = cone_index.undrained_strength(undisturbed, n_k)
    likelihood = np.ones_like(strength)
    for test in _HAND_TESTS:
        result = getattr(job.ground, test)
        if result:
            row = rules.field_tests[test]
            likelihood *= band_likelihood(undrained, row.results[result].kpa, row.misreading)
    if job.ground.cone is not None:
        spread = log(rules.field_tests["cone"].misreading)
        likelihood *= np.exp(-0.5 * (np.log(undisturbed / job.ground.cone) / spread) ** 2)
    tests = [*_HAND_TESTS, "cone"]
    sources = tuple(rules.cite(rules.field_tests[t]) for t in tests if getattr(job.ground, t) is not None)
    total = likelihood.sum()
    effective = total**2 / np.sum(likelihood**2) if total > 0 else 0.0
    if effective < FEW_DRAWS:
        note = "the test contradicts what the soil and its wetness would give: the test is believed; do it again"
        measured = _as_tested(job, rules, luck, n_k)
        return Evidence(correction=measured / undisturbed, notes=(note,), sources=sources)
    ladder = (np.arange(len(likelihood)) + luck.resample) / len(likelihood)
    kept = np.minimum(np.searchsorted(np.cumsum(likelihood / total), ladder), len(likelihood) - 1)
    return Evidence(kept=kept, sources=sources)


def _as_tested(job: Job, rules: Rules, luck: Luck, n_k: Array) -> Array:
    """Cone index by the test alone, Pa."""
    if job.ground.cone is not None:
        return job.ground.cone * np.exp(log(rules.field_tests["cone"].misreading) * luck.normal["reading"])
    test = "thumb" if job.ground.thumb else "boot"
    row = rules.field_tests[test]
    low, high = row.results[getattr(job.ground, test)].kpa
    noise = np.exp(log(row.misreading) * luck.normal["reading"])
    return n_k * KPA * low * (high / low) ** luck.uniform["band"] * noise


def band_likelihood(undrained: Array, kpa: tuple[float, float], misreading: float) -> Array:
    """Chance that a person reads the band when the ground has this strength, Pa: misreading is lognormal."""
    spread, strength = log(misreading), np.log(undrained)
    low, high = (_normal_cdf((log(edge * KPA) - strength) / spread) for edge in kpa)
    return high - low


def _normal_cdf(z: Array) -> Array:
    return 0.5 * (1 + np.asarray(np.frompyfunc(erf, 1, 1)(z / sqrt(2)), float))
