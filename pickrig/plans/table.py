"""The jobs as the solver sees them: an offer for every machine, day and rig that could do one, and what it is worth."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from pickrig.errors import InputError
from pickrig.inputs import Fleet
from pickrig.inputs.board import Board, Call
from pickrig.plans.assign import NONE, Problem
from pickrig.plans.meetings import Meeting
from pickrig.rulebook import Rules
from pickrig.scoring import Array

HOUR = 3600.0
SHUTTLE_LEGS = 4  # out loaded and home empty, then the same to fetch it
_LATER = 1e-3  # $ a day by which a job is rather done sooner


@dataclass(frozen=True)
class Table:
    """The jobs as the solver sees them: a problem, and the meeting behind each of its offers."""

    board: Board
    fleet: Fleet
    by_money: bool
    meetings: tuple[Meeting, ...]  # all, possible or not
    offered: tuple[Meeting, ...]  # one for each offer
    moves: Array  # h of road one way, of each offer
    free: Problem  # without the dispatcher's own choices

    @cached_property
    def problem(self) -> Problem:
        """With them."""
        return self.keeping([index for index, call in enumerate(self.board.calls) if call.keep is not None])

    def keeping(self, calls: list[int]) -> Problem:
        """With the dispatcher's own choices for these calls only."""
        problem = self.free
        for index in calls:
            problem = problem.forced(index, self.offers_of(index, self.board.calls[index].keep or ""))
        return problem

    def offers_of(self, call: int, machine: str) -> NDArray[np.bool_]:
        """The offers of one machine for one job."""
        names = np.array([self.fleet.machines[m].name for m in self.free.machine], object)
        return np.asarray((self.free.job == call) & (names == machine), bool)

    def of(self, offer: int) -> Meeting:
        return self.offered[offer]


def make_table(board: Board, fleet: Fleet, rules: Rules, meetings: tuple[Meeting, ...]) -> Table:
    by_money = all(call.pays is not None for call in board.calls)
    scarce = list(board.attachments)
    rows: list[tuple[Meeting, int, int, int, float]] = []
    for meeting in meetings:
        call = board.calls[meeting.call]
        if not meeting.possible:
            continue
        tool = call.job.task.attachment or rules.work[call.job.task.kind].attachment
        moved = 0.0 if meeting.rigs is None and fleet.machines[meeting.machine].name in call.there else call.move / HOUR
        if meeting.bill.hours + 2 * moved > board.day / HOUR + 1e-9:
            continue
        for truck, trailer in meeting.rigs if meeting.rigs is not None else ((NONE, NONE),):
            rows.append((meeting, truck, trailer, scarce.index(tool) if tool in scarce else NONE, moved))
    first = board.date
    trucks, trailers, tools = (np.array([row[k] for row in rows], int) for k in (1, 2, 3))
    hours = np.array([row[0].bill.hours for row in rows], float)
    moves = np.array([row[4] for row in rows], float)
    problem = Problem(
        job=np.array([row[0].call for row in rows], int),
        machine=np.array([row[0].machine for row in rows], int),
        day=np.array([(row[0].date - first).days for row in rows], int),
        truck=trucks,
        trailer=trailers,
        tool=tools,
        hours=hours + 2 * moves,
        hauling=SHUTTLE_LEGS * moves if board.rigs == "shuttle" else hours + 2 * moves,
        worth=np.array([_worth(board, row[0], row[4], by_money) for row in rows], float),
        allowed=np.ones(len(rows), bool),
        hire=np.array([_hire(call, by_money) for call in board.calls]),
        undone=np.array([-call.postpone * call.priority if by_money else 0.0 for call in board.calls]),
        must=np.array([call.must for call in board.calls]),
        length=board.day / HOUR,
        tools=np.array([board.attachments[name] for name in scarce], int),
    )
    table = Table(board, fleet, by_money, meetings, tuple(row[0] for row in rows), moves, problem)
    _check_kept(table)
    return table


def _check_kept(table: Table) -> None:
    """A machine kept for a job it cannot do is told at once, with what stops it."""
    problems = []
    for index, call in enumerate(table.board.calls):
        if call.keep is None or table.offers_of(index, call.keep).any():
            continue
        own = [m for m in table.meetings if m.call == index and table.fleet.machines[m.machine].name == call.keep]
        why = stops(own[0]) if own else "no forecast covers its days"
        problems.append(f'the day file, "{call.name}", keep: {call.keep} cannot do it: {why}; take keep out')
    if problems:
        raise InputError(problems)


def stops(meeting: Meeting) -> str:
    """What keeps a machine from a job, in its finding's own words."""
    no = [f for f in meeting.standing.findings if f.verdict == "no-go"] or list(meeting.standing.open_questions)
    if no:
        return no[0].says.rstrip(".")
    return "no truck and trailer of the fleet may bring it" if meeting.rigs == () else "it takes longer than the day"


def _worth(board: Board, meeting: Meeting, moved: float, by_money: bool) -> float:
    """What an offer is worth: money left, or points; what counts more counts more only where it is worth something."""
    call = board.calls[meeting.call]
    sooner = _LATER * (meeting.date - board.date).days
    if not by_money:
        return call.priority * meeting.standing.score - sooner
    left = money_left(board, meeting, moved)
    return left * (call.priority if left > 0 else 1.0) - sooner


def money_left(board: Board, meeting: Meeting, moved: float) -> float:
    """$ a job leaves with this machine: pay, less hours, rubber, risk and repair, less the road there and back."""
    legs = SHUTTLE_LEGS if board.rigs == "shuttle" else 2
    return (board.calls[meeting.call].pays or 0.0) - meeting.bill.total - legs * moved * board.move_hour


def _hire(call: Call, by_money: bool) -> float:
    if call.hire is None:
        return float("nan")
    return ((call.pays or 0.0) - call.hire) * call.priority if by_money else 0.0
