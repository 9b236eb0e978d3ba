"""Weather: the days before the job and the forecast, from the job file or from a CSV as people download it."""

import csv
import datetime as dt
import re
from bisect import bisect
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field, PrivateAttr, model_validator

from pickrig.errors import InputError, WrongError
from pickrig.facts import Said, Statements
from pickrig.files import read_text
from pickrig.inputs.fields import SI, AnyCase, Latitude, Rain, Strict, Temperature
from pickrig.rulebook import Rules

INCH = 0.0254
LONGEST_RECORD = 60 * 366  # days
_MOST_MISSING = 30  # days of a calendar year without a rain figure
DAYS_BEFORE, DAYS_AFTER = 400, 14  # of a long file, only these days around the job play a part

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
_RAIN_UNITS = {"in": INCH, "inch": INCH, "inches": INCH, "mm": 1e-3, "cm": 1e-2}
_UNIT_AT_END = r"_(mm|cm|in|inch|inches|c|f|degc|degf)$"
_BLANK = ("", "na", "nan", "null", "none", "m", "-", "--", "-9999", "-999", "-99")
_TRACE = 0.0001  # m, where an observer writes T for a trace of rain
_WAYS = ("%Y-%m-%d", "%d.%m.%Y", "%Y%m%d", "%Y/%m/%d")
_SLASHED = re.compile(r"(\d{1,2})/(\d{1,2})/(\d{4})")

_GAPS_TOLD = 5  # days

DateOrder = Literal["day first", "month first"]
"""How dates with slashes are written: 01/05/2026 is the first of May, or the fifth of January."""


class Day(Strict):
    """One day's weather, SI: rain in m, temperatures in degC."""

    date: Annotated[dt.date, Field(examples=["2026-04-20"])]
    rain: Annotated[Rain, Field(examples=['"0.4 in"'])]
    tmin: Temperature | None = None
    tmax: Temperature | None = None

    @model_validator(mode="after")
    def _is_a_day(self) -> "Day":
        if self.tmin is not None and self.tmax is not None and self.tmin > self.tmax:
            raise WrongError("fault.tmin_above")
        return self


class Written(Strict):
    """How a CSV is written where it does not say so itself."""

    rain_unit: Literal["in", "mm", "cm"] | None = None
    temperature_unit: Literal["F", "C"] | None = None
    date_order: Annotated[DateOrder, AnyCase] | None = None


class Weather(Written):
    """The job's day, the last measured day, and the days themselves."""

    job_day: Annotated[dt.date, Field(examples=["2026-04-21"])]
    today: dt.date | None = None
    latitude: Latitude | None = None
    file: str | None = None
    days: Annotated[list[Day], Field(max_length=1000)] = Field(default_factory=list)
    _notes: Statements = PrivateAttr(())
    _guessed: frozenset[dt.date] = PrivateAttr(frozenset())
    _record: bool = PrivateAttr(False)

    @model_validator(mode="after")
    def _has_days(self) -> "Weather":
        if self.file is not None and self.days:
            raise WrongError("fault.file_and_days")
        if self.file is None and not self.days:
            raise WrongError("fault.no_days")
        if self.today is not None and self.today >= self.job_day:
            raise WrongError("fault.today_late")
        return self

    @property
    def last_measured(self) -> dt.date:
        return self.today or self.job_day - dt.timedelta(days=1)

    @property
    def notes(self) -> Statements:
        """What was filled in."""
        return self._notes

    @property
    def guessed(self) -> frozenset[dt.date]:
        """Days whose temperatures stood nowhere: filled in from the nearest day or the season."""
        return self._guessed

    @property
    def record(self) -> bool:
        """Whether every day was measured and every day is asked for, as in a year's record."""
        return self._record

    def with_days(self, filled: "Filled") -> "Weather":
        """The same with its days read from its file, in order and without gaps."""
        whole = self.model_copy(update={"file": None, "days": list(filled.days)})
        whole._notes, whole._guessed = filled.notes, filled.guessed
        return whole


def record_of(days: list[Day], first: dt.date, latitude: float | None) -> Weather:
    """Measured days, of which each from the first on is asked for."""
    weather = Weather.model_validate({"job_day": first, "latitude": latitude, "days": days}, context=SI)
    weather._record = True
    return weather


