"""What a test on the site says: draws that explain it are kept, draws that do not are dropped."""

from dataclasses import dataclass
from math import erf, log, sqrt

import numpy as np
from numpy.typing import NDArray

from pickrig.checks.luck import Array, Luck
from pickrig.inputs import Job
from pickrig.physics import bearing, cone_index
from pickrig.rulebook import Rules

KPA = 1e3
FEW_DRAWS = 100
"""With fewer effective draws than this after a test, the test contradicts what the soil and its wetness would give."""

_BAND_TESTS = ("thumb", "boot", "heel")
_MEASURED = ("cone", "pocket", "dcp")


@dataclass(frozen=True)
class Evidence:
    """kept: which draws stay, some of them several times; None without a test. correction: where a test contradicts the
    model, the factor that takes each draw to what was measured, so that the test is believed."""

    kept: NDArray[np.intp] | None = None
    correction: Array | None = None
    notes: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()


def is_tested(job: Job) -> bool:
    """Whether anyone tested how strong the ground is."""
    return any(getattr(job.ground, test) is not None for test in (*_BAND_TESTS, *_MEASURED))


def believe(job: Job, rules: Rules, luck: Luck, strength: Array, undisturbed: Array, n_k: Array) -> Evidence:
    """Weigh the draws of the day of the tests by how well they explain them (Bayes), then draw again by weight.

    strength: worked over, Pa. undisturbed: cone index of the ground as it lies, Pa. n_k: cone factor.
    """
    if not is_tested(job):
        return Evidence()
    undisturbed = np.maximum(undisturbed, strength)
    likelihood = np.ones_like(strength)
    sources = []
    for test in (*_BAND_TESTS, *_MEASURED):
        if getattr(job.ground, test) is None:
            continue
        row = rules.field_tests[test]
        sources.append(rules.cite(row))
        if test in _BAND_TESTS:
            undrained = cone_index.undrained_strength(undisturbed, n_k)
            likelihood *= band_likelihood(undrained, row.results[getattr(job.ground, test)].kpa, row.misreading)
        else:
            off = np.log(undisturbed / _measured(test, job, n_k)) / log(row.misreading)
            likelihood *= np.exp(-0.5 * off**2)
    total = likelihood.sum()
    effective = total**2 / np.sum(likelihood**2) if total > 0 else 0.0
    if effective < FEW_DRAWS:
        note = "the test contradicts what the soil and its wetness would give: the test is believed; do it again"
        measured = _as_tested(job, rules, luck, n_k)
        return Evidence(correction=measured / undisturbed, notes=(note,), sources=tuple(sources))
    ladder = (np.arange(len(likelihood)) + luck.resample) / len(likelihood)
    kept = np.minimum(np.searchsorted(np.cumsum(likelihood / total), ladder), len(likelihood) - 1)
    return Evidence(kept=kept, sources=tuple(sources))


def _measured(test: str, job: Job, n_k: Array) -> Array:
    """What an instrument read, as a cone index, Pa."""
    ground = job.ground
    if test == "cone":
        return np.full_like(n_k, ground.cone)
    if test == "pocket":  # reads unconfined strength, twice the shear strength
        return n_k * (ground.pocket or 0.0) / 2
    return n_k * bearing.cbr_undrained(bearing.dcp_cbr(ground.dcp or 1.0, ground.soil or ""))


def _as_tested(job: Job, rules: Rules, luck: Luck, n_k: Array) -> Array:
    """Cone index by the tests alone, Pa: an instrument before a hand."""
    for test in (*_MEASURED, *_BAND_TESTS):
        if getattr(job.ground, test) is None:
            continue
        row = rules.field_tests[test]
        noise = np.exp(log(row.misreading) * luck.normal["reading"])
        if test in _MEASURED:
            return _measured(test, job, n_k) * noise
        low, high = row.results[getattr(job.ground, test)].kpa
        return n_k * KPA * low * (high / low) ** luck.uniform["band"] * noise
    raise AssertionError("called without a test")


def band_likelihood(undrained: Array, kpa: tuple[float, float], misreading: float) -> Array:
    """Chance that a person reads the band when the ground has this strength, Pa: misreading is lognormal."""
    spread, strength = log(misreading), np.log(undrained)
    low, high = (_normal_cdf((log(edge * KPA) - strength) / spread) for edge in kpa)
    return high - low


def _normal_cdf(z: Array) -> Array:
    return 0.5 * (1 + np.asarray(np.frompyfunc(erf, 1, 1)(z / sqrt(2)), float))
