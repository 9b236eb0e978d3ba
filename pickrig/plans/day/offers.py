"""The jobs as the solver sees them: an offer for every machine, day and rig that could do one, and what it is worth."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from pickrig.checks import Finding
from pickrig.errors import InputError
from pickrig.facts import Said, Statements
from pickrig.inputs import Fleet
from pickrig.inputs.board import Board, Call
from pickrig.inputs.job import attachment_of
from pickrig.plans.day.assignment import NONE, Problem
from pickrig.plans.day.candidates import Meeting, in_words
from pickrig.rulebook import Rules
from pickrig.scoring import Array

HOUR = 3600.0
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
    legs: Array  # how often truck and driver are on it
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

    def name(self, offer: int) -> str:
        """The machine of an offer."""
        return self.fleet.machines[self.offered[offer].machine].name

    def is_there(self, offer: int) -> bool:
        return _is_there(self.board, self.fleet, self.offered[offer])

    def left_by(self, offer: int) -> float:
        """$ a job leaves by one offer: pay, less hours, rubber, risk and repair, less truck and driver."""
        return _money_left(self.board, self.offered[offer], float(self.moves[offer] * self.legs[offer]))


def make_table(board: Board, fleet: Fleet, rules: Rules, meetings: tuple[Meeting, ...]) -> Table:
    """Every offer there is. Raises InputError where a machine is kept for a job it cannot do."""
    by_money = all(call.pays is not None for call in board.calls)
    scarce = list(board.attachments)
    rows: list[tuple[Meeting, int, int, int, float, float]] = []
    for meeting in meetings:
        call = board.calls[meeting.call]
        if not meeting.possible and not _is_there(board, fleet, meeting):
            continue
        tool = attachment_of(call.job.task, rules)
        moved = 0.0 if meeting.rigs is None else call.move / HOUR
        if meeting.bill.hours + 2 * moved > board.day / HOUR + 1e-9:
            continue
        for truck, trailer in meeting.rigs or ((NONE, NONE),):
            legs = _legs(board, _is_there(board, fleet, meeting), truck)
            rows.append((meeting, truck, trailer, scarce.index(tool) if tool in scarce else NONE, moved, legs))
    trucks, trailers, tools = (np.array([row[k] for row in rows], int) for k in (1, 2, 3))
    moves, legs_of = (np.array([row[k] for row in rows], float) for k in (4, 5))
    hours = np.array([row[0].bill.hours for row in rows], float)
    problem = Problem(
        job=np.array([row[0].call for row in rows], int),
        machine=np.array([row[0].machine for row in rows], int),
        day=np.array([(row[0].date - board.date).days for row in rows], int),
        truck=trucks,
        trailer=trailers,
        tool=tools,
        hours=hours + 2 * moves,
        hauling=legs_of * moves if board.rigs == "shuttle" else hours + 2 * moves,
        worth=np.array([_worth(board, row[0], row[4] * row[5], by_money) for row in rows], float),
        allowed=np.ones(len(rows), bool),
        hire=np.array([_hire(call, by_money) for call in board.calls]),
        undone=np.array([-call.postpone * call.priority if by_money else 0.0 for call in board.calls]),
        must=np.array([call.must for call in board.calls]),
        length=board.day / HOUR,
        tools=np.array([board.attachments[name] for name in scarce], int),
    )
    table = Table(board, fleet, by_money, meetings, tuple(row[0] for row in rows), moves, legs_of, problem)
    _check_kept(table, rules)
    return table


def _is_there(board: Board, fleet: Fleet, meeting: Meeting) -> bool:
    """Whether the machine stands on the site already; only on the first day is that known."""
    standing = fleet.machines[meeting.machine].name in board.calls[meeting.call].there
    return standing and meeting.date == board.date and meeting.standing.usable


def _legs(board: Board, there: bool, truck: int) -> float:
    """Legs of road of truck and driver: loaded out and home empty, and the same to fetch it; a rig that stays, one
    each.

    A machine that is there is only fetched; one that no rig brings drives itself or stays.
    """
    if truck == NONE:
        return 0.0
    return 4.0 if board.rigs == "shuttle" and not there else 2.0


def _check_kept(table: Table, rules: Rules) -> None:
    """A machine kept for a job it cannot do is told at once, with what stops it."""
    problems: list[Said] = []
    for index, call in enumerate(table.board.calls):
        if call.keep is None or table.offers_of(index, call.keep).any():
            continue
        own = [m for m in table.meetings if m.call == index and table.fleet.machines[m.machine].name == call.keep]
        why = stops(own[0], in_words(own[0], table.board, rules)) if own else (Said("board.no_forecast"),)
        problems.append(table.board.fault(("job", call.number, "keep"), "fault.keep", machine=call.keep, why=why))
    if problems:
        raise InputError(problems)


def stops(meeting: Meeting, findings: tuple[Finding, ...]) -> Statements:
    """What keeps a machine from a job: what its finding says, or the road, or the hours."""
    no = [f for f in findings if f.verdict == "no-go"] or (
        [f for f in findings if f.check in {o.check for o in meeting.standing.open_questions}]
    )
    if no:
        return no[0].says[:1]
    return (Said("board.no_rig") if meeting.rigs == () else Said("board.too_long"),)


def _worth(board: Board, meeting: Meeting, road: float, by_money: bool) -> float:
    """What an offer is worth: money left, or points; what counts more counts more only where it is worth something.

    road: h of truck and driver.
    """
    call = board.calls[meeting.call]
    sooner = _LATER * (meeting.date - board.date).days
    if not by_money:
        return call.priority * meeting.standing.score - sooner
    return _weighted(_money_left(board, meeting, road), call) - sooner


def _money_left(board: Board, meeting: Meeting, road: float) -> float:
    return (board.calls[meeting.call].pays or 0.0) - meeting.bill.total - road * board.move_hour


def _hire(call: Call, by_money: bool) -> float:
    if call.hire is None:
        return float("nan")
    return _weighted((call.pays or 0.0) - call.hire, call) if by_money else 0.0


def _weighted(dollars: float, call: Call) -> float:
    return dollars * (call.priority if dollars > 0 else 1.0)
