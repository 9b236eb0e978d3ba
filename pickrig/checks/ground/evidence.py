"""What tests on the site say: every draw is moved towards what was measured, the farther the better the test."""

from dataclasses import dataclass
from math import log

import numpy as np

from pickrig.checks.cited import source
from pickrig.checks.ground.draws import Array, Luck
from pickrig.facts import Said, Statements, Term
from pickrig.inputs import Job
from pickrig.physics import bearing
from pickrig.rulebook import Rules

KPA = 1e3
_BAND_TESTS = ("thumb", "boot", "heel")
_MEASURED = ("cone", "pocket", "dcp")


@dataclass(frozen=True)
class Evidence:
    """correction: factor on each draw's strength on the day of the tests; None without one."""

    correction: Array | None = None
    notes: Statements = ()
    sources: Statements = ()


@dataclass(frozen=True)
class _Reading:
    """One test: cone index it stands for, a draw each, with its error; and the middle and spread of its logarithm."""

    test: str
    drawn: Array
    middle: float
    spread: float


def is_tested(job: Job) -> bool:
    """Whether anyone tested how strong the ground is."""
    return any(getattr(job.ground, test) is not None for test in (*_BAND_TESTS, *_MEASURED))


def believe(job: Job, rules: Rules, luck: Luck, undisturbed: Array, n_k: Array) -> Evidence:
    """Bayes' rule on the logarithm of strength, draw by draw (a Kalman update with perturbed observations).

    x' = x + K (t - x), K = s0^2 / (s0^2 + st^2): x the logarithm of a draw's undisturbed cone index, t the test's with
    its own error, s0 and st their spreads. Exact for lognormal strength; a better test, or a poorer guess before it,
    moves the draws farther, none replaces them. undisturbed: cone index of the ground as it lies, Pa. n_k: cone factor.
    Burgers, van Leeuwen & Evensen (1998), Monthly Weather Review 126:1719-1724 (from memory).
    """
    readings = [_reading(test, job, rules, luck, n_k) for test in _made(job)]
    if not readings:
        return Evidence()
    believed, notes = _without_clash(readings, rules.strength["test_clash"].value)
    guess = log(rules.strength["guess_error"].value)
    strength = np.log(undisturbed)
    spread = max(float(np.std(strength)), guess)
    for reading in believed:
        gain = spread**2 / (spread**2 + reading.spread**2)
        strength = strength + gain * (reading.drawn - strength)
        spread *= float(np.sqrt(1 - gain))
    sources = tuple(source(rules, rules.field_tests[reading.test]) for reading in readings)
    return Evidence(np.exp(strength) / undisturbed, notes, sources)


def _made(job: Job) -> list[str]:
    return [test for test in (*_MEASURED, *_BAND_TESTS) if getattr(job.ground, test) is not None]


def _reading(test: str, job: Job, rules: Rules, luck: Luck, n_k: Array) -> _Reading:
    row = rules.field_tests[test]
    error = log(row.misreading)
    own = 211 * (*_MEASURED, *_BAND_TESTS).index(test)  # the same numbers in another order: each test errs on its own
    if test in _MEASURED:
        exact, width = _measured(test, job, n_k), 0.0
    else:
        low, high = row.results[getattr(job.ground, test)].kpa
        exact, width = n_k * KPA * low * (high / low) ** np.roll(luck.uniform["band"], own), log(high / low)
    spread = float(np.hypot(error, width / np.sqrt(12)))  # of an even band, and of the reading
    drawn = np.log(exact) + error * np.roll(luck.normal["reading"], own)
    return _Reading(test, drawn, float(np.median(np.log(exact))), spread)


def _measured(test: str, job: Job, n_k: Array) -> Array:
    """What an instrument read, as a cone index, Pa."""
    ground = job.ground
    if test == "cone":
        return np.full_like(n_k, ground.cone)
    if test == "pocket":  # reads unconfined strength, twice the shear strength
        return n_k * (ground.pocket or 0.0) / 2
    return n_k * bearing.cbr_undrained(bearing.dcp_cbr(ground.dcp or 1.0, ground.soil or ""))


def _without_clash(readings: list[_Reading], clash: float) -> tuple[list[_Reading], Statements]:
    """The readings to believe: all of them, or the weakest alone where two contradict each other."""
    weakest = min(readings, key=lambda r: r.middle)
    apart = [r for r in readings if r.middle - weakest.middle > clash * float(np.hypot(r.spread, weakest.spread))]
    if not apart:
        return readings, ()
    others = tuple(Term(f"test_{r.test}") for r in apart)
    return [weakest], (Said("assumed.tests_clash", weakest=Term(f"test_{weakest.test}"), others=others),)
