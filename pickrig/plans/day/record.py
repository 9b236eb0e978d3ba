"""The record of the dispatcher's evening. Reports show it; nothing is worked out after it."""

import datetime as dt
from dataclasses import dataclass

from pickrig.checks import Finding
from pickrig.inputs.board import Board, Call
from pickrig.plans.pick.record import Cost, Standing
from pickrig.quantities import System


@dataclass(frozen=True)
class Line:
    """One job on the board: which machine goes, when, behind what, with what, what it leaves, and why not another.

    start: of machine or operator, the road there included. end: of the work. back: machine and rig are home. there: it
    stands on the site already. leaves: $ after the job's cost and the
    road; None where some job has no pay. chance: that the ground holds. minds: findings short of a plain yes. limits:
    label and text of what the operator keeps to. cautions: what this job asks to be minded.
    """

    call: Call
    date: dt.date
    standing: Standing
    start: dt.datetime
    end: dt.datetime
    back: dt.datetime
    there: bool
    truck: str
    trailer: str
    tool: str
    bill: Cost
    leaves: float | None
    chance: float | None
    minds: tuple[Finding, ...]
    limits: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]
    why: tuple[str, ...]

    @property
    def machine(self) -> str:
        return self.standing.name


@dataclass(frozen=True)
class Left:
    """A job no machine of the yard does: hired out or undone, and what would make it possible."""

    call: Call
    hired: bool
    costs: float | None
    why: tuple[str, ...]


@dataclass(frozen=True)
class Idle:
    """A machine that stays in the yard, and why."""

    machine: str
    why: str


@dataclass(frozen=True)
class DayPlan:
    """The whole board. by_money: whether dollars were weighed, or scores for want of pay. total: dollars left, or
    points, without priorities. gap: how far
    from the best it may be where time ran out, as a share."""

    board: Board
    units: System
    by_money: bool
    answer: str
    lines: tuple[Line, ...]
    left: tuple[Left, ...]
    idle: tuple[Idle, ...]
    total: float
    gap: float
    warnings: tuple[str, ...]
    assumed: tuple[str, ...]
    seed: int
