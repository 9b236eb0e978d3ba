"""Where things stand in the pictures: positions in per cent of the width, heights in rem."""

from dataclasses import dataclass
from math import log

import numpy as np

from pickrig import quantities
from pickrig.checks.finding import Demand
from pickrig.facts import Quantity, Term
from pickrig.inputs import Day
from pickrig.plans.pick.record import DayAhead, Recommendation
from pickrig.quantities import System
from pickrig.report.words.figures import sign, times, weekday
from pickrig.report.words.voice import Voice

PSI = 6894.757293168
_LOW, _HIGH = 10 * PSI, 300 * PSI
_TICKS: dict[System, tuple[float, tuple[int, ...], str]] = {
    "us": (PSI, (10, 20, 40, 80, 150, 300), "psi"),
    "metric": (1e3, (70, 140, 280, 560, 1000, 2000), "kPa"),
}
_DOTS = 20


@dataclass(frozen=True)
class Mark:
    at: float  # per cent of the width
    label: str


@dataclass(frozen=True)
class Row:
    machine: str
    marks: tuple[Mark, ...]
    chance: float | None


@dataclass(frozen=True)
class GroundPicture:
    """Twenty grounds, each as likely as the next, over what each machine needs empty and loaded."""

    ticks: tuple[Mark, ...]
    dots: tuple[float, ...]
    band: tuple[float, float]  # from the worst tenth to the best
    middle: float
    rows: tuple[Row, ...]
    unit: str


def ground_picture(answer: Recommendation, voice: Voice) -> GroundPicture | None:
    """The picture, or None where the ground has no strength to draw (paving, clean sand, not assessed)."""
    strength = answer.site.strength
    if strength is None:
        return None
    size, ticks, unit = _TICKS[voice.units]
    dots = np.quantile(strength, (np.arange(_DOTS) + 0.5) / _DOTS)
    low, middle, high = np.quantile(strength, (0.1, 0.5, 0.9))
    rows = tuple(
        Row(
            standing.name,
            tuple(Mark(_per_cent(d.strength), _demand(d, voice)) for d in floats.demands),
            floats.chance,
        )
        for standing in answer.ranking
        if (floats := standing.finding("floats")).demands
    )
    return GroundPicture(
        ticks=tuple(Mark(_per_cent(t * size), f"{t}{'+' if t == ticks[-1] else ''}") for t in ticks),
        dots=tuple(_per_cent(float(d)) for d in dots),
        band=(_per_cent(float(low)), _per_cent(float(high))),
        middle=_per_cent(float(middle)),
        rows=rows,
        unit=unit,
    )


def _demand(demand: Demand, voice: Voice) -> str:
    state = Term("loaded" if demand.loaded else "empty")
    return voice.text("ground_mark", state=state, strength=Quantity(demand.strength, "strength"))


def _per_cent(strength: float) -> float:
    share = (log(max(strength, 1.0)) - log(_LOW)) / (log(_HIGH) - log(_LOW))
    return round(100 * min(max(share, 0.0), 1.0), 2)


_DAYS_SHOWN, _DAYS_BEFORE = 5, 3
_RAIN_HEIGHT, _CHANCE_HEIGHT = 2.5, 1.0  # rem


@dataclass(frozen=True)
class DayHead:
    weekday: str
    day: str
    rain: str
    bar: float


@dataclass(frozen=True)
class DayCell:
    text: str
    bar: float
    pick: bool


@dataclass(frozen=True)
class DayRow:
    machine: str
    cells: tuple[DayCell, ...]


@dataclass(frozen=True)
class DaysPicture:
    """The last days and the coming ones: rain bars over each machine's chance."""

    days: tuple[DayHead, ...]
    rows: tuple[DayRow, ...]
    unit: str


def days_picture(answer: Recommendation, voice: Voice) -> DaysPicture | None:
    """The picture of the coming days, or None where the weather covers only the job's own."""
    days = answer.days[:_DAYS_SHOWN]
    if not days:
        return None
    before = _days_before(answer)
    most = max([day.rain for day in days] + [day.rain for day in before]) or 1.0
    unit, size, decimals = quantities.unit_of("rain", voice.units)
    heads_of: tuple[Day | DayAhead, ...] = (*before, *days)
    heads = tuple(
        DayHead(
            weekday(d.date, voice),
            f"{d.date.day}",
            voice.decimal(d.rain / size, decimals),
            round(_RAIN_HEIGHT * d.rain / most, 2),
        )
        for d in heads_of
    )
    rows = tuple(
        DayRow(standing.name, (*(_PAST for _ in before), *(_day_cell(day, standing.name, voice) for day in days)))
        for standing in answer.ranking
    )
    return DaysPicture(heads, rows, sign(unit, voice))


_PAST = DayCell("", 0.0, False)


def _days_before(answer: Recommendation) -> tuple[Day, ...]:
    """The last days before the job, for their rain: what fell then is what the ground holds now."""
    weather = answer.job.weather
    if weather is None:
        return ()
    past = [day for day in weather.days if day.date < answer.days[0].date]
    return tuple(past[-_DAYS_BEFORE:])


def _day_cell(day: DayAhead, machine: str, voice: Voice) -> DayCell:
    chance = day.chances.get(machine)
    if chance is None:
        return DayCell("?", 0.0, day.pick == machine)
    return DayCell(times(chance, voice), round(_CHANCE_HEIGHT * chance, 2), day.pick == machine)
