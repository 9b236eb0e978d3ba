"""Days without gaps: what a file does not know is filled in, and told."""

import datetime as dt
from bisect import bisect
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from pickrig.errors import InputError
from pickrig.facts import Said, Statements
from pickrig.inputs.fields import SI
from pickrig.inputs.weather.days import Day
from pickrig.inputs.weather.rows import Row
from pickrig.rulebook import Rules

_GAPS_TOLD = 5  # days


@dataclass(frozen=True)
class Filled:
    """Every day in order. notes: what was filled in. guessed: the days whose temperatures were."""

    days: tuple[Day, ...]
    notes: Statements
    guessed: frozenset[dt.date]


@dataclass(frozen=True)
class Span:
    """until: the last day that is asked for. measured: the last that anybody measured; later ones are forecast.
    in_a_file: a day not named is a gap; in a list it was dry."""

    until: dt.date
    measured: dt.date
    in_a_file: bool


def each_once(rows: Sequence[Row | Day], where: Path) -> dict[dt.date, Row | Day]:
    """The days by date. Raises InputError where one stands there twice."""
    by_date: dict[dt.date, Row | Day] = {}
    for row in rows:
        if row.date in by_date:
            raise InputError([Said("fault.day_twice", file=str(where), date=str(row.date))])
        by_date[row.date] = row
    return by_date


def without_gaps(by_date: dict[dt.date, Row | Day], span: Span, latitude: float | None, rules: Rules) -> Filled:
    """Every day from the first to the last or until then. In a file, a measured day nobody has a figure for gets the
    mean rain, and a coming one the chance and the amount of the days that are known."""
    notes: list[Said] = []
    known = [row.rain for row in by_date.values() if row.rain is not None]
    mean = sum(known) / len(known) if span.in_a_file and known else 0.0
    first, last = min(by_date), max(by_date)
    dates = [first + dt.timedelta(days=d) for d in range((max(last, span.until) - first).days + 1)]
    least = rules.weather["least_hours"].value if span.in_a_file else 0.0
    open_days = [date for date in dates if not _is_known(by_date.get(date), least if date <= span.measured else 0.0)]
    gaps = [date for date in open_days if date <= span.measured or (date <= last and not span.in_a_file)]
    ahead = [date for date in open_days if date not in gaps]
    measured = [row.rain for row in by_date.values() if row.rain is not None and row.date <= span.measured]
    chance, amount = _climate(measured, rules)
    if gaps:
        key = "assumed.mean_rain" if span.in_a_file else "assumed.dry_gaps"
        notes.append(Said(key, days=tuple(gaps[:_GAPS_TOLD]), more=max(len(gaps) - _GAPS_TOLD, 0)))
    if ahead and span.in_a_file:
        notes.append(Said("assumed.usual_rain", first=ahead[0], last=ahead[-1], days=len(ahead)))
    elif ahead:
        notes.append(Said("assumed.no_forecast", first=ahead[0], last=ahead[-1], days=len(ahead)))
    filled = dict.fromkeys(gaps, Row(first, mean))
    for date in ahead:
        told = getattr(by_date.get(date), "chance", None)
        usual = Row(date, amount, chance=chance if told is None else told)
        filled[date] = usual if span.in_a_file else Row(date, 0.0)
    if span.in_a_file:
        filled |= _partly_told(by_date, span.measured, chance * amount)
    rows = [by_date.get(date, Row(date, None)) for date in dates]
    warmth = _temperatures(rows, latitude, rules)
    guessed = frozenset(row.date for row in rows if row.tmin is None or row.tmax is None)
    if guessed:
        notes.append(Said("assumed.temperatures"))
    days = [_day_of(row, filled.get(row.date, row), ends) for row, ends in zip(rows, warmth, strict=True)]
    return Filled(tuple(days), tuple(notes), guessed)


def _partly_told(by_date: dict[dt.date, Row | Day], measured: dt.date, expected: float) -> dict[dt.date, Row]:
    """Coming days of which a forecast covers some hours: what it tells, and the usual rain of the others. expected: of
    a whole day, m."""
    return {
        date: replace(row, rain=row.rain + (1 - row.hours / 24) * expected)
        for date, row in by_date.items()
        if isinstance(row, Row) and date > measured and row.rain is not None and row.hours < _WHOLE
    }


_WHOLE = 22.5  # h; a day on which clocks change has 23


def _is_known(row: Row | Day | None, hours: float) -> bool:
    """Whether there is a rain figure, for so many hours of the day at least."""
    return row is not None and row.rain is not None and (not isinstance(row, Row) or row.hours >= hours)


def _climate(known: list[float], rules: Rules) -> tuple[float, float]:
    """How often it rains and how much it then does, m, by the days that are known; a usual day's where too few are."""
    own = rules.weather
    wet = [rain for rain in known if rain >= own["wet_day"].value / 1e3]
    if len(wet) < own["least_wet_days"].value:
        return own["usual_chance"].value, own["usual_amount"].value / 1e3
    return len(wet) / len(known), sum(wet) / len(wet)


def _day_of(row: Row | Day, known: Row | Day, ends: tuple[float, float]) -> Day:
    """A whole day; one that was whole stays as it is."""
    if isinstance(row, Day) and (row.tmin, row.tmax) == ends:
        return row
    told = {"date": row.date, "rain": known.rain, "tmin": ends[0], "tmax": ends[1], "chance": known.chance}
    return Day.model_validate(told, context=SI)


def _temperatures(rows: list[Row | Day], latitude: float | None, rules: Rules) -> list[tuple[float, float]]:
    """Every day's lowest and highest: its own, the nearest known day's, else the season's where the lot lies."""
    known = [(row.date, (row.tmin, row.tmax)) for row in rows if row.tmin is not None and row.tmax is not None]
    dates = [date for date, _ in known]

    def filled(row: Row | Day) -> tuple[float, float]:
        if row.tmin is not None and row.tmax is not None:
            return row.tmin, row.tmax
        if known:
            after = bisect(dates, row.date)
            return min(known[max(after - 1, 0) : after + 1], key=lambda other: abs((other[0] - row.date).days))[1]
        south = latitude is not None and latitude < 0
        month = (row.date.month + 5) % 12 + 1 if south else row.date.month
        season = next(season for season in rules.seasons.values() if month in season.months)
        return season.tmin, season.tmax

    return [filled(row) for row in rows]
