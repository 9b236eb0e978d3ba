"""Weather: the days before the job and the forecast, from the job file or from a CSV as people download it."""

import csv
import datetime as dt
import io
import re
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field, model_validator

from pickrig.errors import InputError
from pickrig.inputs.fields import Latitude, Rain, Strict, Temperature
from pickrig.inputs.reading import read_text
from pickrig.rulebook import Rules

INCH = 0.0254
DAYS_BEFORE, DAYS_AFTER = 30, 14  # of a long file, only these days around the job play a part

_NAMES = {
    "date": ("date", "day", "time", "datetime", "timestamp"),
    "rain": ("rain", "rainfall", "precipitation", "precip", "prcp", "precipitation_sum", "rain_sum"),
    "tmin": ("tmin", "temp_min", "min_temp", "t_min", "temperature_2m_min", "low", "minimum_temperature"),
    "tmax": ("tmax", "temp_max", "max_temp", "t_max", "temperature_2m_max", "high", "maximum_temperature"),
}
_RAIN_UNITS = {"in": INCH, "inch": INCH, "inches": INCH, "mm": 1e-3, "cm": 1e-2}
_WAYS = ("%Y-%m-%d", "%m/%d/%Y", "%d.%m.%Y", "%Y%m%d", "%Y/%m/%d")


class Day(Strict):
    """One day's weather, SI: rain in m, temperatures in degC."""

    date: Annotated[dt.date, Field(examples=["2026-04-20"])]
    rain: Annotated[Rain, Field(examples=['"0.4 in"'])]
    tmin: Temperature | None = None
    tmax: Temperature | None = None

    @model_validator(mode="after")
    def _is_a_day(self) -> "Day":
        if self.tmin is not None and self.tmax is not None and self.tmin > self.tmax:
            raise ValueError("has tmin above tmax; swap them")
        return self


class Weather(Strict):
    """The job's day, the last measured day, and the days themselves. notes: what was filled in, for the answer."""

    job_day: Annotated[dt.date, Field(examples=["2026-04-21"])]
    today: dt.date | None = None
    latitude: Latitude | None = None
    file: str | None = None
    rain_unit: Literal["in", "mm", "cm"] | None = None
    temperature_unit: Literal["F", "C"] | None = None
    days: Annotated[list[Day], Field(max_length=1000)] = Field(default_factory=list)
    notes: tuple[str, ...] = ()

    @model_validator(mode="after")
    def _has_days(self) -> "Weather":
        if self.file is not None and self.days:
            raise ValueError("gives a file and a list of days; keep one of them")
        if self.file is None and not self.days:
            raise ValueError('needs its days: either file = "weather.csv" or a list of [[weather.days]]')
        if self.today is not None and self.today >= self.job_day:
            raise ValueError("has today on or after job_day; today is the last day already measured")
        return self

    @property
    def last_measured(self) -> dt.date:
        return self.today or self.job_day - dt.timedelta(days=1)


def complete(weather: Weather, beside: Path, rules: Rules) -> Weather:
    """The weather with its file read, its days in order without gaps, and temperatures filled from the season.

    Raises InputError naming the file, line and column, or the days that are missing.
    """
    days = _read_csv(beside.parent / weather.file, weather) if weather.file else list(weather.days)
    where = beside.parent / weather.file if weather.file else beside
    first, last = (weather.job_day + dt.timedelta(days=d) for d in (-DAYS_BEFORE, DAYS_AFTER))
    by_date: dict[dt.date, Day] = {}
    for day in days:
        if day.date in by_date:
            raise InputError([f"{where}: {day.date} stands there twice; keep one line a day"])
        if first <= day.date <= last:
            by_date[day.date] = day
    if weather.last_measured not in by_date:
        raise InputError(
            [
                f"{where}: has no weather for {weather.last_measured}, the day before the job on {weather.job_day}; "
                "add the days up to the job, or set weather.today to the last day that is known"
            ]
        )
    filled, notes = _without_gaps(by_date, weather, rules)
    return weather.model_copy(update={"file": None, "days": filled, "notes": tuple(notes)})


