"""The record of the dispatcher's evening. Reports show it; nothing is worked out after it."""

import datetime as dt
from dataclasses import dataclass

from pickrig.checks import Finding
from pickrig.facts import Statements
from pickrig.inputs.board import Board, Call
from pickrig.plans.pick.record import Advice, Cost, Standing


@dataclass(frozen=True)
class Line:
    """One job on the board: which machine goes, when, behind what, with what, what it leaves, and why not another.

    start: machine or operator sets out. arrive: on the site. end: of the work. back: machine and rig are home, None
    where it goes straight onto another job, or is left on the site for want of a rig. there: it stands on the site
    already. operator: who runs it, empty where people are not planned. margin: $ after the job's cost and the road;
    None where some job has no pay. chance: that the ground holds. watch: findings short of a plain yes. limits: what
    the operator keeps to. cautions: what this job calls for.
    """

    call: Call
    date: dt.date
    standing: Standing
    start: dt.datetime
    arrive: dt.datetime
    end: dt.datetime
    back: dt.datetime | None
    onto: str
    there: bool
    operator: str
    truck: str
    trailer: str
    tool: str
    bill: Cost
    margin: float | None
    chance: float | None
    watch: tuple[Finding, ...]
    limits: Statements
    cautions: tuple[Advice, ...]
    why: Statements

    @property
    def machine(self) -> str:
        return self.standing.name


@dataclass(frozen=True)
class Run:
    """A drive of truck and trailer. what: "deliver" a machine, "home" empty, "out" empty, "fetch" a machine, or "shift"
    it from one site to the next. origin, to: names of jobs, empty for the yard. machine: on the trailer, empty where
    none is. driver: empty where people are not planned."""

    date: dt.date
    what: str
    truck: str
    trailer: str
    driver: str
    machine: str
    origin: str
    to: str
    leaves: dt.datetime
    arrives: dt.datetime


@dataclass(frozen=True)
class Left:
    """A job no machine of the yard does: hired out or undone, and what would make it possible."""

    call: Call
    hired: bool
    costs: float | None
    why: Statements


@dataclass(frozen=True)
class Idle:
    """A machine that stays in the yard, and why."""

    machine: str
    why: Statements


@dataclass(frozen=True)
class DayPlan:
    """The whole board. by_money: whether dollars were weighed, or scores for want of pay. total: dollars left, or
    points, without priorities. gap: how far from the best it may be, as a share. since: what has changed since a plan
    of before, None without one. if_dry: what goes otherwise where forecast rain does not come. events: the mark of each
    job's entry in a calendar; dropped: the marks of a plan of before,
    with the job, empty for a drive."""

    board: Board
    by_money: bool
    answer: Statements
    lines: tuple[Line, ...]
    runs: tuple[Run, ...]
    left: tuple[Left, ...]
    idle: tuple[Idle, ...]
    total: float
    gap: float
    warnings: Statements
    since: Statements | None
    if_dry: Statements
    events: dict[str, str]
    dropped: dict[str, str]
    assumed: Statements
    seed: int

    @property
    def broken(self) -> tuple[str, ...]:
        """Jobs that must be done, or are kept for a machine, and are not."""
        return tuple(one.call.name for one in self.left if (one.call.must and not one.hired) or one.call.keep)
