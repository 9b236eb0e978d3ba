"""The hours of trucks, trailers and people, as the choice of jobs has to keep them before anybody is given one.

Every plan that can be worked keeps these limits, but for what a rig saves where a machine goes straight on; not every
plan that keeps them can be worked: the timetable tells.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from pickrig.plans.day.assignment import Limit
from pickrig.scoring import Array

Able = Sequence[frozenset[int]]  # who or what will do, an entry an offer
Flags = NDArray[np.bool_]
_PARTS = (2, 3)


def of_vehicles(hours: Array, able: Able, length: float, stays: Flags) -> tuple[Limit, ...]:
    """Trucks, or trailers: for every group that some offers have to themselves, the hours these take of it. stays: the
    rig waits on the site, so that its hours are one piece."""
    out = []
    for group in _groups(able):
        inside = _inside(able, group)
        out.append(Limit(hours * inside, length * len(group)))
        out += _long_ones(hours, inside * stays, length, len(group))
    return _binding(out)


def of_people(
    runs: Array, operators: Able, drives: Array, drivers: Able, hours: Sequence[float], stays: Flags
) -> tuple[Limit, ...]:
    """runs, drives: hours of who runs the machine and of who drives the rig. hours: of each of the people. stays:
    the rig waits, and one may do both."""
    whole = frozenset(range(len(hours)))
    both = np.array([bool(a & b) for a, b in zip(operators, drivers, strict=True)], bool)
    out = []
    for group in _groups([*operators, *drivers, whole]):
        own, at = _inside(operators, group), _inside(drivers, group) * (drives > 0)
        apart, together = runs * own + drives * at, np.maximum(runs * own, drives * at)
        out.append(Limit(np.where(both & stays, together, apart), sum(hours[p] for p in group)))
        out += _long_ones(runs, own, max(hours[p] for p in group), len(group))
    return _binding(out)


def _groups(able: Able) -> list[frozenset[int]]:
    return sorted({group for group in able if group}, key=sorted)


def _inside(able: Able, group: frozenset[int]) -> Array:
    """1 where nobody outside the group will do."""
    return np.array([float(bool(one) and one <= group) for one in able])


def _long_ones(hours: Array, inside: Array, length: float, size: int) -> list[Limit]:
    """Of work longer than half of a day there is one for each, longer than a third two."""
    return [Limit(inside * (hours > length / parts + 1e-9), (parts - 1.0) * size) for parts in _PARTS]


def _binding(limits: list[Limit]) -> tuple[Limit, ...]:
    return tuple(limit for limit in limits if limit.weight.sum() > limit.most)
