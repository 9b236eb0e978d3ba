"""The choice of jobs, tried against the clock: what cannot be worked in a day is not on the board."""

import datetime as dt
from dataclasses import replace

import numpy as np

from pickrig.plans.day.assignment import NONE, Choice, Limit, Problem, choice_of, solve
from pickrig.plans.day.candidates import Rig
from pickrig.plans.day.offers import HOUR, Table, hours_of
from pickrig.plans.day.reasons import Chosen
from pickrig.plans.day.timetable import Planned, Slot, Yard, timetable
from pickrig.rulebook import Rules

_SMALL = 1_500  # offers up to which the board is solved again for what the clock teaches, and for every reason
_LESSONS = 25
_SECONDS = 5.0  # for each of them
_TRIED = 3  # offers of a job left over that are tried, on each day
_TRIES = 80  # of the clock, with one offer more
_SURE = 1e-6


def choose(table: Table, rules: Rules) -> Chosen:
    """The best board found that can be worked, its distance from the best told.

    The programme knows everybody's hours but not the clock. Where its board cannot be worked, it is taught which jobs
    do not go together on a day, and chooses again; where that takes too long, what leaves least for the hours is taken
    off, and whatever else then fits is put on. What must be done may be late: the board says so.
    """
    problem, small = table.problem, len(table.free.job) <= _SMALL
    first = choice = solve(problem)
    for _ in range(_LESSONS * small):
        clash = _clash(table, choice.taken.tolist(), rules)
        if not clash:
            break
        problem = replace(problem, limits=(*problem.limits, _not_together(table, clash)))
        choice = solve(problem, _SECONDS)
    if _over(table, choice.taken.tolist(), rules) or not len(choice.taken):
        choice = choice_of(problem, _fitted(table, choice.taken.tolist(), rules))
    most = _plain_worth(problem, first) + first.gap * max(abs(first.worth), 1.0)
    worth = _plain_worth(problem, choice)
    gap = max(most - worth, 0.0) / max(abs(worth), 1.0)
    was, now = ({table.of(k).call for k in one.taken.tolist()} for one in (first, choice))
    choice = replace(choice, gap=gap if gap > _SURE else 0.0)
    return Chosen(table, problem, choice, rules, small, frozenset(was - now))


def _over(table: Table, taken: list[int], rules: Rules) -> list[int]:
    """Offers that come too late or tire somebody, but for what must be done; where only that does, what makes it."""
    out: list[int] = []
    for day in timetables(table, taken, rules).values():
        over = [day.offers[k] for k in sorted(day.timetable.over)]
        free = [k for k in over if not _is_must(table, k)]
        others = [k for k in day.offers if not _is_must(table, k)]
        if over and not free and others:
            alone = timetables(table, [k for k in day.offers if _is_must(table, k)], rules).values()
            free = others if sum(len(one.timetable.over) for one in alone) < len(over) else []
        out += free
    return out


def _is_must(table: Table, offer: int) -> bool:
    call = table.board.calls[table.of(offer).call]
    return call.must or call.keep is not None


def _clash(table: Table, taken: list[int], rules: Rules) -> list[int]:
    """Offers of one day of which not all can be worked, and of which all but one could; empty where all can."""
    over = _over(table, taken, rules)
    if not over:
        return []
    date = table.of(over[0]).date
    clash = [k for k in taken if table.of(k).date == date]
    for k in list(clash):
        fewer = [j for j in clash if j != k]
        if fewer and _over(table, fewer, rules):
            clash = fewer
    return clash


def _not_together(table: Table, clash: list[int]) -> Limit:
    """Not all of these jobs on that day, by these machines or others that take as long and need the same people and
    rigs."""
    machines = [table.of(k).machine for k in clash]
    weight = np.zeros(len(table.offered))
    for k in clash:
        alone = machines.count(table.of(k).machine) == 1
        for j, other in enumerate(table.offered):
            if (other.call, other.date) == (table.of(k).call, table.of(k).date) and (
                j == k or (alone and other.machine not in machines and _takes_as_much(table, j, k))
            ):
                weight[j] = 1.0
    return Limit(weight, len(clash) - 1.0)


