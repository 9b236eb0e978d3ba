"""A weather file as it comes: recognised by its header or its structure, never by its name, and never by guesswork."""

import csv
import json
import math
from pathlib import Path

from pickrig.errors import InputError
from pickrig.facts import Quantity, Said
from pickrig.files import read_text
from pickrig.inputs.weather import norway, open_meteo, us_grid
from pickrig.inputs.weather.archive import is_long, is_ordered, is_summary, is_wide, read_archive
from pickrig.inputs.weather.reference import is_reference, read_reference
from pickrig.inputs.weather.rows import Row, Table, wettest
from pickrig.inputs.weather.table import cells_of, names_units, read_table
from pickrig.inputs.weather.written import Written
from pickrig.rulebook import Rules

FORECASTS = ("us grid", "norway")  # that begin with the day on which they were written
_BROKEN = (ArithmeticError, AttributeError, LookupError, TypeError, ValueError, csv.Error)
LARGEST = 60_000_000  # bytes; thirty years of hours are a quarter of it


def read_weather(path: Path, written: Written, country: str, rules: Rules) -> Table:
    """The days of a file, what they were read as told. Raises InputError naming file, line and column."""
    text = read_text(path, "weather", LARGEST)
    try:
        table = _read(path, text, written, country, rules)
    except _BROKEN as error:  # whatever stands where a service writes something else
        raise InputError([Said("fault.service_broken", file=str(path))]) from error
    if not table.rows:
        raise InputError([Said("fault.no_rows", file=str(path))])
    _check(path, table, written, rules)
    return table


def _read(path: Path, text: str, written: Written, country: str, rules: Rules) -> Table:
    if text.lstrip()[:1] in "{[":
        return _read_json(path, text, written)
    lines = [line for line in text.splitlines() if line.strip() and line[0] != "#"]
    first = lines[0] if lines else ""
    if open_meteo.is_csv(first):
        return _shown(open_meteo.read_csv(path, text.splitlines(), written.station, written.tzinfo))
    if is_reference(first):
        return _shown(read_reference(path, lines, written.station))
    try:
        header = cells_of(first)
    except csv.Error as error:
        raise InputError([Said("fault.no_table", file=str(path))]) from error
    if is_long(first) or is_wide(header) or is_summary(header) or (is_ordered(header) and not names_units(header)):
        return _shown(read_archive(path, lines, written.station, written.rain_unit, written.temperature_unit))
    return Table(tuple(read_table(path, text, written, country, rules)), "table")


def _read_json(path: Path, text: str, written: Written) -> Table:
    try:
        data = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise InputError([Said("fault.service_broken", file=str(path))]) from error
    if open_meteo.is_json(data):
        return _shown(open_meteo.read_json(path, data, written.station, written.tzinfo))
    if us_grid.is_grid(data):
        return _shown(us_grid.read_grid(path, data, written.tzinfo))
    if norway.is_norway(data):
        return _shown(norway.read_norway(path, data, written.tzinfo))
    raise InputError([Said("fault.unknown_json", file=str(path))])


def _shown(table: Table) -> Table:
    """With one wet day shown back, by which anybody sees whether the units are right."""
    day = wettest(table.rows)
    how = Said(f"layout.{table.layout.replace(', ', '_').replace(' ', '_')}")
    said = Said("weather.read_as", how=how) if day is None or day.rain is None else _with_day(how, day)
    return Table(table.rows, table.layout, (said, *table.notes), table.place)


def _with_day(how: Said, day: Row) -> Said:
    return Said("weather.wettest", how=how, date=day.date, rain=Quantity(day.rain or 0.0, "rain"))


def _check(path: Path, table: Table, written: Written, rules: Rules) -> None:
    """Raise InputError at what no station on earth has measured."""
    own, known = rules.weather, [row for row in table.rows if row.rain is not None]
    if any(not math.isfinite(value) for row in table.rows for value in (row.rain, row.tmin, row.tmax) if value):
        raise InputError([Said("fault.service_broken", file=str(path))])
    for row in known:
        if not 0 <= (row.rain or 0.0) <= own["most_day"].value / 1e3:
            raise InputError([Said("fault.rain_of_a_day", file=str(path), date=str(row.date), rain=_rain(row.rain))])
    for row in table.rows:
        for degrees in (row.tmin, row.tmax):
            if degrees is not None and not own["coldest"].value <= degrees <= own["hottest"].value:
                heat = Quantity(degrees, "temperature")
                raise InputError([Said("fault.heat_of_a_day", file=str(path), date=str(row.date), heat=heat)])
    if len(known) < own["year_from"].value:
        return
    year = 365.0 * sum(row.rain or 0.0 for row in known) / len(known)
    whole = all(abs(1e3 * (row.rain or 0.0) - round(1e3 * (row.rain or 0.0))) < 1e-9 for row in known)
    most = own["most_year_whole" if whole else "most_year"].value
    if year > most:
        key = "fault.year_tenths" if whole else "fault.year_rain"
        unit = written.rain_unit or ""
        raise InputError([Said(key, file=str(path), rain=_rain(year), unit=unit, most=Quantity(most, "rain"))])


def _rain(metres: float | None) -> Quantity:
    return Quantity(metres or 0.0, "rain")
