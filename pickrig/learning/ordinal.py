"""Offsets of a physics' own margin, from outcomes in their order: bogged, rutted, held; and from refusals at sight.

An ordinal probit with normal priors and a chance of misreport (McKelvey & Zavoina 1975, McCullagh 1980, from memory),
fitted at its mode. Without outcomes every offset is nought. Knows only numbers.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.special import log_ndtr, ndtr

Array = NDArray[np.float64]
Ints = NDArray[np.int_]
BOGGED, RUTTED, HELD, DECLINED, TURNED_BACK = range(5)
_STEP = 1e-4  # of a derivative
_CLOSE = 1e-9  # of the search
_LEAST_BEND = 0.02  # curvature of one outcome at the least, over the square of the spread: no step runs away
_ROUNDS = 200
_WIDE = 6.0  # times the spread, wide enough that nothing looks like a misreport


@dataclass(frozen=True)
class Model:
    """spread: of a day's margin about its mean, in logarithms. rut: margin under which it ruts. misreport: chance that
    an outcome is told wrong. sees: spread of what a driver sees of the margin. refuses: how often he stays out where
    what he sees is under `nerve`."""

    spread: float
    rut: float
    misreport: float
    sees: float
    refuses: float
    nerve: float


def outcome_chances(margin: Array, model: Model) -> Array:
    """Chance of bogged, rutted and held, as they are told: [..., 3], in all one.

    P(bogged) = Phi(-m/s), P(held) = 1 - Phi((k - m)/s), the rest rutted; told, (1 - e) P + e/3.
    """
    m = np.asarray(margin, float)
    bogged, held = ndtr(-m / model.spread), ndtr((m - model.rut) / model.spread)
    true = np.stack([bogged, np.maximum(1 - bogged - held, 0.0), held], axis=-1)
    return np.asarray((1 - model.misreport) * true + model.misreport / 3)


def log_chance(outcome: Ints, margin: Array, model: Model) -> Array:
    """Logarithm of the chance of each outcome at its margin.

    Declined at sight: r Phi((c - m)/sqrt(s^2 + u^2)). Turned back: bogged or rutted.
    """
    m = np.asarray(margin, float)
    told = outcome_chances(m, model)
    seen = np.hypot(model.spread, model.sees)
    ways = [
        *(np.log(told[..., k]) for k in (BOGGED, RUTTED, HELD)),
        np.log(model.refuses) + log_ndtr((model.nerve - m) / seen),
        np.log(told[..., BOGGED] + told[..., RUTTED]),
    ]
    return np.asarray(np.choose(outcome, ways))


def fit_offsets(rows: Array, margins: Array, outcomes: Ints, weights: Array, priors: Array, model: Model) -> Array:
    """The offsets that are most likely after these jobs: max of sum w ln P(o | m + x b) - sum b^2 / 2 t^2.

    rows[job, offset]: 1 where a job has an offset. margins: the physics' own, frozen before. weights: of each job, less
    for old ones. priors: spread t of each offset. By Newton's steps, halved where they overshoot,
    from nought and from where a wider spread would lead: what one wrong tap explains, sixty do not.
    """
    nothing = np.zeros(len(priors))
    if len(outcomes) == 0:
        return nothing
    given = (rows, margins, outcomes, weights, priors)
    wide = _climb(nothing, *given, replace(model, spread=_WIDE * model.spread))
    ways = [_climb(start, *given, model) for start in (nothing, wide)]
    return max(ways, key=lambda b: _likely(b, *given, model))


def _likely(b: Array, rows: Array, margins: Array, outcomes: Ints, weights: Array, priors: Array, m: Model) -> float:
    """Logarithm of how likely the offsets are after these jobs, but for a constant."""
    return float(weights @ log_chance(outcomes, margins + rows @ b, m) - np.sum(b**2 / priors**2) / 2)


def _climb(b: Array, rows: Array, margins: Array, outcomes: Ints, weights: Array, priors: Array, m: Model) -> Array:
    """To the top from here."""
    given = (rows, margins, outcomes, weights, priors, m)
    now = _likely(b, *given)
    for _ in range(_ROUNDS):
        eta = margins + rows @ b
        down, here, up = (log_chance(outcomes, eta + side * _STEP, m) for side in (-1, 0, 1))
        slope, bend = (up - down) / (2 * _STEP), (2 * here - up - down) / _STEP**2
        gradient = rows.T @ (weights * slope) - b / priors**2
        curved = weights * np.maximum(bend, _LEAST_BEND / m.spread**2)
        step = np.linalg.solve(rows.T @ (curved[:, None] * rows) + np.diag(priors**-2.0), gradient)
        while (then := _likely(b + step, *given)) < now and np.max(np.abs(step)) > _CLOSE:
            step = step / 2
        b, gain, now = b + step, then - now, then
        if np.max(np.abs(step)) < _CLOSE or gain < 0:
            break
    return np.asarray(b)


def spread_left(rows: Array, margins: Array, weights: Array, priors: Array, model: Model) -> Array:
    """Covariance of the offsets after these jobs: (X'WX + diag(1/t^2))^-1, W by the expected information."""
    told = outcome_chances(margins, model)
    up, down = (outcome_chances(margins + side * _STEP, model) for side in (1, -1))
    information = np.sum(((up - down) / (2 * _STEP)) ** 2 / told, axis=-1)
    return np.asarray(np.linalg.inv(rows.T @ ((weights * information)[:, None] * rows) + np.diag(priors**-2.0)))
