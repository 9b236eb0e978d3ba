"""What page, terminal, calendar and CSV say of the lines of a board."""

import datetime as dt

from pickrig.facts import Chance, Quantity, Ruled, Said
from pickrig.plans.day.record import DayPlan, Left, Line
from pickrig.report.words import figures
from pickrig.report.words.voice import Voice


def by_date(plan: DayPlan) -> list[tuple[dt.date, list[tuple[str, list[Line]]]]]:
    """Lines under the day, and under the machine."""
    days: dict[dt.date, dict[str, list[Line]]] = {}
    for line in plan.lines:
        days.setdefault(line.date, {}).setdefault(line.machine, []).append(line)
    return [(date, list(machines.items())) for date, machines in sorted(days.items())]


def rounded(moment: dt.datetime) -> dt.datetime:
    """To five minutes: nobody knows it better."""
    past = dt.timedelta(minutes=moment.minute % 5, seconds=moment.second, microseconds=moment.microsecond)
    return moment - past + (dt.timedelta(minutes=5) if past >= dt.timedelta(minutes=2.5) else dt.timedelta())


def clock(moment: dt.datetime, date: dt.date, voice: Voice) -> str:
    """A time of day; the weekday too, where it is not the board's."""
    near = rounded(moment)
    shown = figures.clock(near, voice)
    return shown if near.date() == date else f"{shown} {figures.weekday(near.date(), voice)}"


def rig(line: Line) -> Said:
    """What hauls it."""
    if not line.truck:
        return Said("board.rig_none")
    return Said("board.rig_there" if line.there else "board.rig", trailer=line.trailer, truck=line.truck)


def ground(line: Line) -> Said:
    """How often the ground holds it."""
    return Said("board.hard") if line.chance is None else Said("board.ground", chance=Chance(line.chance))


def row(line: Line, voice: Voice) -> Said:
    """The whole line."""
    return Said(
        "board.line",
        machine=line.machine,
        job=line.call.name,
        start=clock(line.start, line.date, voice),
        end=clock(line.end, line.date, voice),
        back=clock(line.back, line.date, voice),
        tool=Ruled(line.tool),
        rig=rig(line),
    )


def margin(line: Line) -> tuple[Said, ...]:
    """What it leaves, where the board goes by money."""
    return () if line.margin is None else (Said("board.line_margin", margin=Quantity(line.margin, "money")),)


def left_head(left: Left) -> Said:
    """What becomes of a job no machine of the yard does."""
    if left.hired:
        return Said("board.left_hired", job=left.call.name, cost=Quantity(left.costs or 0.0, "money"))
    if left.costs:
        return Said("board.left_costs", job=left.call.name, cost=Quantity(left.costs, "money"))
    return Said("board.left_undone", job=left.call.name)
