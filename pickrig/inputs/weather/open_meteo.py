"""Files of an open forecast and archive service, CSV and JSON, by the day or by the hour.

Layout after the service's own server code and tests, read second-hand (open-meteo.com; data CC BY 4.0): units
stand in the header, an hour's rain fell in the hour before its stamp, missing is NaN or null.
"""

import csv
import datetime as dt
import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pickrig.errors import InputError
from pickrig.facts import Key, Said, Statements
from pickrig.inputs.weather.rows import LocalDays, Row, Table, settled
from pickrig.inputs.weather.zones import by_longitude, local

FIRST_LINE = "latitude,longitude,elevation,utc_offset_seconds"
_RAIN_UNITS = {"mm": 1e-3, "inch": 0.0254}
_MEMBER = re.compile(r"(precipitation(?:_sum)?)_member\d+")
_STAMP = re.compile(r"\d{4}-\d{2}-\d{2}(T\d{2}:\d{2}(:\d{2})?)?$")
_WET = 2e-4  # m a member of an ensemble has to bring to count as rain: what a gauge shows


@dataclass(frozen=True)
class _Series:
    """The columns of one table by name, each with its unit, and its stamps."""

    stamps: list[str]
    columns: dict[str, list[float | None]]
    units: dict[str, str]


@dataclass(frozen=True)
class _Place:
    latitude: float
    longitude: float
    offset: dt.timedelta


def is_csv(line: str) -> bool:
    return line.replace(" ", "").startswith((FIRST_LINE, f"location_id,{FIRST_LINE}"))


def is_json(data: Any) -> bool:
    one = data[0] if isinstance(data, list) and data else data
    return isinstance(one, dict) and "utc_offset_seconds" in one and ("daily" in one or "hourly" in one)


def read_csv(path: Path, lines: list[str], station: str | None, zone: dt.tzinfo | None) -> Table:
    """station: the location_id of a file of several places."""
    tables, table = list[list[str]](), list[str]()
    for line in (*lines, ""):
        if line.strip():
            table.append(line)
        elif table:
            tables.append(table)
            table = []
    places = _place_rows(path, tables[0])
    if len(places) > 1 and station not in places:
        _refuse(path, list(places), station)
    place = places[station] if len(places) > 1 and station is not None else next(iter(places.values()))
    series = [_series_of(path, table, station if len(places) > 1 else None) for table in tables[1:]]
    return _table(path, place, series, zone)


def read_json(path: Path, data: Any, station: str | None, zone: dt.tzinfo | None) -> Table:
    if isinstance(data, list):
        by_id = {str(one.get("location_id", n)): one for n, one in enumerate(data) if isinstance(one, dict)}
        if len(by_id) > 1 and station not in by_id:
            _refuse(path, list(by_id), station)
        data = by_id[station] if len(by_id) > 1 and station is not None else next(iter(by_id.values()))
    try:
        place = _Place(
            float(data["latitude"]), float(data["longitude"]), dt.timedelta(seconds=float(data["utc_offset_seconds"]))
        )
        series = [
            _Series(
                list(data[name]["time"]), {k: v for k, v in data[name].items() if k != "time"}, data[f"{name}_units"]
            )
            for name in ("daily", "hourly")
            if name in data
        ]
    except (KeyError, TypeError, ValueError) as error:
        raise InputError([Said("fault.service_broken", file=str(path))]) from error
    return _table(path, place, series, zone)


def _refuse(path: Path, places: list[str], station: str | None) -> None:
    key = "fault.many_stations" if station is None else "fault.no_station"
    raise InputError([Said(key, file=str(path), count=len(places), stations=tuple(places[:4]), read=station or "")])


