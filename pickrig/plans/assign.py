"""Who does what: the best set of offers under the hours of machines, trucks and trailers, by a mixed-integer programme.

Knows only numbers.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pickrig.scoring import Array

Ints = NDArray[np.int_]
NONE = -1
_SECONDS = 30.0
_SURE = 1e-6  # a gap under which the best is found


@dataclass(frozen=True)
class Problem:
    """Offers, one an entry: job, machine, day, truck, trailer and tool (an attachment of which there are not enough for
    all) by number, NONE where there is none; hours the machine is taken, hours truck and trailer are, and what the
    offer is worth; allowed: whether it may be taken. Jobs, one an entry: what hiring is worth (nan where nobody is
    hired), what leaving it undone is worth, and whether it must be done. day: hours of a machine's day. tools: how
    many of each there are.
    """

    job: Ints
    machine: Ints
    day: Ints
    truck: Ints
    trailer: Ints
    tool: Ints
    hours: Array
    hauling: Array
    worth: Array
    allowed: NDArray[np.bool_]
    hire: Array
    undone: Array
    must: NDArray[np.bool_]
    length: float
    tools: Ints

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

    each job at most once; hours of each machine a day, and of each truck and trailer, within the day; each tool with
    one machine a day. HiGHS through SciPy.
    """
    from scipy.optimize import Bounds, LinearConstraint, milp

    offers, jobs = len(problem.job), len(problem.must)
    can_hire = np.flatnonzero(np.isfinite(problem.hire))
    holds, columns, most = _tool_holding(problem, offers + len(can_hire))
    variables = offers + len(can_hire) + holds
    # A broken must costs more than all the rest can bring, so that it breaks only where nothing else is left.
    undone = problem.undone - problem.must * (10 + 2 * np.abs(problem.worth).sum() + np.nansum(np.abs(problem.hire)))
    gain = np.concatenate(
        [problem.worth - undone[problem.job], problem.hire[can_hire] - undone[can_hire], np.zeros(holds)]
    )
    rows = [
        _rows(np.concatenate([problem.job, can_hire]), np.ones(offers + len(can_hire)), 1.0, variables),
        _rows(_key(problem.machine, problem.day), problem.hours, problem.length, variables),
        _rows(_key(problem.truck, problem.day, problem.truck != NONE), problem.hauling, problem.length, variables),
        _rows(_key(problem.trailer, problem.day, problem.trailer != NONE), problem.hauling, problem.length, variables),
        *columns,
    ]
    may = np.concatenate([problem.allowed, np.ones(len(can_hire)), most])
    chosen, gap = np.zeros(variables, bool), 0.0
    if variables:
        found = milp(
            -gain,
            constraints=[LinearConstraint(matrix, -np.inf, top) for matrix, top in rows if matrix.shape[0]],
            integrality=np.ones(variables, int),
            bounds=Bounds(0, may),
            options={"time_limit": seconds, "mip_rel_gap": 0.0},
        )
        chosen = found.x > 0.5 if found.x is not None else chosen
        bound = found.mip_dual_bound if found.mip_dual_bound is not None else -np.inf
        gap = -float(bound) - float(gain[chosen].sum())
    taken = np.flatnonzero(chosen[:offers])
    hired = can_hire[chosen[offers : offers + len(can_hire)]]
    done = np.zeros(jobs, bool)
    done[problem.job[taken]] = done[hired] = True
    worth = float(problem.worth[taken].sum() + problem.hire[hired].sum() + problem.undone[~done].sum())
    gap = gap / max(abs(worth), 1.0)
    left = np.flatnonzero(~done)
    return Choice(taken, hired, left, worth, gap if gap > _SURE else 0.0, np.flatnonzero(~done & problem.must))


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
