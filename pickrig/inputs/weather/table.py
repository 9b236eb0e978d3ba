"""A table of days as people keep it: a header with a unit for rain and temperatures, or the job says which."""

import csv
import datetime as dt
import re
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

from pickrig.errors import InputError
from pickrig.facts import Said
from pickrig.inputs.weather.rows import TRACE, Row, degrees
from pickrig.inputs.weather.written import DateOrder, Written
from pickrig.rulebook import Rules

INCH = 0.0254

_NAMES = {
    "date": ("date", "day", "time", "datetime", "timestamp", "date/time"),
    "rain": (
        "rain",
        "rainfall",
        "precipitation",
        "precip",
        "prcp",
        "ppt",
        "precipitation_sum",
        "rain_sum",
        "total_precip",
        "total_rain",
    ),
    "tmin": (
        "tmin",
        "temp_min",
        "min_temp",
        "t_min",
        "tempmin",
        "temperature_2m_min",
        "low",
        "low_temp",
        "minimum_temperature",
        "min_temperature",
    ),
    "tmax": (
        "tmax",
        "temp_max",
        "max_temp",
        "t_max",
        "tempmax",
        "temperature_2m_max",
        "high",
        "high_temp",
        "maximum_temperature",
        "max_temperature",
    ),
}
_TENTHS = {"tenths of mm": 1e-4, "tenths mm": 1e-4, "0.1 mm": 1e-4, "0.1mm": 1e-4, "1/10 mm": 1e-4}
_RAIN_UNITS = {"in": INCH, "inch": INCH, "inches": INCH, "mm": 1e-3, "cm": 1e-2, **_TENTHS}
_HEAT_UNITS = {
    "f": "F",
    "c": "C",
    "celsius": "C",
    "fahrenheit": "F",
    "tenths of c": "tenths of C",
    "0.1 c": "tenths of C",
}
_UNIT_AT_END = r"_(mm|cm|in|inch|inches|c|f|degc|degf)$"
_BLANK = ("", "na", "nan", "null", "none", "m", "-", "--", "-9999", "-999", "-99")
_WAYS = ("%Y-%m-%d", "%d.%m.%Y", "%Y%m%d", "%Y/%m/%d")
_SLASHED = re.compile(r"(\d{1,2})/(\d{1,2})/(\d{4})")


def read_table(path: Path, text: str, written: Written, country: str, rules: Rules) -> list[Row]:
    """Its days in the order of the file. Raises InputError naming file, line and column."""
    lines = [(number, line) for number, line in enumerate(text.splitlines(), 1) if line.strip() and line[0] != "#"]
    try:
        head = next((i for i, (_, line) in enumerate(lines) if _columns(cells_of(line))), None)
        if head is None:
            raise InputError([Said("fault.no_header", file=str(path))])
        header = cells_of(lines[head][1])
        delimiter = _delimiter(lines[head][1])
        rows = [(number, cells_of(line, delimiter)) for number, line in lines[head + 1 :]]
        layout = _layout(path, header, delimiter, written)
        at = layout.columns["date"]
        dates = [(number, row[at].strip()) for number, row in rows if at < len(row)]
        order = _date_order(path, dates, written, country, rules)
        days = [_day(path, number, row, layout, order) for number, row in rows]
    except csv.Error as error:
        raise InputError([Said("fault.no_table", file=str(path))]) from error
    if not days:
        raise InputError([Said("fault.no_rows", file=str(path))])
    return days


@dataclass(frozen=True)
class _Layout:
    """Where each column stands, and what turns its numbers into m and degC."""

    columns: dict[str, int]
    rain_size: float
    heat: dict[str, str]
    comma: bool  # whether a comma may be a decimal point, because something else parts the columns


def _layout(path: Path, header: list[str], delimiter: str, written: Written) -> _Layout:
    columns = _columns(header)
    twice = [name for name, others in _NAMES.items() if sum(_bare(cell) in others for cell in header) > 1]
    if twice:
        raise InputError([Said("fault.column_twice", file=str(path), name=twice[0])])
    if ("tmin" in columns) != ("tmax" in columns):
        have, lack = ("tmin", "tmax") if "tmin" in columns else ("tmax", "tmin")
        raise InputError([Said("fault.column_alone", file=str(path), have=have, lack=lack)])
    heat: dict[str, str] = {
        name: _heat_unit(path, header[columns[name]], written) for name in ("tmin", "tmax") if name in columns
    }
    return _Layout(columns, _rain_size(path, header[columns["rain"]], written), heat, delimiter != ",")


def _day(path: Path, number: int, row: list[str], layout: _Layout, order: DateOrder) -> Row:
    """One line."""
    cell = {name: row[at].strip() if at < len(row) else "" for name, at in layout.columns.items()}
    date = _date(cell["date"], order)
    if date is None:
        raise InputError([Said("fault.not_a_date", file=str(path), line=str(number), read=cell["date"])])
    rain = None
    if cell["rain"].upper() == "T":
        rain = TRACE
    elif cell["rain"].lower() not in _BLANK:
        rain = _number(path, number, "rain", cell["rain"], layout.comma) * layout.rain_size
        if not 0 <= rain <= 1:
            raise InputError([Said("fault.odd_cell", file=str(path), line=str(number), read=cell["rain"], name="rain")])
    temperatures: dict[str, float] = {}
    for name, unit in layout.heat.items():
        if cell[name].lower() not in _BLANK:
            read = _number(path, number, name, cell[name], layout.comma)
            temperatures[name] = degrees(read, unit)
            if not -70 <= temperatures[name] <= 60:
                raise InputError([Said("fault.odd_cell", file=str(path), line=str(number), name=name, read=cell[name])])
    if len(temperatures) == 2 and temperatures["tmin"] > temperatures["tmax"]:
        raise InputError([Said("fault.columns_swapped", file=str(path), line=str(number))])
    return Row(date, rain, temperatures.get("tmin"), temperatures.get("tmax"))