def _without_gaps(by_date: dict[dt.date, Day], weather: Weather, rules: Rules) -> tuple[list[Day], list[str]]:
    """Every day from the first to the last or the job. In a list, a day not named was dry; in a file, it is a gap."""
    notes = []
    mean = sum(day.rain for day in by_date.values()) / len(by_date) if weather.file else 0.0
    last = max(by_date)
    span = (max(last, weather.job_day) - min(by_date)).days + 1
    dates = [min(by_date) + dt.timedelta(days=d) for d in range(span)]
    gaps = [date for date in dates if date not in by_date and date <= last]
    later = [date for date in dates if date > last]
    for date in (*gaps, *later):
        by_date[date] = Day.model_construct(date=date, rain=mean if date in gaps else 0.0, tmin=None, tmax=None)
    days = [by_date[date] for date in dates]
    if gaps:
        told = ", ".join(str(d) for d in gaps[:5]) + (" and more" if len(gaps) > 5 else "")
        taken = "the mean rain of the other days was taken" if weather.file else "taken as dry"
        notes.append(f"no weather for {told}: {taken}")
    if later:
        notes.append(f"no forecast for {later[0]}{' to ' + str(later[-1]) if len(later) > 1 else ''}: taken as dry")
    if any(day.tmin is None or day.tmax is None for day in days):
        notes.append("temperatures of days that have none: usual ones of the season")
        days = [_with_temperatures(day, rules) for day in days]
    return days, notes


def _with_temperatures(day: Day, rules: Rules) -> Day:
    if day.tmin is not None and day.tmax is not None:
        return day
    season = next(season for season in rules.seasons.values() if day.date.month in season.months)
    return day.model_copy(update={"tmin": season.tmin, "tmax": season.tmax})


def _read_csv(path: Path, weather: Weather) -> list[Day]:
    text = read_text(path, "weather")
    lines = [line for line in text.splitlines() if line.strip() and not line.startswith("#")]
    head = next((i for i, line in enumerate(lines) if _columns(_cells(line))), None)
    if head is None:
        raise InputError(
            [
                f"{path}: has no header with a date and a rain column; the first line should read like "
                '"date,rain (in),tmin (F),tmax (F)"'
            ]
        )
    header = _cells(lines[head])
    columns = _columns(header)
    twice = [name for name, others in _NAMES.items() if sum(_bare(cell) in others for cell in header) > 1]
    if twice:
        raise InputError([f"{path}: has more than one column for {twice[0]}; keep the one that holds"])
    rain_size = _rain_size(path, header[columns["rain"]], weather)
    fahrenheit = _is_fahrenheit(path, header, columns, weather)
    delimiter = _delimiter(lines[head])
    days = []
    for number, row in enumerate(csv.reader(io.StringIO("\n".join(lines[head + 1 :])), delimiter=delimiter), head + 2):
        days.append(_day(path, number, row, columns, rain_size, fahrenheit))
    if not days:
        raise InputError([f"{path}: has a header but no days under it"])
    return [day for day in days if day is not None]


