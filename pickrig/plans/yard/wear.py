"""How fast tracks and tyres wear on one yard's surfaces, from readings of lug or tread against the hour meter."""

from collections.abc import Iterable, Iterator, Sequence
from math import exp, sqrt

import numpy as np

from pickrig.checks.wears import of_the_machine
from pickrig.inputs import Fleet, Machine
from pickrig.inputs.learned import Wear
from pickrig.learning.pace import fit_ratios
from pickrig.log.entry import Entry
from pickrig.log.reading import Reading
from pickrig.physics.cost import harmonic_life
from pickrig.rulebook import Rules

_TENTH = 1.2816  # spreads beyond which one in ten lies
_LOOKS = (
    ("sprocket", "sharp"),
    ("sprocket", "hooked"),
    ("rollers", "seized"),
    ("edge", "through"),
    ("tension", "slack"),
)


def wear_of(
    readings: Sequence[Reading], entries: Sequence[Entry], fleet: Fleet, rules: Rules
) -> tuple[tuple[str, Wear], ...]:
    """Of every machine that somebody read."""
    told = []
    for machine in fleet.machines:
        own = [one for one in readings if one.machine == machine.name]
        if own:
            jobs = [entry for entry in entries if entry.machine == machine.name and not entry.origin]
            told.append((machine.name, _wear(own, jobs, machine, rules)))
    return tuple(told)


def _wear(readings: list[Reading], jobs: list[Entry], machine: Machine, rules: Rules) -> Wear:
    last = readings[-1]
    looks = tuple(f"{part}_{word}" for part, word in _LOOKS if getattr(last, part) == word)
    sets = _sets(readings, rules.learning["reading"].value)
    measured = [one for one_set in sets for one in one_set]
    if not measured:
        return Wear(left=1.0 if last.fresh else None, looks=looks)
    usable, worn_out = _usable(measured, machine, rules)
    ratios = list(_ratios(sets, jobs, machine, usable, rules))
    lowest = sets[-1][-1].depth if sets[-1] else None  # of a new set nobody has measured all is left
    left = 1.0 if lowest is None else min(max((lowest - worn_out) / usable, 0.0), 1.0)
    if not ratios:
        return Wear(left=left, looks=looks)
    rows, values = np.ones((len(ratios), 1)), np.array(ratios)
    prior = np.array([rules.learning["wear"].value])
    at, spread = fit_ratios(rows, values[:, 0], values[:, 1], np.ones(len(ratios)), prior)
    middle, off = float(at[0]), _TENTH * sqrt(float(spread[0, 0]))
    return Wear(exp(middle), exp(middle - off), exp(middle + off), True, left, looks)


def _usable(readings: list[Reading], machine: Machine, rules: Rules) -> tuple[float, float]:
    """Depth that may wear away, and what is left then, m."""
    gear = "lug" if machine.tracks else "tread"
    own = machine.tracks.lug_height if machine.tracks else None
    new = max((one.depth or 0.0 for one in readings), default=0.0)
    new = max(new, own if own is not None else rules.learning[f"new_{gear}"].value)
    share = rules.learning[f"worn_{gear}"].value
    return new * (1 - share), new * share


def _ratios(
    sets: list[list[Reading]], jobs: list[Entry], machine: Machine, usable: float, rules: Rules
) -> Iterator[tuple[float, float]]:
    """Life against the trade's, and the spread of its logarithm, of each set that was read twice. Where less was lost
    than a reading is off by, no more is said than that: after few hours that is nothing, after many a long life."""
    error = rules.learning["reading"].value
    for one in sets:
        if len(one) < 2:
            continue
        first, last = one[0], one[-1]
        hours = (last.meter or 0.0) - (first.meter or 0.0)
        between = [job for job in jobs if first.day <= job.day <= last.day]
        expected = usable * hours / _trade_life(between or jobs, machine, rules)
        worn = max((first.depth or 0.0) - (last.depth or 0.0), min(error, expected))
        if hours > 0:
            yield expected / worn, sqrt(2) * error / max(worn, expected)


def _sets(readings: Iterable[Reading], error: float) -> list[list[Reading]]:
    """The readings of meter and depth of each set, by day: a new one where somebody says so, the depth has grown, or
    the meter was changed and begins anew."""
    sets: list[list[Reading]] = [[]]
    for one in sorted(readings, key=lambda r: (r.day, r.entered)):
        before = sets[-1][-1] if sets[-1] else None
        whole = one.meter is not None and one.depth is not None
        anew = before is not None and whole and _anew(before, one, error)
        if one.fresh or anew:
            sets.append([])
        if whole:
            sets[-1].append(one)
    return sets


def _anew(before: Reading, one: Reading, error: float) -> bool:
    grown = (one.depth or 0.0) > (before.depth or 0.0) + 2 * error
    return grown or (one.meter or 0.0) < (before.meter or 0.0)


def _trade_life(jobs: Sequence[Entry], machine: Machine, rules: Rules) -> float:
    """By the trade's figures, h, on the surfaces of the jobs logged, by their hours; on soil where none is."""
    on: dict[str, float] = {}
    for job in jobs:
        travel = job.asked("job", "ground", "travel") or {"site soil": 1.0}
        for surface, share in travel.items():
            if surface in rules.surfaces and isinstance(share, int | float) and share > 0:
                on[surface] = on.get(surface, 0.0) + share * (job.hours or job.expected or 1.0)
    on = on or {"site soil": 1.0}
    lives = [float(getattr(rules.surfaces[name].life_hours, machine.gear)) for name in on]
    total = sum(on.values())
    return of_the_machine(machine, rules) * float(harmonic_life([hours / total for hours in on.values()], lives))