def _number(path: Path, number: int, name: str, text: str, comma: bool) -> float:
    try:
        return float(text.replace(",", ".") if comma else text)
    except ValueError as error:
        comma_is_meant = re.fullmatch(r"-?[0-9]+,[0-9]+", text)
        key = "fault.no_number_but_a_comma" if comma_is_meant else "fault.no_number"
        raise InputError([Said(key, file=str(path), line=str(number), name=name, read=text)]) from error


def _date_order(path: Path, dates: list[tuple[int, str]], written: Written, country: str, rules: Rules) -> DateOrder:
    """How this file writes dates with slashes: as its own days above 12 tell, else as the job says, else as its country
    does.

    Raises InputError where the file writes both ways, or against what the job says, or where the country's way makes
    no run of days and the other does.
    """
    slashed = [(number, found) for number, text in dates if (found := _SLASHED.match(text))]
    slashed = [(number, found) for number, found in slashed if min(int(found[1]), int(found[2])) <= 12]
    by_day = next((number for number, found in slashed if int(found[1]) > 12), None)
    by_month = next((number for number, found in slashed if int(found[2]) > 12), None)
    if by_day and by_month:
        lines = {"by_day": str(by_day), "by_month": str(by_month)}
        raise InputError([Said("fault.both_orders", file=str(path), **lines)])
    said, sign = written.date_order, "day first" if by_day else "month first" if by_month else None
    if said and sign and said != sign:
        line = str(by_day or by_month)
        raise InputError([Said("fault.other_order", file=str(path), line=line, sign=sign, said=said)])
    usual = rules.countries[country].dates
    if said or sign:
        return said or ("day first" if by_day else "month first")
    other: DateOrder = "month first" if usual == "day first" else "day first"
    texts = [found[0] for _, found in slashed]
    if _longest_gap(texts, other) < _A_RUN <= _longest_gap(texts, usual):
        dates_like = {"read": texts[0], "other": other, "country": country}
        raise InputError([Said("fault.only_other_order", file=str(path), **dates_like)])
    return usual


_A_RUN = 20  # days; months apart are no record of days


def _longest_gap(texts: list[str], order: DateOrder) -> int:
    """Days between neighbours, at most."""
    days = sorted(date for text in texts if (date := _date(text, order)))
    return max(((after - before).days for before, after in pairwise(days)), default=0)


def _date(text: str, order: DateOrder) -> dt.date | None:
    bare = text.strip().split("T")[0].split(" ")[0]
    for way in (*_WAYS, "%d/%m/%Y" if order == "day first" else "%m/%d/%Y"):
        try:
            return dt.datetime.strptime(bare, way).replace(tzinfo=dt.UTC).date()
        except ValueError:
            continue
    return None


def _delimiter(line: str) -> str:
    return max(",;\t", key=line.count)


def cells_of(line: str, delimiter: str = "") -> list[str]:
    """The cells of one line."""
    return next(csv.reader([line], delimiter=delimiter or _delimiter(line), strict=True), [])


def _bare(cell: str) -> str:
    """A header cell without its unit: "Precip (in)" and "precipitation_sum_mm" as the name alone."""
    name = re.sub(r"[\[(].*?[\])]", "", cell).strip().lower().replace(" ", "_")
    return re.sub(_UNIT_AT_END, "", name)


def _columns(header: list[str]) -> dict[str, int]:
    """Where date, rain, tmin and tmax stand; empty without a date and a rain column."""
    found: dict[str, int] = {}
    for at, cell in enumerate(header):
        for name, others in _NAMES.items():
            if _bare(cell) in others:
                found.setdefault(name, at)
    return found if {"date", "rain"} <= set(found) else {}


def _unit(cell: str) -> str:
    """The unit a header names, in brackets or at its end: "in", "mm", "f"; empty if it names none."""
    inside = re.search(r"[\[(](.*?)[\])]", cell)
    after = re.search(_UNIT_AT_END, cell.strip().lower())
    told = inside[1] if inside else after[1] if after else ""
    return told.lower().replace("°", "").replace("deg", "").removesuffix("/day").strip(" .")


def _rain_size(path: Path, cell: str, written: Written) -> float:
    unit = _unit(cell)
    if unit and written.rain_unit and _RAIN_UNITS.get(unit) != _RAIN_UNITS[written.rain_unit]:
        raise InputError([Said("fault.rain_units", file=str(path), column=cell, unit=written.rain_unit)])
    size = _RAIN_UNITS.get(unit or written.rain_unit or "")
    if size is None:
        raise InputError([Said("fault.rain_no_unit", file=str(path), column=cell, name=_name(cell))])
    return size


def _heat_unit(path: Path, cell: str, written: Written) -> str:
    """The unit of a column, as `degrees` knows it."""
    unit = _HEAT_UNITS.get(_unit(cell))
    if unit and written.temperature_unit and unit != written.temperature_unit:
        raise InputError([Said("fault.heat_units", file=str(path), column=cell, unit=written.temperature_unit)])
    unit = unit or written.temperature_unit
    if unit is None:
        raise InputError([Said("fault.heat_no_unit", file=str(path), column=cell, name=_name(cell))])
    return unit


def names_units(header: list[str]) -> bool:
    """Whether the header of a table names the unit of its rain."""
    columns = _columns(header)
    return bool(columns) and bool(_unit(header[columns["rain"]]))


def _name(cell: str) -> str:
    """A header without the unit it names."""
    return re.sub(r"\s*[\[(].*?[\])]", "", cell).strip()
