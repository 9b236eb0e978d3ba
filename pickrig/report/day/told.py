"""What page, terminal, calendar and CSV say of the lines of a board and of its drives."""

import datetime as dt
from dataclasses import dataclass

from pickrig.facts import Chance, Quantity, Ruled, Said, Statements
from pickrig.plans.day.changes import clock_of, mark
from pickrig.plans.day.record import DayPlan, Left, Line, Run
from pickrig.report.pick.sheet import Told
from pickrig.report.words import figures
from pickrig.report.words.voice import Voice


@dataclass(frozen=True)
class Trip:
    """The drives of one rig from the yard until it is back."""

    runs: tuple[Run, ...]

    @property
    def truck(self) -> str:
        return self.runs[0].truck

    @property
    def rig(self) -> str:
        """Truck and trailer."""
        return f"{self.runs[0].truck}, {self.runs[0].trailer}"

    @property
    def driver(self) -> str:
        return self.runs[0].driver

    @property
    def leaves(self) -> dt.datetime:
        return self.runs[0].leaves

    @property
    def back(self) -> dt.datetime:
        return self.runs[-1].arrives

    @property
    def machine(self) -> str:
        """The first it carries."""
        return next((run.machine for run in self.runs if run.machine), "")


def by_date(plan: DayPlan) -> list[tuple[dt.date, list[tuple[str, list[Line]]]]]:
    """Lines under the day, and under the machine."""
    days: dict[dt.date, dict[str, list[Line]]] = {}
    for line in plan.lines:
        days.setdefault(line.date, {}).setdefault(line.machine, []).append(line)
    return [(date, list(machines.items())) for date, machines in sorted(days.items())]


def trips(plan: DayPlan, date: dt.date) -> list[Trip]:
    """The day's drives by truck, and by the clock, each from yard to yard."""
    out: list[Trip] = []
    open_: list[Run] = []
    for run in plan.runs:
        if run.date != date:
            continue
        open_.append(run)
        if not run.to:
            out.append(Trip(tuple(open_)))
            open_ = []
    return out


def marked_trips(plan: DayPlan) -> list[tuple[str, Trip]]:
    """Every trip of the board with the mark of its entry in a calendar: the truck's so-and-so-many-th of that day."""
    out = []
    for date in sorted({run.date for run in plan.runs}):
        for truck, own in by_truck(plan, date):
            names = ((plan.board.title, str(date), truck, str(n)) for n in range(len(own)))
            out += [(mark(*name), trip) for name, trip in zip(names, own, strict=True)]
    return out


def events(plan: DayPlan) -> dict[str, dt.date]:
    """The marks of all entries of the board in a calendar, with their days."""
    return {plan.events[line.call.name]: line.date for line in plan.lines} | {
        name: trip.runs[0].date for name, trip in marked_trips(plan)
    }


def by_truck(plan: DayPlan, date: dt.date) -> list[tuple[str, list[Trip]]]:
    """The day's drives under their trucks."""
    out: dict[str, list[Trip]] = {}
    for trip in trips(plan, date):
        out.setdefault(trip.truck, []).append(trip)
    return list(out.items())


def by_person(plan: DayPlan, date: dt.date) -> list[tuple[str, list[Trip | Line]]]:
    """What everybody drives and runs that day, by the clock; by truck where people are not planned."""
    out: dict[str, list[tuple[dt.datetime, int, Trip | Line]]] = {}
    for trip in trips(plan, date):
        out.setdefault(trip.driver or trip.truck, []).append((trip.leaves, 0, trip))
    for line in plan.lines:
        if line.date == date and line.operator:
            out.setdefault(line.operator, []).append((line.start, 1, line))
    return [(name, [one for *_, one in sorted(own, key=lambda row: row[:2])]) for name, own in sorted(out.items())]


def rounded(moment: dt.datetime) -> dt.datetime:
    """To five minutes: nobody knows it better."""
    past = dt.timedelta(minutes=moment.minute % 5, seconds=moment.second, microseconds=moment.microsecond)
    return moment - past + (dt.timedelta(minutes=5) if past >= dt.timedelta(minutes=2.5) else dt.timedelta())


def on_sheet(line: Line) -> Told:
    """What the hand-over sheet takes from the board."""
    return Told(line.date, clock_of(line.arrive), line.operator)


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


def after(line: Line, voice: Voice) -> Said:
    """Where the machine is when the work is done."""
    if line.onto:
        return Said("board.onto", job=line.onto)
    if line.back is None:
        return Said("board.stays_there")
    return Said("board.back", back=clock(line.back, line.date, voice))


def hands(trip: Trip) -> str:
    """Who drives what."""
    return ", ".join(name for name in (trip.driver, trip.truck) if name)


def drives(trip: Trip, voice: Voice) -> Statements:
    """One drive after the other."""
    return tuple(
        Said(f"board.run_{run.what}", machine=run.machine, to=run.to, at=clock(run.arrives, run.date, voice))
        for run in trip.runs
    )


def ground(line: Line) -> Said:
    """How often the ground holds it."""
    return Said("board.hard") if line.chance is None else Said("board.ground", chance=Chance(line.chance))


def row(line: Line, voice: Voice) -> Statements:
    """The whole line."""
    whole = Said(
        "board.line",
        machine=line.machine,
        job=line.call.name,
        start=clock(line.start, line.date, voice),
        arrive=clock(line.arrive, line.date, voice),
        end=clock(line.end, line.date, voice),
        after=after(line, voice),
        tool=Ruled(line.tool),
        rig=rig(line),
    )
    return (whole, Said("board.runs_it", who=line.operator)) if line.operator else (whole,)


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
