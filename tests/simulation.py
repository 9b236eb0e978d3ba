"""Does a log help? Invented yards whose truth differs from the books, and how well the next job is then told.

.venv/bin/python -m tests.simulation [YARDS]     for each kind of yard: log score and Brier score of bogging by the
                                                 number of jobs logged, beside always telling the base rate; then what
                                                 was said against what came, without the log and with it

The entries, the yard and the draws are those of an answer; only the ground, the machines and the luck are invented.
"""

import sys
from dataclasses import dataclass, replace
from math import log

import numpy as np
from scipy.special import ndtri

from pickrig.checks.ground.learned import by_log
from pickrig.inputs import Ground, Job
from pickrig.inputs.job import Task
from pickrig.log.entry import Entry
from pickrig.plans.yard.teaching import Yard
from pickrig.rulebook import load_rules

RULES = load_rules()
SOILS, SITES, MACHINES = ("CL", "CH", "ML", "SM"), 12, 4
SPREAD = 0.6  # of the logarithm of strength in an answer: from 0.25 to 0.8 in the shipped examples
COUNTS = (0, 5, 10, 20, 40, 80)
BOGGED, RUTTED, HELD = range(3)
_OUTCOMES = np.array(["bogged", "rutted", "held"])
_LUCK = ndtri((np.arange(200) + 0.5) / 200)


@dataclass(frozen=True)
class Kind:
    """whole: how far the ground is off the books, in logarithms. odd: more of one site and one machine. misreports:
    share of outcomes told wrong. looks: whether drivers stay out of what looks bad; writes: and whether that is
    written down. picky: only jobs that the books like are sent."""

    whole: float = 0.0
    odd: float = 0.0
    misreports: float = 0.05
    looks: bool = False
    writes: bool = True
    picky: bool = False


KINDS = {
    "as the books say": Kind(),
    "weaker": Kind(whole=-0.5),
    "stronger": Kind(whole=0.5),
    "one odd site, one odd machine": Kind(odd=-0.8),
    "careless reports": Kind(whole=-0.5, misreports=0.2),
    "only safe machines sent": Kind(whole=-0.5, picky=True),
    "drivers look, refusals written down": Kind(whole=-0.5, looks=True),
    "drivers look, refusals not written down": Kind(whole=-0.5, looks=True, writes=False),
}


@dataclass(frozen=True)
class Truth:
    """How far a yard really is off the books: by soil, site and machine, in logarithms; the soil of each site."""

    whole: float
    soil: np.ndarray
    site: np.ndarray
    machine: np.ndarray
    lies: np.ndarray

    def margin(self, jobs):
        """Of each job, more than the books say."""
        site, machine = jobs[:, 0], jobs[:, 1]
        return self.whole + self.soil[self.lies[site]] + self.site[site] + self.machine[machine]


def truth(kind, rng):
    """One yard of a kind."""
    prior = {key: RULES.learning[key].value for key in ("soil", "site", "machine")}
    site, machine = rng.normal(0, prior["site"], SITES), rng.normal(0, prior["machine"], MACHINES)
    site[0] += kind.odd
    machine[0] += kind.odd
    lies = rng.integers(len(SOILS), size=SITES)
    return Truth(kind.whole, rng.normal(0, prior["soil"], len(SOILS)), site, machine, lies)


def draw(count, rng):
    """Site and machine of so many jobs, and the books' own margin of each."""
    jobs = np.stack([rng.integers(SITES, size=count), rng.integers(MACHINES, size=count)], axis=1)
    return jobs, rng.normal(0.6, 0.7, count)


def happen(true, jobs, margins, kind, rng):
    """What came of them, as told, and which left a record."""
    values = RULES.learning
    day = margins + true.margin(jobs) + values["day"].value * rng.standard_normal(len(margins))
    outcome = np.where(day < 0, BOGGED, np.where(day < values["rut"].value, RUTTED, HELD))
    wrong = rng.random(len(day)) < kind.misreports
    told = _OUTCOMES[np.where(wrong, rng.integers(3, size=len(day)), outcome)]
    kept = np.ones(len(day), bool)
    if kind.looks:
        looks = day + values["sees"].value * rng.standard_normal(len(day))
        stays = (looks < values["nerve"].value) & (rng.random(len(day)) < values["refuses"].value)
        told = np.where(stays, "", told)
        kept = ~stays | kind.writes
    if kind.picky:
        kept &= margins > 0.6
    return told, kept