def complete(weather: Weather, beside: Path, rules: Rules, country: str) -> Weather:
    """The weather with its file read, its days in order without gaps, and temperatures filled from the season.

    country: of the job, whose way of writing dates is taken where the file leaves it open. Raises InputError naming the
    file, line and column, or the days that are missing.
    """
    days: Sequence[_Row | Day] = weather.days
    if weather.file:
        days = _read_csv(beside.parent / weather.file, weather, country, rules)
    where = beside.parent / weather.file if weather.file else beside
    first, last = (weather.job_day + dt.timedelta(days=d) for d in (-DAYS_BEFORE, DAYS_AFTER))
    by_date = {date: day for date, day in _each_once(days, where).items() if first <= date <= last}
    if weather.last_measured not in by_date:
        raise InputError(
            [Said("fault.day_lacking", file=str(where), last=str(weather.last_measured), job=str(weather.job_day))]
        )
    return weather.with_days(_without_gaps(by_date, weather.job_day, weather.file is not None, weather.latitude, rules))


@dataclass(frozen=True)
class Record:
    """Years of weather. days: from the first to the last, gaps filled. years: the calendar years that are whole, but
    for a few days. notes: what was filled in or left out."""

    days: tuple[Day, ...]
    years: tuple[int, ...]
    notes: Statements


def read_record(path: Path, latitude: float | None, rules: Rules, country: str) -> Record:
    """A record of years, gaps filled with the mean rain and told; a year with too many of them is left out.

    Raises InputError: a day twice, no rain at all, no whole calendar year, or what a short file is refused for.
    """
    by_date = _each_once(_read_csv(path, Written(), country, rules), path)
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
    filled = _without_gaps(by_date, last, True, latitude, rules)
    short = [
        Said("assumed.year_left_out", year=str(year), days=count)
        for year, count in missing.items()
        if year not in years
    ]
    return Record(filled.days, years, (*short, *filled.notes))


def _missing(year: int, measured: set[dt.date]) -> int:
    """Days of a calendar year without a rain figure."""
    start = dt.date(year, 1, 1)
    return sum(start + dt.timedelta(d) not in measured for d in range((dt.date(year + 1, 1, 1) - start).days))


@dataclass(frozen=True)
class _Row:
    """A day as a file has it; None where a cell is blank."""

    date: dt.date
    rain: float | None
    tmin: float | None = None
    tmax: float | None = None


def _each_once(rows: Sequence[_Row | Day], where: Path) -> dict[dt.date, _Row | Day]:
    """The days by date. Raises InputError where one stands there twice."""
    by_date: dict[dt.date, _Row | Day] = {}
    for row in rows:
        if row.date in by_date:
            raise InputError([Said("fault.day_twice", file=str(where), date=str(row.date))])
        by_date[row.date] = row
    return by_date


@dataclass(frozen=True)
class Filled:
    """Every day in order. notes: what was filled in. guessed: the days whose temperatures were."""

    days: tuple[Day, ...]
    notes: Statements
    guessed: frozenset[dt.date]


def _without_gaps(
    by_date: dict[dt.date, _Row | Day], until: dt.date, in_a_file: bool, latitude: float | None, rules: Rules
) -> Filled:
    """Every day from the first to the last or until then. A day not named was dry in a list; in a file it is a gap."""
    notes: list[Said] = []
    known = [row.rain for row in by_date.values() if row.rain is not None]
    mean = sum(known) / len(known) if in_a_file and known else 0.0
    first, last = min(by_date), max(by_date)
    dates = [first + dt.timedelta(days=d) for d in range((max(last, until) - first).days + 1)]
    gaps = [date for date in dates if date <= last and (date not in by_date or by_date[date].rain is None)]
    later = [date for date in dates if date > last]
    if gaps:
        key = "assumed.mean_rain" if in_a_file else "assumed.dry_gaps"
        notes.append(Said(key, days=tuple(gaps[:_GAPS_TOLD]), more=max(len(gaps) - _GAPS_TOLD, 0)))
    if later:
        notes.append(Said("assumed.no_forecast", first=later[0], last=later[-1], days=len(later)))
    rain = dict.fromkeys(gaps, mean) | dict.fromkeys(later, 0.0)
    rows = [by_date.get(date, _Row(date, None)) for date in dates]
    warmth = _temperatures(rows, latitude, rules)
    guessed = frozenset(row.date for row in rows if row.tmin is None or row.tmax is None)
    if guessed:
        notes.append(Said("assumed.temperatures"))
    days = [_day_of(row, rain.get(row.date, row.rain), *ends) for row, ends in zip(rows, warmth, strict=True)]
    return Filled(tuple(days), tuple(notes), guessed)


