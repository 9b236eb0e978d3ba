"""The gridpoint forecast of the US National Weather Service: amounts, chances and temperatures over intervals.

Layout after public samples of the service, read second-hand: times in UTC with a duration, units in `uom`, values
that may be null. Amounts end after some days while chances go on: past the last amount nothing is known.
"""

import datetime as dt
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from pickrig.errors import InputError
from pickrig.facts import Key, Said, Statements
from pickrig.inputs.weather.rows import LocalDays, Row, Table, if_it_comes
from pickrig.inputs.weather.zones import by_longitude, local

_AMOUNT, _CHANCE = "quantitativePrecipitation", "probabilityOfPrecipitation"
_LONGEST = 24 * 31  # h of one interval
_DURATION = re.compile(r"P(?:(\d+)D)?(?:T(?:(\d+)H)?(?:(\d+)M)?)?")


def is_grid(data: Any) -> bool:
    properties = data.get("properties") if isinstance(data, dict) else None
    return isinstance(properties, dict) and (_AMOUNT in properties or _CHANCE in properties)


def read_grid(path: Path, data: Any, zone: dt.tzinfo | None) -> Table:
    """Raises InputError: no time zone to be had, a unit or an interval of another kind."""
    place = _centre(data)
    notes: Statements = ()
    if zone is None:
        if place is None:
            raise InputError([Said("fault.no_zone", file=str(path))])
        zone, notes = by_longitude(place[1]), (Said("weather.sun_time", key=Key("weather.zone")),)
    properties, days = data["properties"], LocalDays()
    for begins, hours, value in _values(path, properties, _AMOUNT, {"mm": 1e-3, "in": 0.0254}, zone):
        days.fell(begins, hours, value)
    for begins, hours, value in _values(path, properties, _CHANCE, {"percent": 0.01}, zone):
        days.may(begins, hours, min(value, 1.0))
    heat: dict[str, dict[dt.date, float]] = {}
    for name in ("maxTemperature", "minTemperature"):
        heat[name] = {}
        for begins, hours, value in _values(path, properties, name, {"degC": 1.0, "degF": 1.0}, zone):
            middle = begins + dt.timedelta(hours=hours / 2)  # a night's lowest belongs to the morning it ends on
            is_f = str(properties[name].get("uom", "")).endswith("degF")
            heat[name][middle.date()] = (value - 32) / 1.8 if is_f else value
    dates = {row.date: row for row in days.rows()}
    rows = []
    for date in sorted({*dates, *heat["maxTemperature"], *heat["minTemperature"]}):
        row = dates.get(date, Row(date, None))
        low, high = heat["minTemperature"].get(date), heat["maxTemperature"].get(date)
        if low is not None and high is not None and low > high:
            low, high = high, low  # a warm night before a cold front
        rows.append(if_it_comes(Row(date, row.rain, low, high, row.chance, row.hours if date in dates else 0.0)))
    return Table(tuple(rows), "us grid", notes, place)


def _values(
    path: Path, properties: dict[str, Any], name: str, sizes: dict[str, float], zone: dt.tzinfo
) -> Iterator[tuple[dt.datetime, float, float]]:
    """Of one series: when each interval begins by the local clock, its hours, and its value."""
    series = properties.get(name)
    if series is None:
        return
    try:
        values = [entry for entry in series["values"] if entry["value"] is not None]
        unit = str(series.get("uom", "")).rpartition(":")[2]
        for entry in values:
            stamp, _, duration = str(entry["validTime"]).partition("/")
            begins = local(dt.datetime.fromisoformat(stamp), zone)
            yield begins, _hours(duration), float(entry["value"]) * sizes[unit]
    except (KeyError, TypeError, ValueError) as error:
        raise InputError([Said("fault.grid_series", file=str(path), name=name)]) from error


def _hours(text: str) -> float:
    found = _DURATION.fullmatch(text)
    if not found or not any(found.groups()):
        raise ValueError(text)
    days, hours, minutes = (int(part or 0) for part in found.groups())
    whole = 24 * days + hours + minutes / 60
    if whole > _LONGEST:
        raise ValueError(text)
    return whole


def _centre(data: dict[str, Any]) -> tuple[float, float] | None:
    """Latitude and longitude of the grid box."""
    try:
        ring = data["geometry"]["coordinates"][0]
        return sum(p[1] for p in ring) / len(ring), sum(p[0] for p in ring) / len(ring)
    except (KeyError, IndexError, TypeError, ZeroDivisionError):
        return None