def yard_of(true, jobs, margins, told, kept, count):
    """The log after so many records."""
    entries = [
        Entry(
            job=f"Site {site}",
            machine=f"Machine {machine}",
            day="2026-04-20",
            soil=SOILS[true.lies[site]],
            sent="yes" if told[k] else "too soft",
            outcome=str(told[k]),
            margin=float(np.exp(margins[k])),
            note=str(k),
            id=f"{k:032d}",
        )
        for k, (site, machine) in enumerate(jobs)
        if kept[k]
    ]
    entries = [replace(one, day=f"2026-{1 + n // 28:02d}-{1 + n % 28:02d}") for n, one in enumerate(entries[:count])]
    return Yard(tuple(entries), RULES)


def answers(yard, true, jobs, margins):
    """Chance of bogged, rutted and held of each job, as an answer with this log tells them: [job, outcome]."""
    names = [f"Machine {n}" for n in range(MACHINES)]
    out = np.zeros((len(jobs), 3))
    for site in range(SITES):
        here = jobs[:, 0] == site
        job = Job(title=f"Site {site}", task=Task(kind="carry pallets"), ground=Ground(soil=SOILS[true.lies[site]]))
        job = job.with_learned(yard.told(job, names)) if yard.entries else job
        learned, drawn = job.learned, SPREAD * _LUCK + log(by_log(job))
        own = np.array([0.0 if learned is None else learned.machines.get(name, 0.0) for name in names])
        margin = drawn + (margins[here] + own[jobs[here, 1]])[:, None]
        bogged, not_held = ((margin < at).mean(axis=1) for at in (0.0, RULES.learning["rut"].value))
        out[here] = np.stack([bogged, not_held - bogged, 1 - not_held], axis=1)
    error = RULES.learning["misreport"].value
    return (1 - error) * out + error / 3


def run(kind, yards, counts=COUNTS, fresh=400):
    """Mean scores over so many yards of a kind: {jobs logged: (log score, Brier score)}; of the base rate; and what was
    said of bogging and came, without a log and with the longest."""
    scores, base, said = {n: [] for n in counts}, [], {counts[0]: [], counts[-1]: []}
    for seed in range(yards):
        rng = np.random.default_rng(seed)
        true = truth(kind, rng)
        jobs, margins = draw(400, rng)
        told, kept = happen(true, jobs, margins, kind, rng)
        then, their = draw(fresh, rng)
        usual = replace(kind, misreports=RULES.learning["misreport"].value, looks=False, picky=False)
        came, _ = happen(true, then, their, usual, rng)
        came = np.array([list(_OUTCOMES).index(one) for one in came])
        share = np.bincount(came, minlength=3) / fresh
        base.append(-np.mean(np.log(share[came])))
        for n in counts:
            chances = answers(yard_of(true, jobs, margins, told, kept, n), true, then, their)
            log_score = -np.mean(np.log(chances[np.arange(fresh), came]))
            scores[n].append((log_score, np.mean((chances[:, BOGGED] - (came == BOGGED)) ** 2)))
            if n in said:
                said[n].append((chances[:, BOGGED], came == BOGGED))
    return {n: tuple(np.mean(v, axis=0)) for n, v in scores.items()}, float(np.mean(base)), said


def calibration(said):
    """Bins of what was said of bogging: how often on average it was said, how often it came, and of how many jobs."""
    chance, came = (np.concatenate(part) for part in zip(*said, strict=True))
    bins = np.minimum((chance * 10).astype(int), 9)
    return [(chance[bins == b].mean(), came[bins == b].mean(), int((bins == b).sum())) for b in np.unique(bins)]


def off_by(said):
    """Mean distance of what was said from what came, by bins."""
    told = calibration(said)
    return sum(n * abs(a - b) for a, b, n in told) / sum(n for *_, n in told)


if __name__ == "__main__":
    for name, kind in KINDS.items():
        told, base, said = run(kind, int(sys.argv[1]) if len(sys.argv) > 1 else 25)
        print(f"{name:42}", "  ".join(f"{n}: {a:.3f}/{c:.3f}" for n, (a, c) in told.items()), f"base {base:.3f}")
        for n, ways in said.items():
            drawn = "  ".join(f"{a:.2f}>{b:.2f}" for a, b, _ in calibration(ways))
            print(f"{'':6}{n:3} jobs, bogging said > came: {drawn}  off by {off_by(ways):.3f}")
