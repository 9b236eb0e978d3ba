"""A day along the clock: a row a machine, its work solid, the road home broken."""

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from pickrig.plans.day.record import Line

LEFT, RIGHT, TOP, STEP = 132.0, 692.0, 30.0, 40.0


@dataclass(frozen=True)
class Block:
    x: float
    width: float
    home: float
    name: str


@dataclass(frozen=True)
class ClockRow:
    y: float
    machine: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True)
class ClockPicture:
    """hours: where the hours of the day stand, each with its text."""

    hours: tuple[tuple[float, str], ...]
    rows: tuple[ClockRow, ...]
    tall: float


def clock_picture(machines: Sequence[tuple[str, Sequence[Line]]], say: Callable[[dt.datetime], str]) -> ClockPicture:
    """The lines of one day, by machine."""
    lines = [line for _, held in machines for line in held]
    first = min(line.start for line in lines).replace(minute=0, second=0, microsecond=0)
    last = max(line.back for line in lines)
    hours = max(-int((first - last).total_seconds() // 3600), 1)
    every = 1 if hours <= 8 else 2

    def at(moment: dt.datetime) -> float:
        return round(LEFT + (RIGHT - LEFT) * (moment - first).total_seconds() / 3600 / hours, 1)

    marks = (first + dt.timedelta(hours=n) for n in range(0, hours + 1, every))
    rows = []
    for n, (machine, held) in enumerate(machines):
        blocks = tuple(
            Block(at(line.start), round(at(line.end) - at(line.start), 1), at(line.back), line.call.name)
            for line in held
        )
        rows.append(ClockRow(TOP + n * STEP, machine, blocks))
    return ClockPicture(tuple((at(mark), say(mark)) for mark in marks), tuple(rows), TOP + len(rows) * STEP + 6)
