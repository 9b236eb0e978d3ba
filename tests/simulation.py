"""Would a log help? Invented yards whose truth differs from the books, and how well the next job is then told.

.venv/bin/python -m tests.simulation [YARDS]     a line a kind of yard: log score and Brier score of bogging by the
                                                 number of jobs logged; log score of always telling the base rate
"""

import sys
from dataclasses import dataclass, replace

import numpy as np

from pickrig.learning.ordinal import BOGGED, DECLINED, HELD, RUTTED, Model, fit_offsets, outcome_chances

MODEL = Model(spread=0.5, rut=0.4, misreport=0.05, sees=0.3, refuses=0.7, nerve=0.1)
SOILS, SITES, MACHINES = 4, 12, 4
PRIORS = np.concatenate([[0.5], np.full(SOILS, 0.3), np.full(SITES, 0.4), np.full(MACHINES, 0.25)])


@dataclass(frozen=True)
class Yard:
    """whole: how far the ground is off the books, in logarithms. odd: more of one site and one machine. misreports:
    share of outcomes told wrong. looks: whether drivers stay out of what looks bad; writes: and whether that is
    written down. picky: only jobs that the books like are sent."""

    whole: float = 0.0
    odd: float = 0.0
    misreports: float = 0.05
    looks: bool = False
    writes: bool = True
    picky: bool = False


YARDS = {
    "as the books say": Yard(),
    "weaker": Yard(whole=-0.5),
    "stronger": Yard(whole=0.5),
    "one odd site, one odd machine": Yard(odd=-0.8),
    "careless reports": Yard(whole=-0.5, misreports=0.2),
    "only safe machines sent": Yard(whole=-0.5, picky=True),
    "drivers look, refusals written down": Yard(whole=-0.5, looks=True),
    "drivers look, refusals not written down": Yard(whole=-0.5, looks=True, writes=False),
}
COUNTS = (0, 5, 10, 20, 40, 80)


def truth(yard, rng):
    """What the yard's offsets really are."""
    b = rng.normal(0, PRIORS)
    b[0] = yard.whole
    b[1 + SOILS] += yard.odd
    b[-1] += yard.odd
    return b


def draw(count, rng):
    """Jobs at random sites with random machines, and the books' own margin of each."""
    soils = rng.integers(SOILS, size=SITES)
    site, machine = rng.integers(SITES, size=count), rng.integers(MACHINES, size=count)
    rows = np.zeros((count, len(PRIORS)))
    rows[:, 0] = 1
    rows[np.arange(count), 1 + soils[site]] = 1
    rows[np.arange(count), 1 + SOILS + site] = 1
    rows[np.arange(count), 1 + SOILS + SITES + machine] = 1
    return rows, rng.normal(0.6, 0.7, count)


def happen(rows, margins, b, yard, rng):
    """Outcomes; and which left a record."""
    day = margins + rows @ b + MODEL.spread * rng.standard_normal(len(margins))
    outcome = np.where(day < 0, BOGGED, np.where(day < MODEL.rut, RUTTED, HELD))
    wrong = rng.random(len(day)) < yard.misreports
    outcome = np.where(wrong, rng.integers(3, size=len(day)), outcome)
    kept = np.ones(len(day), bool)
    if yard.looks:
        looks = day + MODEL.sees * rng.standard_normal(len(day))
        stays = (looks < MODEL.nerve) & (rng.random(len(day)) < MODEL.refuses)
        outcome = np.where(stays, DECLINED, outcome)
        kept = ~stays | yard.writes
    if yard.picky:
        kept &= margins > 0.6
    return outcome, kept


def run(yard, seeds):
    """Mean scores over so many yards of a kind: {jobs logged: (log score, Brier score)}, and of the base rate."""
    scores = {n: [] for n in COUNTS}
    base, briers = [], {n: [] for n in COUNTS}
    for seed in range(seeds):
        rng = np.random.default_rng(seed)
        b = truth(yard, rng)
        rows, margins = draw(4000, rng)
        outcome, kept = happen(rows[:400], margins[:400], b, yard, rng)
        log = np.flatnonzero(kept)[: max(COUNTS)]
        test = slice(400, 1200)
        usual = replace(yard, misreports=MODEL.misreport, looks=False, picky=False)
        fresh, _ = happen(rows[test], margins[test], b, usual, rng)
        share = np.bincount(fresh, minlength=3)[:3] / len(fresh)
        base.append(-np.mean(np.log(share[fresh])))
        for n in COUNTS:
            own = log[:n]
            fit = fit_offsets(rows[own], margins[own], outcome[own], np.ones(n), PRIORS, MODEL)
            told = outcome_chances(margins[test] + rows[test] @ fit, MODEL)
            scores[n].append(-np.mean(np.log(told[np.arange(800), fresh])))
            briers[n].append(np.mean((told[:, BOGGED] - (fresh == BOGGED)) ** 2))
    return {n: (np.mean(v), np.mean(briers[n])) for n, v in scores.items()}, np.mean(base)


if __name__ == "__main__":
    for name, yard in YARDS.items():
        told, base = run(yard, int(sys.argv[1]) if len(sys.argv) > 1 else 25)
        print(f"{name:42}", "  ".join(f"{n}: {a:.3f}/{c:.3f}" for n, (a, c) in told.items()), f"base {base:.3f}")
