"""Daily text files of the US Climate Reference Network: 28 fields a line, no header.

Layout after the readme of its daily01 product (Diamond et al. 2013, Bull. Amer. Meteor. Soc. 94:485-498).
"""

import datetime as dt
import re
from pathlib import Path

from pickrig.errors import InputError
from pickrig.facts import Said
from pickrig.inputs.weather.rows import Row, Table

_FIELDS = 28
_LINE = re.compile(r"\s*\d{1,5}\s+\d{8}\s+\S+\s+-?\d+\.\d+\s+-?\d+\.\d+\s")
_MISSING = -999.0
_SHOWN = 4


def is_reference(line: str) -> bool:
    """Whether a line is one of such a file."""
    if line.split()[:1] == ["WBANNO"]:
        return True
    return bool(_LINE.match(line)) and len(line.split()) == _FIELDS


def read_reference(path: Path, lines: list[str], station: str | None) -> Table:
    """Its days, of local standard time. Raises InputError: a line of another length, more than one station."""
    rows, stations, place = [], dict[str, None](), None
    for number, line in enumerate(lines, 1):
        cells = line.split()
        if cells[:1] == ["WBANNO"]:
            continue
        if len(cells) != _FIELDS:
            raise InputError([Said("fault.reference_line", file=str(path), line=str(number), count=len(cells))])
        stations[cells[0]] = None
        if station is not None and cells[0] != station:
            continue
        try:
            date = dt.datetime.strptime(cells[1], "%Y%m%d").replace(tzinfo=dt.UTC).date()
            tmax, tmin, rain = (_known(cells[k]) for k in (5, 6, 9))
            place = float(cells[4]), float(cells[3])
        except ValueError as error:
            raise InputError([Said("fault.not_a_date", file=str(path), line=str(number), read=line[:30])]) from error
        rows.append(Row(date, None if rain is None else rain / 1e3, tmin, tmax))
    if station not in stations and (station is not None or len(stations) > 1):
        key = "fault.no_station" if station is not None else "fault.many_stations"
        shown = tuple(list(stations)[:_SHOWN])
        raise InputError([Said(key, file=str(path), count=len(stations), stations=shown, read=station or "")])
    return Table(tuple(rows), "reference", place=place)


def _known(text: str) -> float | None:
    value = float(text)
    return None if value <= _MISSING else value