def _place_rows(path: Path, table: list[str]) -> dict[str, _Place]:
    header, *rows = csv.reader(table)
    out = {}
    for n, row in enumerate(rows):
        cells = dict(zip(header, row, strict=False))
        try:
            place = _Place(float(cells["latitude"]), float(cells["longitude"]), _seconds(cells["utc_offset_seconds"]))
        except (KeyError, ValueError) as error:
            raise InputError([Said("fault.service_broken", file=str(path))]) from error
        out[cells.get("location_id", str(n))] = place
    if not out:
        raise InputError([Said("fault.service_broken", file=str(path))])
    return out


def _seconds(text: str) -> dt.timedelta:
    return dt.timedelta(seconds=float(text))


def _series_of(path: Path, table: list[str], station: str | None) -> _Series:
    header, *rows = csv.reader(table)
    if "time" not in header:
        raise InputError([Said("fault.service_broken", file=str(path))])
    if station is not None and "location_id" in header:
        at = header.index("location_id")
        rows = [row for row in rows if row[at : at + 1] == [station]]
    columns: dict[str, list[float | None]] = {}
    units: dict[str, str] = {}
    for at, cell in enumerate(header):
        name, _, unit = cell.partition(" (")
        if name in ("time", "location_id"):
            continue
        units[name] = unit.rstrip(")")
        if _is_used(name):
            columns[name] = [_value(path, row[at] if at < len(row) else "") for row in rows]
    at = header.index("time")
    return _Series([row[at] for row in rows], columns, units)


_USED = ("precipitation", "rain", "temperature_2m")


def _is_used(name: str) -> bool:
    return name.startswith(_USED)


def _value(path: Path, text: str) -> float | None:
    if text.strip().lower() in ("", "nan", "null"):
        return None
    try:
        return float(text)
    except ValueError as error:
        raise InputError([Said("fault.service_broken", file=str(path))]) from error


def _table(path: Path, place: _Place, series: Sequence[_Series], zone: dt.tzinfo | None) -> Table:
    """Days as the service summed them, where they are days of the site; else its hours, summed to such days."""
    for one in series:
        if any(not _STAMP.match(str(stamp)) for stamp in one.stamps):
            raise InputError([Said("fault.service_time", file=str(path))])
    daily = next((one for one in series if one.stamps and "T" not in one.stamps[0]), None)
    hourly = next((one for one in series if _is_by_the_hour(one)), None)
    whole = hourly is not None and _rain_name(hourly) is not None
    in_place = bool(place.offset) or daily is None
    notes: Statements = ()
    if daily is not None and _rain_name(daily) is not None and (in_place or not whole):
        rows = _by_day(path, daily)
        notes = () if in_place or abs(place.longitude) < _NEAR_GREENWICH else (Said("weather.utc_days"),)
    elif hourly is not None and whole:
        used, notes = _zone(place, zone)
        rows = _by_hour(path, hourly, place, used)
    else:
        raise InputError([Said("fault.no_rain", file=str(path))])
    return Table(rows, "service", notes, (place.latitude, place.longitude))


def _is_by_the_hour(series: _Series) -> bool:
    """Not one moment's figures, nor quarters of an hour."""
    if len(series.stamps) < 2 or "T" not in series.stamps[0]:
        return False
    first, second = (dt.datetime.fromisoformat(stamp) for stamp in series.stamps[:2])
    return second - first == dt.timedelta(hours=1)


_NEAR_GREENWICH = 15.0  # degrees of longitude


def _zone(place: _Place, zone: dt.tzinfo | None) -> tuple[dt.tzinfo, Statements]:
    """The job's own zone, else the file's, else the sun's where the file is in universal time."""
    if zone is not None:
        return zone, ()
    if place.offset or abs(place.longitude) < _NEAR_GREENWICH:
        return dt.timezone(place.offset), ()
    return by_longitude(place.longitude), (Said("weather.sun_time", key=Key("weather.zone")),)


def _rain_name(series: _Series) -> str | None:
    names = ("precipitation_sum", "precipitation", "rain_sum", "rain")
    return next((name for name in names if name in series.columns or _members(series, name)), None)


def _members(series: _Series, name: str) -> list[list[float | None]]:
    """The members of an ensemble."""
    return [column for key, column in series.columns.items() if (found := _MEMBER.fullmatch(key)) and found[1] == name]


