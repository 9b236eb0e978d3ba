"""Who does what: the best set of offers under the hours of machines, rigs and people, by a mixed-integer programme.

Knows only numbers.
"""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from pickrig.scoring import Array

Ints = NDArray[np.int_]
NONE = -1
_SECONDS = 20.0
_SURE = 1e-6  # a gap under which the best is found


@dataclass(frozen=True)
class Limit:
    """What a day allows: the weights of the offers taken stay within the most, on every day."""

    weight: Array
    most: float


@dataclass(frozen=True)
class Problem:
    """Offers, one an entry: job, machine, day and tool (an attachment of which there are not enough for all) by number,
    NONE where there is none; hours the machine is taken, and what the offer is worth; allowed: whether it may be taken.
    Jobs, one an entry: what hiring is worth (nan where nobody is hired), what leaving it undone is worth, and whether
    it must be done. length: hours of a machine's day. tools: how many of each there are. limits: of trucks, trailers
    and people.
    """

    job: Ints
    machine: Ints
    day: Ints
    tool: Ints
    hours: Array
    worth: Array
    allowed: NDArray[np.bool_]
    hire: Array
    undone: Array
    must: NDArray[np.bool_]
    length: float
    tools: Ints
    limits: tuple[Limit, ...] = ()

    def forced(self, job: int, offers: NDArray[np.bool_]) -> "Problem":
        """The same where this job is done by one of these offers, and not by a hired machine."""
        must, hire = self.must.copy(), self.hire.copy()
        must[job], hire[job] = True, np.nan
        return replace(self, allowed=self.allowed & ((self.job != job) | offers), must=must, hire=hire)


@dataclass(frozen=True)
class Choice:
    """taken: offers by number. hired, undone: jobs by number. worth: of it all. gap: how far from the best it may be,
    as a share; zero where it is the best. broken: jobs that must be done and cannot.
    """

    taken: Ints
    hired: Ints
    undone: Ints
    worth: float
    gap: float
    broken: Ints


def solve(problem: Problem, seconds: float = _SECONDS) -> Choice:
    """The best choice, or the best found in the time. Maximise the worth of offers taken, hires and jobs undone:

    each job at most once; hours of each machine within the day; each tool with one machine a day; the limits.
    Where every machine has hours for one job only and nothing is shared, it is the plain assignment
    problem, solved as such; else a mixed-integer programme by HiGHS, both through SciPy.
    """
    return assignment(problem) if is_assignment(problem) else programme(problem, seconds)


def is_assignment(problem: Problem) -> bool:
    """Whether no machine has hours for two jobs of a day, and no truck, person or tool is shared."""
    if problem.limits or np.any(problem.tool != NONE):
        return False
    key = _key(problem.machine, problem.day)
    order = np.lexsort((problem.hours, key))
    starts = np.flatnonzero(np.r_[True, key[order][1:] != key[order][:-1]]) if len(key) else np.zeros(0, int)
    least = problem.hours[order][starts]
    return bool(np.all(2 * least > problem.length))


def assignment(problem: Problem) -> Choice:
    """Jobs to machine-days, each job with a column of its own for the hired machine or for staying undone."""
    from scipy.optimize import linear_sum_assignment

    jobs, none = len(problem.must), -1e12
    _, column = np.unique(_key(problem.machine, problem.day), return_inverse=True)
    width = int(column.max(initial=-1)) + 1
    gains, which = np.full((jobs, width + jobs), none), np.full((jobs, width), NONE)
    for k in np.flatnonzero(problem.allowed):
        if problem.worth[k] > gains[problem.job[k], column[k]]:
            gains[problem.job[k], column[k]], which[problem.job[k], column[k]] = problem.worth[k], k
    undone = _undone(problem)
    hires = np.isfinite(problem.hire) & (np.nan_to_num(problem.hire, nan=none) > undone)
    gains[np.arange(jobs), width + np.arange(jobs)] = np.where(hires, problem.hire, undone)
    rows, columns = linear_sum_assignment(gains, maximize=True)
    given = columns < width
    taken = which[rows[given], columns[given]]
    return _choice(problem, np.sort(taken), np.flatnonzero(hires & np.isin(np.arange(jobs), rows[~given])), 0.0)


