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

    start: of machine or operator, the road there included. end: of the work. back: machine and rig are home. there: it
    stands on the site already. margin: $ after the job's cost and the road; None where some job has no pay. chance:
    that the ground holds. watch: findings short of a plain yes. limits: what the operator keeps to. cautions: what
    this job calls for.
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
    points, without priorities. gap: how far from the best it may be where time ran out, as a share."""

    board: Board
    by_money: bool
    answer: Statements
    lines: tuple[Line, ...]
    left: tuple[Left, ...]
    idle: tuple[Idle, ...]
    total: float
    gap: float
    warnings: Statements
    assumed: Statements
    seed: int