def _rain_size(path: Path, series: _Series, name: str) -> float:
    unit = series.units.get(name) or next((u for key, u in series.units.items() if key.startswith(name)), "")
    if unit not in _RAIN_UNITS:
        raise InputError([Said("fault.service_unit", file=str(path), name=name, read=str(unit))])
    return _RAIN_UNITS[unit]


def _degrees(series: _Series, name: str) -> list[float | None]:
    """degC of a column; unknown throughout where there is none."""
    column = series.columns.get(name) or [None] * len(series.stamps)
    if "F" not in series.units.get(name, ""):
        return column
    return [None if value is None else (value - 32) / 1.8 for value in column]


def _chances(series: _Series, *names: str) -> list[float | None]:
    name = next((name for name in names if name in series.columns), None)
    if name is None:
        return [None] * len(series.stamps)
    return [None if value is None else min(max(value / 100, 0.0), 1.0) for value in series.columns[name]]


def _by_day(path: Path, series: _Series) -> tuple[Row, ...]:
    name = _rain_name(series)
    assert name is not None
    size, members = _rain_size(path, series, name), _members(series, name)
    lows, highs = _degrees(series, "temperature_2m_min"), _degrees(series, "temperature_2m_max")
    chances = _chances(series, "precipitation_probability_max", "precipitation_probability_mean")
    rains = series.columns.get(name) or [None] * len(series.stamps)
    rows = []
    for n, stamp in enumerate(series.stamps):
        row = Row(dt.date.fromisoformat(stamp[:10]), _times(rains[n], size), lows[n], highs[n], chances[n])
        ensemble = [size * value for member in members if (value := member[n]) is not None]
        rows.append(_of_members(row, ensemble) if ensemble else settled(row))
    return tuple(rows)


def _by_hour(path: Path, series: _Series, place: _Place, zone: dt.tzinfo) -> tuple[Row, ...]:
    name = _rain_name(series)
    assert name is not None
    size, members = _rain_size(path, series, name), _members(series, name)
    rains = series.columns.get(name) or [None] * len(series.stamps)
    heats, chances = _degrees(series, "temperature_2m"), _chances(series, "precipitation_probability")
    days = LocalDays()
    sums: list[LocalDays] = [LocalDays() for _ in members]
    own = dt.timezone(place.offset)
    for n, stamp in enumerate(series.stamps):
        moment = local(dt.datetime.fromisoformat(stamp).replace(tzinfo=own), zone)
        before = moment - dt.timedelta(hours=1)
        rain, heat, chance = rains[n], heats[n], chances[n]
        if rain is not None:
            days.fell(before, 1.0, rain * size)
        if heat is not None:
            days.heat[moment.date()].append(heat)
        if chance is not None:
            days.may(before, 1.0, chance)
        for member, total in zip(members, sums, strict=True):
            if (value := member[n]) is not None:
                total.fell(before, 1.0, value * size)
    if not members:
        return tuple(settled(row) for row in days.rows())
    by_date = {row.date: row for row in days.rows()} if days.hours or days.heat else {}
    out = []
    for date in sorted({date for total in sums for date in total.hours}):
        row = by_date.get(date, Row(date, None))
        hours = max(total.hours[date] for total in sums)
        known = Row(date, row.rain, row.tmin, row.tmax, hours=min(hours, 24.0))
        out.append(_of_members(known, [total.rain[date] for total in sums if date in total.hours]))
    return tuple(out)


def _of_members(row: Row, rains: list[float]) -> Row:
    """The share of an ensemble that brings rain, and how much these bring in the mean."""
    wet = [rain for rain in rains if rain >= _WET]
    amount = sum(wet) / len(wet) if wet else 0.0
    return Row(row.date, amount, row.tmin, row.tmax, len(wet) / len(rains), row.hours)


def _times(value: float | None, size: float) -> float | None:
    return None if value is None else value * size
