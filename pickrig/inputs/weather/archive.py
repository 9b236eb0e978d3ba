"""Daily archives of weather stations as the US national climate service hands them out: wide, long, or as ordered.

Layouts after the readme of GHCN-Daily (Menne et al. 2012, doi 10.7289/V5D21VHZ) and of its daily summaries, read
second-hand. A value that failed a quality check is left out, a total of days is shared over them.
"""

import csv
import datetime as dt
import re
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple

from pickrig.errors import InputError
from pickrig.facts import Said, Statements
from pickrig.inputs.weather.rows import Row, Table, counted, degrees

_WIDE = ["STATION", "DATE", "LATITUDE", "LONGITUDE", "ELEVATION", "NAME"]
_LONG = ["ID", "DATE", "ELEMENT"]
_LONG_LINE = re.compile(r'"?[A-Z]{2}[A-Z0-9_\-]{9}"?,"?\d{8}"?,"?[A-Z0-9]{4}"?,')
_WANTED = ("PRCP", "TMAX", "TMIN", "MDPR", "DAPR")
_RAIN = {"tenths of mm": 1e-4, "mm": 1e-3, "cm": 1e-2, "in": 0.0254}
_USUAL = {"tenths of mm": "tenths of C", "mm": "C", "in": "F"}  # the three sets a file may be ordered in
_SUMMARY = {"MAX": "TMAX", "MIN": "TMIN"}
_NONE = ("99.99", "9999.9")  # what that summary writes for nothing
_SHOWN = 4  # stations a fault names
_COLD_TENTHS, _HOT_FAHRENHEIT = 45.0, 130.0  # what no day has in degC, and none in degF: above it are degF, tenths


class Observation(NamedTuple):
    """One cell. measured, quality: its flags, empty where it has none."""

    station: str
    date: dt.date
    element: str
    text: str
    measured: str
    quality: str


@dataclass(frozen=True)
class Units:
    """What the numbers of a file are in."""

    rain: str
    heat: str


def is_wide(header: list[str]) -> bool:
    """One row a day, columns by element, stored in tenths."""
    return [cell.upper() for cell in header[:6]] == _WIDE


def is_summary(header: list[str]) -> bool:
    """The global summary of the day: inches and degF, with codes of its own for what is missing."""
    return {"STATION", "DATE", "TEMP", "MAX", "MIN", "PRCP"} <= {cell.upper().strip() for cell in header}


def is_ordered(header: list[str]) -> bool:
    """As ordered: station and day, columns by element, in one of three sets of units that the header does not name."""
    names = {cell.upper() for cell in header}
    return {"STATION", "DATE"} <= names and bool(names & {"PRCP", "MDPR"})


def is_long(line: str) -> bool:
    """A row an element, with a header or without."""
    return line.upper().replace('"', "").split(",")[:3] == _LONG or bool(_LONG_LINE.match(line))


def read_archive(
    path: Path, lines: list[str], station: str | None, rain_unit: str | None, heat_unit: str | None
) -> Table:
    """Any of the three. Raises InputError: more than one station, units that nothing settles, a cell that is no number.

    rain_unit, heat_unit: what the user says they are; against what the file shows, they are refused.
    """
    header = next(csv.reader(lines[:1]))
    wide = is_wide(header)
    cells = list(_long(path, lines) if is_long(lines[0]) else _columns(path, header, lines[1:]))
    if not cells:
        raise InputError([Said("fault.no_rows", file=str(path))])
    cells = _of_one(path, cells, station)
    if not any(cell.element in ("PRCP", "MDPR") for cell in cells):
        raise InputError([Said("fault.no_rain", file=str(path))])
    stored = not is_summary(header) and (wide or is_long(lines[0])) and not any("." in cell.text for cell in cells)
    if is_summary(header):
        units = _given(path, Units("in", "F"), rain_unit, heat_unit)
    elif stored:
        units = _given(path, Units("tenths of mm", "tenths of C"), rain_unit, heat_unit)
    else:
        units = _told(path, cells, rain_unit, heat_unit)
    rows, notes = _days(path, cells, units)
    return Table(rows, f"archive, {units.rain}", notes, _place(lines) if wide else None)


