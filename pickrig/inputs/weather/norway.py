"""The open forecast of the Norwegian Meteorological Institute, which covers the whole earth.

Layout after its public samples, read second-hand (locationforecast 2.0, CC BY 4.0): every step carries sums of
the hours that follow, which overlap; one walks from block to block.
"""

import datetime as dt
from pathlib import Path
from typing import Any

from pickrig.errors import InputError
from pickrig.facts import Key, Said, Statements
from pickrig.inputs.weather.rows import LocalDays, Table, settled
from pickrig.inputs.weather.zones import by_longitude, local

_BLOCKS = ((1, "next_1_hours"), (6, "next_6_hours"), (12, "next_12_hours"))


def is_norway(data: Any) -> bool:
    properties = data.get("properties") if isinstance(data, dict) else None
    return isinstance(properties, dict) and "timeseries" in properties


def read_norway(path: Path, data: Any, zone: dt.tzinfo | None) -> Table:
    """Raises InputError where it is not of that layout, or names another unit than mm."""
    try:
        longitude, latitude = (float(x) for x in data["geometry"]["coordinates"][:2])
        unit = data["properties"]["meta"]["units"].get("precipitation_amount", "mm")
        if unit != "mm":
            raise InputError([Said("fault.service_unit", file=str(path), name="precipitation_amount", read=str(unit))])
        notes: Statements = () if zone is not None else (Said("weather.sun_time", key=Key("weather.zone")),)
        days = _days(data["properties"]["timeseries"], zone or by_longitude(longitude))
    except (KeyError, TypeError, ValueError, AttributeError) as error:
        raise InputError([Said("fault.service_broken", file=str(path))]) from error
    return Table(tuple(settled(row) for row in days.rows()), "norway", notes, (latitude, longitude))


def _days(steps: list[dict[str, Any]], zone: dt.tzinfo) -> LocalDays:
    days, until = LocalDays(), dt.datetime.min.replace(tzinfo=dt.UTC)
    for step in sorted(steps, key=lambda step: str(step["time"])):
        moment, data = dt.datetime.fromisoformat(step["time"]), step["data"]
        begins = local(moment, zone)
        heat = data.get("instant", {}).get("details", {}).get("air_temperature")
        if heat is not None:
            days.heat[begins.date()].append(float(heat))
        if moment < until:
            continue
        for hours, name in _BLOCKS:
            details = data.get(name, {}).get("details", {})
            if details.get("precipitation_amount") is None:
                continue
            days.fell(begins, hours, float(details["precipitation_amount"]) / 1e3)
            chance = details.get("probability_of_precipitation")
            if chance is not None:
                days.may(begins, hours, float(chance) / 100)
            until = moment + dt.timedelta(hours=hours)
            break
    return days