def programme(problem: Problem, seconds: float = _SECONDS) -> Choice:
    """The whole problem."""
    from scipy.optimize import Bounds, LinearConstraint, milp

    offers = len(problem.job)
    can_hire = np.flatnonzero(np.isfinite(problem.hire))
    holds, columns, most = _tool_holding(problem, offers + len(can_hire))
    variables = offers + len(can_hire) + holds
    if variables == 0:
        return _choice(problem, np.zeros(0, int), np.zeros(0, int), 0.0)
    undone = _undone(problem)
    gain = np.concatenate(
        [problem.worth - undone[problem.job], problem.hire[can_hire] - undone[can_hire], np.zeros(holds)]
    )
    rows = [
        _rows(np.concatenate([problem.job, can_hire]), np.ones(offers + len(can_hire)), 1.0, variables),
        _rows(_key(problem.machine, problem.day), problem.hours, problem.length, variables),
        *(
            _rows(np.where(one.weight > 0, problem.day, NONE), one.weight, one.most, variables)
            for one in problem.limits
        ),
        *columns,
    ]
    with _unheard():
        found = milp(
            -gain,
            constraints=[LinearConstraint(matrix, -np.inf, top) for matrix, top in rows if matrix.shape[0]],
            integrality=np.ones(variables, int),
            bounds=Bounds(0, np.concatenate([problem.allowed, np.ones(len(can_hire)), most])),
            options={"time_limit": seconds, "mip_rel_gap": 0.0},
        )
    chosen = found.x > 0.5 if found.x is not None else np.zeros(variables, bool)
    bound = found.mip_dual_bound if found.mip_dual_bound is not None else -np.inf
    short = -float(bound) - float(gain[chosen].sum())
    return _choice(problem, np.flatnonzero(chosen[:offers]), can_hire[chosen[offers : offers + len(can_hire)]], short)


@contextmanager
def _unheard() -> Iterator[None]:
    """HiGHS prints a line of its own where it repairs a solution, whatever it is told: not among an answer's JSON."""
    try:
        kept = os.dup(1)
    except OSError:  # nobody listens
        yield
        return
    with Path(os.devnull).open("wb") as nowhere:
        os.dup2(nowhere.fileno(), 1)
        try:
            yield
        finally:
            os.dup2(kept, 1)
            os.close(kept)


def choice_of(problem: Problem, taken: list[int]) -> Choice:
    """These offers, and for every other job what leaves more: the hired machine, or not doing it."""
    left = np.ones(len(problem.must), bool)
    left[problem.job[taken]] = False
    undone = _undone(problem)
    hired = left & np.isfinite(problem.hire) & (np.nan_to_num(problem.hire, nan=-1e12) > undone)
    return _choice(problem, np.array(taken, int), np.flatnonzero(hired), 0.0)


def _undone(problem: Problem) -> Array:
    """Worth of leaving each job. A broken must costs more than all the rest can bring: it breaks only where it
    has to."""
    most = 10 + 2 * np.abs(problem.worth).sum() + np.nansum(np.abs(problem.hire))
    return np.asarray(problem.undone - problem.must * most)


def _choice(problem: Problem, taken: Ints, hired: Ints, short: float) -> Choice:
    """short: how far the worth may lie below the best."""
    done = np.zeros(len(problem.must), bool)
    done[problem.job[taken]] = done[hired] = True
    worth = float(problem.worth[taken].sum() + problem.hire[hired].sum() + problem.undone[~done].sum())
    gap = short / max(abs(worth), 1.0)
    return Choice(
        taken, hired, np.flatnonzero(~done), worth, gap if gap > _SURE else 0.0, np.flatnonzero(~done & problem.must)
    )


def _key(thing: Ints, day: Ints, counts: NDArray[np.bool_] | None = None) -> Ints:
    """One number for each thing and day; NONE where it does not count."""
    key = thing * (int(day.max(initial=0)) + 1) + day
    return key if counts is None else np.where(counts, key, NONE)


def _rows(key: Ints, weight: Array, top: float, variables: int) -> tuple:  # type: ignore[type-arg]
    """A row for each key that is not NONE: the sum of the weights of its columns stays within the top."""
    from scipy.sparse import coo_array

    columns = np.flatnonzero(key != NONE)
    names, row = np.unique(key[columns], return_inverse=True)
    matrix = coo_array((weight[columns], (row, columns)), shape=(len(names), variables)).tocsr()
    return matrix, np.full(len(names), top)


def _tool_holding(problem: Problem, first: int) -> tuple[int, list[tuple], Array]:  # type: ignore[type-arg]
    """A column for each machine, day and scarce tool: the machine holds one; an offer needs it; there are so many."""
    from scipy.sparse import coo_array

    needs = np.flatnonzero(problem.tool != NONE)
    if len(needs) == 0:
        return 0, [], np.zeros(0)
    triples = np.column_stack([problem.machine[needs], problem.day[needs], problem.tool[needs]])
    held, which = np.unique(triples, axis=0, return_inverse=True)
    which = which.ravel()
    variables = first + len(held)
    link = coo_array(
        (
            np.concatenate([np.ones(len(needs)), -np.ones(len(needs))]),
            (np.tile(np.arange(len(needs)), 2), np.concatenate([needs, first + which])),
        ),
        shape=(len(needs), variables),
    ).tocsr()
    pools, pool = np.unique(held[:, 1:], axis=0, return_inverse=True)
    share = coo_array(
        (np.ones(len(held)), (pool.ravel(), first + np.arange(len(held)))), shape=(len(pools), variables)
    ).tocsr()
    return (
        len(held),
        [(link, np.zeros(len(needs))), (share, problem.tools[pools[:, 1]].astype(float))],
        np.ones(len(held)),
    )
