"""The jobs as the solver sees them: an offer for every machine, day and rig that could do one, and what it is worth."""

import datetime as dt
from collections.abc import Sequence
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
from pickrig.plans.day.assignment import NONE, Limit, Problem
from pickrig.plans.day.candidates import Meeting, in_words, is_alone
from pickrig.plans.day.changes import Placed
from pickrig.plans.day.limits import of_people, of_vehicles
from pickrig.rulebook import Rules
from pickrig.scoring import Array

HOUR = 3600.0


@dataclass(frozen=True)
class Needs:
    """What the offers ask of the yard: limits that come of the rigs, and of the people."""

    rigs: tuple[Limit, ...]
    people: tuple[Limit, ...]


@dataclass(frozen=True)
class Haul:
    """The road of each offer, h. loaded, empty: one way with the machine and without. road: that truck and driver are
    under way. stays: whether the rig waits on the site. there: whether the machine is there."""

    loaded: Array
    empty: Array
    stays: NDArray[np.bool_]
    there: NDArray[np.bool_]
    rigged: NDArray[np.bool_]

    @cached_property
    def road(self) -> Array:
        """Loaded out and home empty, and the same to fetch it; a rig that stays, out and home. A machine that is there
        is only fetched."""
        fetched = self.empty + self.loaded
        ways = np.where(self.there, fetched, np.where(self.stays, 2 * self.loaded, 2 * fetched))
        return np.where(self.rigged, ways, 0.0)

    @cached_property
    def out_and_home(self) -> Array:
        """Of who runs the machine: with the rig, where it waits beside a machine that is there."""
        comes = np.where(self.there & self.stays, self.empty, self.loaded)
        return self.loaded + comes


_LATER = 1e-3  # $ a day by which a job is rather done sooner


@dataclass(frozen=True)
class Table:
    """The jobs as the solver sees them: a problem, and the meeting behind each of its offers."""

    board: Board
    fleet: Fleet
    by_money: bool
    meetings: tuple[Meeting, ...]  # all, possible or not
    offered: tuple[Meeting, ...]  # one for each offer
    needs: Needs
    haul: Haul
    told: tuple[float | None, ...]  # h of the day at which each offer's job was to begin by a plan of before
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

    def is_stranded(self, offer: int) -> bool:
        """Whether no rig may fetch it from where it stands."""
        return self.is_there(offer) and self.of(offer).rigged == ()

    def left_by(self, offer: int) -> float:
        """$ a job leaves by one offer: pay, less hours, rubber, risk and repair, less truck and driver."""
        return _money_left(self.board, self.offered[offer], float(self.haul.road[offer]))


def make_table(
    board: Board, fleet: Fleet, rules: Rules, meetings: tuple[Meeting, ...], before: Sequence[Placed] = ()
) -> Table:
    """Every offer there is. before: an earlier plan, whose offers are worth the telephone calls that another one costs.
    Raises InputError where a machine is kept for a job it cannot do."""
    by_money = all(call.pays is not None for call in board.calls)
    scarce = list(board.attachments)
    rows: list[tuple[Meeting, bool]] = []
    for meeting in meetings:
        there = _is_there(board, fleet, meeting)
        if not meeting.possible and not (there and meeting.operators != ()):
            continue
        if meeting.bill.hours + 2 * _move(board, meeting) <= board.day / HOUR + 1e-9:
            rows += [(meeting, stays) for stays in _ways(board, meeting)]
    offered = tuple(meeting for meeting, _ in rows)
    reload = rules.money["reload"].value / 60
    haul = _haul(board, fleet, rows, reload)
    hours = np.array([meeting.bill.hours for meeting in offered], float)
    worth = [_worth(board, one, float(road), by_money) for one, road in zip(offered, haul.road, strict=True)]
    calls_cost = rules.money["keep_plan" if by_money else "keep_points"].value
    running = hours + haul.out_and_home
    needs = _needs(board, fleet, offered, haul, running)
    tools = [attachment_of(board.calls[meeting.call].job.task, rules) for meeting in offered]
    problem = Problem(
        job=np.array([meeting.call for meeting in offered], int),
        machine=np.array([meeting.machine for meeting in offered], int),
        day=np.array([(meeting.date - board.date).days for meeting in offered], int),
        tool=np.array([scarce.index(tool) if tool in scarce else NONE for tool in tools], int),
        hours=np.maximum(running - reload * haul.rigged, 0.0),  # a machine may go straight on
        worth=np.array(worth, float) + _kept(board, fleet, offered, before, calls_cost),
        allowed=np.ones(len(rows), bool),
        hire=np.array([_hire(call, by_money) for call in board.calls]),
        undone=np.array([-call.postpone * call.priority if by_money else 0.0 for call in board.calls]),
        must=np.array([call.must for call in board.calls]),
        length=board.day / HOUR,
        tools=np.array([board.attachments[name] for name in scarce], int),
        limits=needs.rigs + needs.people,
    )
    told = _told(board, offered, before)
    table = Table(board, fleet, by_money, meetings, offered, needs, haul, told, problem)
    _check_kept(table, rules)
    return table


