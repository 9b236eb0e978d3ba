"""The days of a job's weather, from its list or its files."""

import datetime as dt
from collections.abc import Sequence
from pathlib import Path

from pickrig.errors import InputError
from pickrig.facts import Said, Statements
from pickrig.inputs.weather.days import Day, Weather
from pickrig.inputs.weather.filling import Span, each_once, without_gaps
from pickrig.inputs.weather.recognise import FORECASTS, read_weather
from pickrig.inputs.weather.rows import Row, Table
from pickrig.rulebook import Rules

DAYS_BEFORE, DAYS_AFTER = 400, 14  # of a long file, only these days around the job play a part


def complete(weather: Weather, beside: Path, rules: Rules, country: str) -> Weather:
    """The weather with its files read, its days in order without gaps, and temperatures filled from the season.

    country: of the job, whose way of writing dates is taken where a file leaves it open. Raises InputError naming the
    file, line and column, or the days that are missing.
    """
    paths = [beside.parent / name if name else None for name in (weather.file, weather.forecast)]
    past, ahead = (read_weather(path, weather, country, rules) if path else None for path in paths)
    where = paths[0] or paths[1] or beside
    tables = [table for table in (past, ahead) if table is not None]
    today = _today(weather, past, ahead)
    rows = _joined(past, ahead, today) if tables else weather.days
    first, last = (weather.job_day + dt.timedelta(days=d) for d in (-DAYS_BEFORE, DAYS_AFTER))
    by_date = {date: day for date, day in each_once(rows, where).items() if first <= date <= last}
    notes: Statements = tuple(note for table in tables for note in table.notes)
    if today not in by_date:
        all_ahead = (past is None and ahead is not None) or any(one.chance is not None for one in rows)
        if not by_date or not all_ahead:
            raise InputError([Said("fault.day_lacking", file=str(where), last=str(today), job=str(weather.job_day))])
        by_date[today] = Row(today, 0.0)
        notes = (*notes, Said("weather.no_past"))
    latitude = weather.latitude
    if latitude is None:
        latitude = next((table.place[0] for table in tables if table.place is not None), None)
    filled = without_gaps(by_date, Span(weather.job_day, today, bool(tables)), latitude, rules)
    whole = weather.with_days(list(filled.days), today, (*notes, *filled.notes), filled.guessed)
    return whole.model_copy(update={"latitude": latitude})


def _today(weather: Weather, past: Table | None, ahead: Table | None) -> dt.date:
    """The last measured day: as the job says, else the last of the file of the days behind, or the day on which a
    forecast was written, else the day before the job."""
    eve = weather.job_day - dt.timedelta(days=1)
    if weather.today is not None:
        return weather.today
    if past is not None and ahead is not None:
        return min(max((row.date for row in past.rows if row.rain is not None), default=eve), eve)
    table = past or ahead
    if table is not None and table.layout in FORECASTS:
        return min(table.rows[0].date - dt.timedelta(days=1), eve)
    days: Sequence[Row | Day] = table.rows if table is not None else weather.days
    return _before_the_chances(days, eve)


def _before_the_chances(days: Sequence[Row | Day], eve: dt.date) -> dt.date:
    """A day whose rain has a chance is no measured one: the last before the first of these; where a service gives
    chances for the days behind too, the eve."""
    uncertain = [day.date for day in days if day.chance is not None]
    if not uncertain or min(uncertain) > eve or (eve - min(uncertain)).days > _LONGEST_FORECAST:
        return eve
    return min(uncertain) - dt.timedelta(days=1)


_LONGEST_FORECAST = 16  # days


def _joined(past: Table | None, ahead: Table | None, today: dt.date) -> Sequence[Row | Day]:
    if past is None or ahead is None:
        return (past or ahead or Table((), "")).rows
    return [*(row for row in past.rows if row.date <= today), *(row for row in ahead.rows if row.date > today)]