def _day(
    path: Path, number: int, row: list[str], columns: dict[str, int], rain_size: float, fahrenheit: bool
) -> Day | None:
    """One line; None where the rain is blank, so that the day counts as missing."""
    cell = {name: row[at].strip() if at < len(row) else "" for name, at in columns.items()}
    date = _date(cell["date"])
    if date is None:
        raise InputError([f'{path}, line {number}: "{cell["date"]}" is not a date; write it like 2026-04-20'])
    if cell["rain"] in ("", "NA", "nan", "NaN", "M"):
        return None
    rain = _number(path, number, "rain", "0.005" if cell["rain"] == "T" else cell["rain"]) * rain_size
    if not 0 <= rain <= 1:
        raise InputError([f'{path}, line {number}: rain of "{cell["rain"]}" cannot be meant; is its unit right?'])
    temperatures = {}
    for name in ("tmin", "tmax"):
        if cell.get(name) and cell[name] not in ("NA", "nan", "NaN", "M"):
            read = _number(path, number, name, cell[name])
            temperatures[name] = (read - 32) / 1.8 if fahrenheit else read
            if not -70 <= temperatures[name] <= 60:
                raise InputError(
                    [f'{path}, line {number}: {name} of "{cell[name]}" cannot be meant; is its unit right?']
                )
    if len(temperatures) == 2 and temperatures["tmin"] > temperatures["tmax"]:
        raise InputError([f"{path}, line {number}: tmin is above tmax; are the columns swapped?"])
    return Day.model_construct(date=date, rain=rain, tmin=temperatures.get("tmin"), tmax=temperatures.get("tmax"))


def _number(path: Path, number: int, name: str, text: str) -> float:
    try:
        return float(text)
    except ValueError as error:
        mend = "; write a decimal point, not a comma" if re.fullmatch(r"-?[0-9]+,[0-9]+", text) else ""
        raise InputError([f'{path}, line {number}: {name} is "{text}", which is not a number{mend}']) from error


def _date(text: str) -> dt.date | None:
    bare = text.strip().split("T")[0].split(" ")[0]
    for way in _WAYS:
        try:
            return dt.datetime.strptime(bare, way).replace(tzinfo=dt.UTC).date()
        except ValueError:
            continue
    return None


def _delimiter(line: str) -> str:
    return max(",;\t", key=line.count)


def _cells(line: str) -> list[str]:
    return next(csv.reader([line], delimiter=_delimiter(line)))


def _bare(cell: str) -> str:
    """A header cell without its unit: "Precip (in)" and "precipitation_sum_mm" as the name alone."""
    name = re.sub(r"[\[(].*?[\])]", "", cell).strip().lower().replace(" ", "_")
    return re.sub(r"_(mm|cm|in|inch|inches|c|f|degc|degf)$", "", name)


def _columns(header: list[str]) -> dict[str, int]:
    """Where date, rain, tmin and tmax stand; empty without a date and a rain column."""
    found: dict[str, int] = {}
    for at, cell in enumerate(header):
        for name, others in _NAMES.items():
            if _bare(cell) in others:
                found.setdefault(name, at)
    return found if {"date", "rain"} <= set(found) else {}


def _unit(cell: str) -> str:
    inside = re.search(r"[\[(]\s*°?\s*([a-zA-Z]+)\s*[\])]", cell)
    after = re.search(r"_(mm|cm|in|inch|inches|c|f|degc|degf)$", cell.strip().lower())
    return (inside[1] if inside else after[1] if after else "").lower()


def _rain_size(path: Path, cell: str, weather: Weather) -> float:
    unit = _unit(cell) or weather.rain_unit or ""
    if unit not in _RAIN_UNITS:
        raise InputError(
            [
                f'{path}: column "{cell}" does not say its unit; write "{cell} (in)" or "{cell} (mm)" in the header, '
                'or give weather.rain_unit = "in" in the job file'
            ]
        )
    return _RAIN_UNITS[unit]


def _is_fahrenheit(path: Path, header: list[str], columns: dict[str, int], weather: Weather) -> bool:
    for name in ("tmin", "tmax"):
        if name not in columns:
            continue
        unit = _unit(header[columns[name]]).removeprefix("deg") or (weather.temperature_unit or "").lower()
        if unit not in ("f", "c"):
            cell = header[columns[name]]
            raise InputError(
                [
                    f'{path}: column "{cell}" does not say its unit; write "{cell} (F)" or "{cell} (C)" in the header, '
                    'or give weather.temperature_unit = "F" in the job file'
                ]
            )
        return unit == "f"
    return False