def _kept(board: Board, fleet: Fleet, offered: Sequence[Meeting], before: Sequence[Placed], worth: float) -> Array:
    """What it is worth that a job goes as it was told."""
    was = {(one.job, one.machine, one.date) for one in before}
    told = [(board.calls[one.call].name, fleet.machines[one.machine].name, one.date) in was for one in offered]
    return worth * np.array(told, float)


def _told(board: Board, offered: Sequence[Meeting], before: Sequence[Placed]) -> tuple[float | None, ...]:
    """When each job was to begin, on the day of which that was told."""
    begins = {one.job: one.arrive for one in before}
    out = []
    for meeting in offered:
        at = begins.get(board.calls[meeting.call].name)
        same = at is not None and at.date() == meeting.date
        out.append(
            (at - dt.datetime.combine(meeting.date, board.start)).total_seconds() / HOUR if at and same else None
        )
    return tuple(out)


def hours_of(board: Board, fleet: Fleet) -> tuple[float, ...]:
    """h that each of the people works."""
    return tuple((board.day if one.hours is None else one.hours) / HOUR for one in fleet.people)


def _needs(board: Board, fleet: Fleet, offered: Sequence[Meeting], haul: Haul, running: Array) -> Needs:
    """Of a day of the board's length for every vehicle."""
    rigged, length = [meeting.rigged or () for meeting in offered], board.day / HOUR
    hauling = np.where(haul.stays, running, haul.road) * haul.rigged
    rigs = tuple(
        limit
        for of in ("truck", "trailer")
        for limit in of_vehicles(
            hauling, [frozenset(getattr(rig, of) for rig in rigs) for rigs in rigged], length, haul.stays
        )
    )
    if not fleet.people:
        return Needs(rigs, ())
    operators = [frozenset(meeting.operators or ()) for meeting in offered]
    drivers = [frozenset(p for rig in rigs for p in rig.drivers or ()) for rigs in rigged]
    return Needs(rigs, of_people(running, operators, hauling, drivers, hours_of(board, fleet), haul.stays))


def _is_there(board: Board, fleet: Fleet, meeting: Meeting) -> bool:
    """Whether the machine stands on the site already; only on the first day is that known."""
    standing = fleet.machines[meeting.machine].name in board.calls[meeting.call].there
    return standing and meeting.date == board.date and meeting.standing.usable


def _ways(board: Board, meeting: Meeting) -> tuple[bool, ...]:
    """Whether the rig waits on the site: as the board has it, and on a board whose rigs go home where nobody else can
    drive it there, or where the one driver may run the machine too."""
    rigs = meeting.rigged or ()
    if not rigs:
        return (False,)
    if board.rigs == "stay" or is_alone(rigs, meeting.operators):
        return (True,)
    both = meeting.operators is not None and any(set(rig.drivers or ()) & set(meeting.operators) for rig in rigs)
    return (False, True) if both else (False,)


def _move(board: Board, meeting: Meeting) -> float:
    """h one way; none where the fleet file has no rigs."""
    return 0.0 if meeting.rigs is None else board.calls[meeting.call].move / HOUR


def _haul(board: Board, fleet: Fleet, rows: Sequence[tuple[Meeting, bool]], reload: float) -> Haul:
    """An empty drive saves what loading and unloading takes, which is no more than half of a loaded one."""
    loaded = np.array([_move(board, meeting) for meeting, _ in rows], float)
    return Haul(
        loaded=loaded,
        empty=loaded - np.minimum(reload, loaded / 2),
        stays=np.array([stays for _, stays in rows], bool),
        there=np.array([_is_there(board, fleet, meeting) for meeting, _ in rows], bool),
        rigged=np.array([bool(meeting.rigged) for meeting, _ in rows], bool),
    )


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
    if meeting.operators == ():
        return (Said("board.no_operator"),)
    if meeting.rigs == ():
        return (Said("board.no_rig"),)
    return (Said("board.no_driver" if meeting.rigged == () else "board.too_long"),)


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