def _takes_as_much(table: Table, other: int, offer: int) -> bool:
    one, two = table.of(offer), table.of(other)
    return (
        bool(table.free.hours[other] >= table.free.hours[offer] - 1e-9)
        and table.is_there(other) == table.is_there(offer)
        and bool(table.haul.stays[other] == table.haul.stays[offer])
        and bool(two.rigged) == bool(one.rigged)
        and set(two.operators or ()) <= set(one.operators or ())
        and set(two.rigs or ()) <= set(one.rigs or ())
    )


def _fitted(table: Table, taken: list[int], rules: Rules) -> list[int]:
    """Without what comes too late, and with whatever else fits, what must be done and leaves most first."""
    while over := _over(table, taken, rules):
        taken.remove(min(over, key=lambda k: table.free.worth[k] / table.free.hours[k]))
    problem, tries = table.problem, _TRIES
    gain = problem.worth - problem.undone[problem.job] + 1e9 * problem.must[problem.job]
    for k in np.argsort(-gain, kind="stable").tolist():
        if problem.allowed[k] and gain[k] > 0 and _is_tried(problem, k, taken) and _has_room(problem, k, taken):
            same = [j for j in (*taken, k) if problem.day[j] == problem.day[k]]
            tries -= 1
            if tries < 0:
                break
            if not _over(table, same, rules):
                taken = [*taken, k]
    return sorted(taken)


def _is_tried(problem: Problem, offer: int, taken: list[int]) -> bool:
    """Whether its job is left over, and it is among the best ways to do it that day."""
    if problem.job[offer] in problem.job[taken]:
        return False
    same = (problem.job == problem.job[offer]) & (problem.day == problem.day[offer]) & problem.allowed
    return bool(np.sum(problem.worth[same] > problem.worth[offer]) < _TRIED)


def _has_room(problem: Problem, offer: int, taken: list[int]) -> bool:
    """Whether the machine has the hours for it, the yard the tool, and all limits allow it."""
    same = [k for k in (*taken, offer) if problem.day[k] == problem.day[offer]]
    own = [k for k in same if problem.machine[k] == problem.machine[offer]]
    tool = problem.tool[offer]
    holding = {problem.machine[k] for k in same if problem.tool[k] == tool}
    return bool(
        problem.hours[own].sum() <= problem.length + 1e-9
        and (tool == NONE or len(holding) <= problem.tools[tool])
        and all(limit.weight[same].sum() <= limit.most + 1e-9 for limit in problem.limits)
    )


def _plain_worth(problem: Problem, choice: Choice) -> float:
    """What a choice is worth, a job that must be done counted as any other."""
    hired = float(problem.hire[choice.hired].sum())
    return float(problem.worth[choice.taken].sum() + problem.undone[choice.undone].sum()) + hired


def timetables(table: Table, taken: list[int], rules: Rules) -> dict[dt.date, Planned]:
    """The clock of every day on which something goes out."""
    board, out = table.board, {}
    yard = Yard(
        length=board.day / HOUR,
        people=hours_of(board, table.fleet),
        grace=rules.money["overtime"].value / HOUR,
        reload=rules.money["reload"].value / 60,
    )
    same: dict[tuple[Rig, ...], tuple[Rig, ...]] = {}  # rigs of many jobs, once
    for date in sorted({table.of(k).date for k in taken}):
        own = [k for k in taken if table.of(k).date == date]
        own.sort(key=lambda k: (table.of(k).machine, table.of(k).call))
        slots = [
            Slot(
                machine=table.of(k).machine,
                rigs=same.setdefault(rigs := table.of(k).rigged or (), rigs),
                hours=table.of(k).bill.hours,
                move=float(table.haul.loaded[k]),
                empty=float(table.haul.empty[k]),
                there=table.is_there(k),
                operators=table.of(k).operators,
                must=_is_must(table, k),
                stays=bool(table.haul.stays[k]),
                told=table.told[k],
            )
            for k in own
        ]
        out[date] = Planned(tuple(own), timetable(slots, yard))
    return out