def _place(lines: list[str]) -> tuple[float, float] | None:
    first = next(csv.reader(lines[1:2]), [])
    try:
        return float(first[2]), float(first[3])
    except (IndexError, ValueError):
        return None


def _long(path: Path, lines: list[str]) -> Iterator[Observation]:
    has_header = lines[0].upper().replace('"', "").startswith("ID,")
    for number, row in enumerate(csv.reader(lines[1:] if has_header else lines), 1 + has_header):
        if len(row) >= 4 and row[2] in _WANTED:
            flags = [*(cell.strip() for cell in row[4:6]), "", ""]
            yield Observation(row[0], _date(path, number, row[1]), row[2], row[3].strip(), flags[0], flags[1])


def _columns(path: Path, header: list[str], lines: list[str]) -> Iterator[Observation]:
    names = [cell.upper().strip() for cell in header]
    if is_summary(header):
        names = [_SUMMARY.get(name, name) for name in names]
    at = {name: index for index, name in enumerate(names)}
    elements = [(name, at[name], at.get(f"{name}_ATTRIBUTES")) for name in _WANTED if name in at]
    for number, row in enumerate(csv.reader(lines), 2):
        if len(row) <= at["DATE"]:
            continue
        date = _date(path, number, row[at["DATE"]])
        for name, place, flagged in elements:
            text = row[place].strip() if place < len(row) else ""
            if is_summary(header):
                yield Observation(row[at["STATION"]], date, name, "" if text in _NONE else text, "", "")
                continue
            flags = [*(row[flagged].split(",") if flagged is not None and flagged < len(row) else []), "", ""]
            yield Observation(row[at["STATION"]], date, name, text, flags[0].strip(), flags[1].strip())


def _date(path: Path, number: int, text: str) -> dt.date:
    bare = text.strip()[:10]
    try:
        return dt.date.fromisoformat(bare)
    except ValueError as error:
        raise InputError([Said("fault.not_a_date", file=str(path), line=str(number), read=text)]) from error


def _of_one(path: Path, cells: list[Observation], station: str | None) -> list[Observation]:
    """Of one station: the one named, or the only one."""
    stations = list(dict.fromkeys(cell.station for cell in cells))
    if station is None and len(stations) == 1:
        return cells
    if station not in stations:
        shown = tuple(stations[:_SHOWN])
        key = "fault.many_stations" if station is None else "fault.no_station"
        raise InputError([Said(key, file=str(path), count=len(stations), stations=shown, read=station or "")])
    return [cell for cell in cells if cell.station == station]


def _given(path: Path, units: Units, rain_unit: str | None, heat_unit: str | None) -> Units:
    """Units the file is known to have, against what the user says."""
    if (rain_unit or units.rain) != units.rain or (heat_unit or units.heat) != units.heat:
        said = rain_unit if (rain_unit or units.rain) != units.rain else heat_unit
        raise InputError(
            [Said("fault.other_units", file=str(path), said=said or "", are=f"{units.rain}, {units.heat}")]
        )
    return units


