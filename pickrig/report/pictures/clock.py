"""A day along the clock: a row a machine, its road thin and its work solid; a row a truck, loaded solid, empty open."""

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from pickrig.plans.day.record import Line
from pickrig.report.day.told import Trip

LEFT, RIGHT, TOP, STEP = 132.0, 684.0, 30.0, 40.0


@dataclass(frozen=True)
class Block:
    """Work of a machine: x to x + width on the site, from and to on the road."""

    x: float
    width: float
    out: float
    home: float
    name: str


@dataclass(frozen=True)
class Drive:
    x: float
    width: float
    loaded: bool


@dataclass(frozen=True)
class Haul:
    """A trip of a truck, named by what it carries first."""

    x: float
    width: float
    name: str
    drives: tuple[Drive, ...]


@dataclass(frozen=True)
class ClockRow:
    y: float
    name: str
    blocks: tuple[Block, ...] = ()
    hauls: tuple[Haul, ...] = ()


@dataclass(frozen=True)
class ClockPicture:
    """hours: where the hours of the day stand, each with its text. split: where the trucks begin."""

    hours: tuple[tuple[float, str], ...]
    rows: tuple[ClockRow, ...]
    split: float
    tall: float


def clock_picture(
    machines: Sequence[tuple[str, Sequence[Line]]],
    trucks: Sequence[tuple[str, Sequence[Trip]]],
    say: Callable[[dt.datetime], str],
) -> ClockPicture:
    """The lines of one day by machine, and its trips by truck."""
    lines = [line for _, held in machines for line in held]
    trips = [trip for _, held in trucks for trip in held]
    starts = [line.start for line in lines] + [trip.leaves for trip in trips]
    ends = [line.back or line.end for line in lines] + [trip.back for trip in trips]
    first = min(starts).replace(minute=0, second=0, microsecond=0)
    hours = max(-int((first - max(ends)).total_seconds() // 3600), 1)

    def at(moment: dt.datetime) -> float:
        return round(LEFT + (RIGHT - LEFT) * (moment - first).total_seconds() / 3600 / hours, 1)

    marks = (first + dt.timedelta(hours=n) for n in range(0, hours + 1, 1 if hours <= 6 else 2))
    rows = [
        ClockRow(TOP + n * STEP, machine, blocks=tuple(_block(line, at) for line in held))
        for n, (machine, held) in enumerate(machines)
    ]
    split = TOP + len(rows) * STEP
    rows += [
        ClockRow(split + 6 + n * STEP, truck, hauls=tuple(_haul(trip, at) for trip in held))
        for n, (truck, held) in enumerate(trucks)
    ]
    return ClockPicture(tuple((at(mark), say(mark)) for mark in marks), tuple(rows), split, rows[-1].y + STEP)


def _block(line: Line, at: Callable[[dt.datetime], float]) -> Block:
    out, x, end = at(line.start), at(line.arrive), at(line.end)
    return Block(x, round(end - x, 1), out, end if line.back is None else at(line.back), line.call.name)


def _haul(trip: Trip, at: Callable[[dt.datetime], float]) -> Haul:
    drives = tuple(
        Drive(at(run.leaves), round(at(run.arrives) - at(run.leaves), 1), bool(run.machine)) for run in trip.runs
    )
    return Haul(at(trip.leaves), round(at(trip.back) - at(trip.leaves), 1), trip.machine, drives)
