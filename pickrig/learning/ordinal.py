"""Offsets of a physics' own margin, from outcomes in their order: bogged, rutted, held; and from refusals at sight.

An ordinal probit with normal priors and a chance of misreport (McKelvey & Zavoina 1975, McCullagh 1980, from memory),
fitted at its mode. Without outcomes every offset is nought. Knows only numbers.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import log_ndtr, ndtr

Array = NDArray[np.float64]
Ints = NDArray[np.int_]
BOGGED, RUTTED, HELD, DECLINED, TURNED_BACK = range(5)
_STEP = 1e-5  # of a derivative
_CLOSE = 1e-10  # of the search
_ROUNDS = 200


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
    for old ones. priors: spread t of each offset. By Newton's steps with the expected curvature, halved where they
    overshoot.
    """
    b = np.zeros(len(priors))
    if len(outcomes) == 0:
        return b

    def value(at: Array) -> float:
        fits = weights @ log_chance(outcomes, margins + rows @ at, model)
        return float(fits - np.sum(at**2 / priors**2) / 2)

    now = value(b)
    for _ in range(_ROUNDS):
        eta = margins + rows @ b
        up, down = (log_chance(outcomes, eta + side * _STEP, model) for side in (1, -1))
        slope = weights * (up - down) / (2 * _STEP)
        bend = weights * np.maximum(slope / np.maximum(weights, 1e-12), 0.0) ** 2 + weights * _least_bend(model)
        gradient = rows.T @ slope - b / priors**2
        step = np.linalg.solve(rows.T @ (bend[:, None] * rows) + np.diag(priors**-2.0), gradient)
        while (then := value(b + step)) < now and np.max(np.abs(step)) > _CLOSE:
            step = step / 2
        b, gain, now = b + step, then - now, then
        if np.max(np.abs(step)) < _CLOSE or gain < 0:
            break
    return np.asarray(b)


def _least_bend(model: Model) -> float:
    """Curvature that one outcome has at the least, so that no step runs away."""
    return 0.1 / model.spread**2