def _day_of(row: _Row | Day, rain: float | None, tmin: float, tmax: float) -> Day:
    """A whole day; one that was whole stays as it is."""
    if isinstance(row, Day) and (row.tmin, row.tmax) == (tmin, tmax):
        return row
    return Day.model_validate({"date": row.date, "rain": rain, "tmin": tmin, "tmax": tmax}, context=SI)


def _temperatures(rows: list[_Row | Day], latitude: float | None, rules: Rules) -> list[tuple[float, float]]:
    """Every day's lowest and highest: its own, the nearest known day's, else the season's where the lot lies."""
    known = [(row.date, (row.tmin, row.tmax)) for row in rows if row.tmin is not None and row.tmax is not None]
    dates = [date for date, _ in known]

    def filled(row: _Row | Day) -> tuple[float, float]:
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


def _read_csv(path: Path, written: Written, country: str, rules: Rules) -> list[_Row]:
    text = read_text(path, "weather")
    lines = [(number, line) for number, line in enumerate(text.splitlines(), 1) if line.strip() and line[0] != "#"]
    try:
        head = next((i for i, (_, line) in enumerate(lines) if _columns(_cells(line))), None)
        if head is None:
            raise InputError([Said("fault.no_header", file=str(path))])
        header = _cells(lines[head][1])
        delimiter = _delimiter(lines[head][1])
        rows = [(number, _cells(line, delimiter)) for number, line in lines[head + 1 :]]
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
    fahrenheit: dict[str, bool]
    comma: bool  # whether a comma may be a decimal point, because something else parts the columns


def _layout(path: Path, header: list[str], delimiter: str, written: Written) -> _Layout:
    columns = _columns(header)
    twice = [name for name, others in _NAMES.items() if sum(_bare(cell) in others for cell in header) > 1]
    if twice:
        raise InputError([Said("fault.column_twice", file=str(path), name=twice[0])])
    if ("tmin" in columns) != ("tmax" in columns):
        have, lack = ("tmin", "tmax") if "tmin" in columns else ("tmax", "tmin")
        raise InputError([Said("fault.column_alone", file=str(path), have=have, lack=lack)])
    fahrenheit: dict[str, bool] = {
        name: _is_fahrenheit(path, header[columns[name]], written) for name in ("tmin", "tmax") if name in columns
    }
    return _Layout(columns, _rain_size(path, header[columns["rain"]], written), fahrenheit, delimiter != ",")


def _day(path: Path, number: int, row: list[str], layout: _Layout, order: DateOrder) -> _Row:
    """One line."""
    cell = {name: row[at].strip() if at < len(row) else "" for name, at in layout.columns.items()}
    date = _date(cell["date"], order)
    if date is None:
        raise InputError([Said("fault.not_a_date", file=str(path), line=str(number), read=cell["date"])])
    rain = None
    if cell["rain"].upper() == "T":
        rain = _TRACE
    elif cell["rain"].lower() not in _BLANK:
        rain = _number(path, number, "rain", cell["rain"], layout.comma) * layout.rain_size
        if not 0 <= rain <= 1:
            raise InputError([Said("fault.odd_cell", file=str(path), line=str(number), read=cell["rain"], name="rain")])
    temperatures: dict[str, float] = {}
    for name, fahrenheit in layout.fahrenheit.items():
        if cell[name].lower() not in _BLANK:
            read = _number(path, number, name, cell[name], layout.comma)
            temperatures[name] = (read - 32) / 1.8 if fahrenheit else read
            if not -70 <= temperatures[name] <= 60:
                raise InputError([Said("fault.odd_cell", file=str(path), line=str(number), name=name, read=cell[name])])
    if len(temperatures) == 2 and temperatures["tmin"] > temperatures["tmax"]:
        raise InputError([Said("fault.columns_swapped", file=str(path), line=str(number))])
    return _Row(date, rain, temperatures.get("tmin"), temperatures.get("tmax"))


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


def _cells(line: str, delimiter: str = "") -> list[str]:
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


def _is_fahrenheit(path: Path, cell: str, written: Written) -> bool:
    unit = _unit(cell)
    if unit and written.temperature_unit and unit != written.temperature_unit.lower():
        told = written.temperature_unit
        raise InputError([Said("fault.heat_units", file=str(path), column=cell, unit=told)])
    unit = unit or (written.temperature_unit or "").lower()
    if unit not in ("f", "c"):
        raise InputError([Said("fault.heat_no_unit", file=str(path), column=cell, name=_name(cell))])
    return unit == "f"


def _name(cell: str) -> str:
    """A header without the unit it names."""
    return re.sub(r"\s*[\[(].*?[\])]", "", cell).strip()
