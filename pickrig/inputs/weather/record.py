"""Years of weather, for an owner's year."""

import datetime as dt
from dataclasses import dataclass
from pathlib import Path

from pickrig.errors import InputError
from pickrig.facts import Said, Statements
from pickrig.inputs.weather.days import Day
from pickrig.inputs.weather.filling import Span, each_once, without_gaps
from pickrig.inputs.weather.recognise import read_weather
from pickrig.inputs.weather.written import Written
from pickrig.rulebook import Rules

LONGEST_RECORD = 60 * 366  # days
_MOST_MISSING = 30  # days of a calendar year without a rain figure


@dataclass(frozen=True)
class Record:
    """Years of weather. days: from the first to the last, gaps filled. years: the calendar years that are whole, but
    for a few days. notes: what was filled in or left out."""

    days: tuple[Day, ...]
    years: tuple[int, ...]
    notes: Statements


def read_record(path: Path, written: Written, latitude: float | None, rules: Rules, country: str) -> Record:
    """A record of years, gaps filled with the mean rain and told; a year with too many of them is left out.

    Raises InputError: a day twice, no rain at all, no whole calendar year, or what a short file is refused for.
    """
    table = read_weather(path, written, country, rules)
    by_date = each_once(table.rows, path)
    first, last = min(by_date), max(by_date)
    if (last - first).days > LONGEST_RECORD:
        raise InputError([Said("fault.record_long", file=str(path), first=str(first), last=str(last))])
    measured = {date for date, day in by_date.items() if day.rain is not None}
    if not any(by_date[date].rain for date in measured):
        raise InputError([Said("fault.no_rain", file=str(path))])
    missing = {year: _missing(year, measured) for year in range(first.year, last.year + 1)}
    years = tuple(year for year, count in missing.items() if count <= _MOST_MISSING)
    if not years:
        raise InputError([Said("fault.no_year", file=str(path), first=str(first), last=str(last))])
    where = latitude if latitude is not None or table.place is None else table.place[0]
    filled = without_gaps(by_date, Span(last, last, True), where, rules)
    short = [
        Said("assumed.year_left_out", year=str(year), days=count)
        for year, count in missing.items()
        if year not in years
    ]
    return Record(filled.days, years, (*table.notes, *short, *filled.notes))


def _missing(year: int, measured: set[dt.date]) -> int:
    """Days of a calendar year without a rain figure."""
    start = dt.date(year, 1, 1)
    return sum(start + dt.timedelta(d) not in measured for d in range((dt.date(year + 1, 1, 1) - start).days))