def _told(path: Path, cells: list[Observation], rain_unit: str | None, heat_unit: str | None) -> Units:
    """Told apart by how the numbers are written and what temperatures there can be; both have to agree."""
    rain = _rain_by_digits([cell.text for cell in cells if cell.element in ("PRCP", "MDPR") and cell.text])
    heat = _heat_by_size([cell.text for cell in cells if cell.element in ("TMAX", "TMIN") and cell.text])
    by_heat = next((unit for unit, its in _USUAL.items() if its == heat), None)
    if rain_unit is not None and heat_unit is not None:
        return Units(rain_unit, heat_unit)
    if rain == "tenths of mm" and heat == "F":  # inches are never written so, but for a time without rain
        dry = all(float(cell.text) == 0 for cell in cells if cell.element in ("PRCP", "MDPR") and cell.text)
        rain, heat, by_heat = ("in", "F", "in") if dry else (rain, "tenths of C", rain)
    if rain is not None and by_heat is not None and rain != by_heat and rain_unit is None:
        raise InputError([Said("fault.units_clash", file=str(path), rain=rain, heat=heat or "")])
    whole = heat is None and any(cell.element in ("TMAX", "TMIN") and cell.text for cell in cells)
    integers_alone = by_heat is None and (rain == "tenths of mm" or (rain == "mm" and whole))
    found = by_heat or (None if integers_alone else rain)
    if found is None and rain_unit is None:
        raise InputError([Said("fault.units_unsettled", file=str(path))])
    if rain_unit is not None and found is not None and rain_unit != found:
        return _given(path, Units(found, _USUAL[found]), rain_unit, heat_unit)
    unit = rain_unit or found
    assert unit is not None
    return Units(unit, heat_unit or heat or _USUAL.get(unit, "C"))


def _rain_by_digits(texts: list[str]) -> str | None:
    """Two decimals are inches, one millimetres, none tenths of millimetres."""
    most = max((len(text.partition(".")[2]) for text in texts), default=None)
    return None if most is None else {0: "tenths of mm", 1: "mm", 2: "in"}.get(most)


def _heat_by_size(texts: list[str]) -> str | None:
    try:
        values = [float(text) for text in texts]
    except ValueError:
        return None
    if not values:
        return None
    if any(value != int(value) for value in values):
        return "C"
    most = max(abs(value) for value in values)
    return "tenths of C" if most > _HOT_FAHRENHEIT else "F" if most > _COLD_TENTHS else None


def _days(path: Path, cells: Iterable[Observation], units: Units) -> tuple[tuple[Row, ...], Statements]:
    """Days with what is known of each: flagged values left out, totals of days shared over them."""
    known: dict[str, dict[dt.date, float]] = defaultdict(dict)
    flagged, dates = set(), set()
    for cell in cells:
        dates.add(cell.date)
        if not cell.text or cell.text == "-9999":
            continue
        if cell.quality or cell.measured == "P":  # failed a check, or presumed to be zero
            flagged.add(cell.date)
            continue
        value = _number(path, cell)
        if known[cell.element].setdefault(cell.date, value) != value:
            raise InputError([Said("fault.day_twice", file=str(path), date=str(cell.date))])
    rain = {date: value * _RAIN[units.rain] for date, value in known["PRCP"].items()}
    alone = sum(date not in known["DAPR"] for date in known["MDPR"])
    shared = _share_totals(known, rain, _RAIN[units.rain])
    crossed = 0
    rows = []
    for date in sorted(dates | set(rain)):
        low, high = (known[name].get(date) for name in ("TMIN", "TMAX"))
        low, high = (None if value is None else degrees(value, units.heat) for value in (low, high))
        if low is not None and high is not None and low > high:
            low = high = None
            crossed += 1
        rows.append(Row(date, rain.get(date), low, high))
    notes = (
        *counted("weather.flagged", len(flagged)),
        *counted("weather.shared", shared),
        *counted("weather.crossed", crossed),
        *counted("weather.total_alone", alone),
    )
    return tuple(rows), notes


def _share_totals(known: dict[str, dict[dt.date, float]], rain: dict[dt.date, float], size: float) -> int:
    """Totals of several days go evenly to those of them that have no figure of their own; how many days got one."""
    shared = 0
    for last, total in known["MDPR"].items():
        span = int(known["DAPR"].get(last, 0))
        days = [last - dt.timedelta(days=n) for n in range(span)]
        open_days = [date for date in days if date not in rain]
        for date in open_days:
            rain[date] = total * size / len(open_days)
        shared += len(open_days)
    return shared


def _number(path: Path, cell: Observation) -> float:
    try:
        return float(cell.text)
    except ValueError as error:
        raise InputError(
            [Said("fault.no_number", file=str(path), line=str(cell.date), name=cell.element, read=cell.text)]
        ) from error
