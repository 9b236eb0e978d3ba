"""The measured fields: their weather, what was measured, and what `pickrig.moisture` says of it.

Texture is assigned by the soil mapped there and never set by a field's own probe; see data/README.md for where each
file is from and how far it is to be trusted.
"""

import csv
import datetime as dt
import tempfile
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

import pickrig
from pickrig.checks.ground.draws import draw_luck
from pickrig.checks.ground.freezing import Freezing
from pickrig.inputs import Day
from pickrig.rulebook import load_rules

DATA = Path(__file__).parent / "data"
DRAWS = 300
SAND = "SP"  # a field of sand has no group of its own in sites.csv
COLD = 1.5  # degC at 5 cm; below it the probes read frozen water as dry
BLIND = 20  # days after a gap of rain that are not held against anybody
SEASON = (4, 10)  # months

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Field:
    """One year of one field; arrays hold one number a day, NaN where nothing was measured."""

    name: str
    site: str
    texture: str
    soil: str
    latitude: float
    sand: float
    clay: float
    days: list[Day]
    upper: Array
    lower: Array
    soil_temperature: Array
    counts: NDArray[np.bool_]

    @property
    def rain(self) -> Array:
        return np.array([day.rain for day in self.days])


@cache
def fields() -> list[Field]:
    """Every year of every field."""
    found = []
    with (DATA / "sites.csv").open(encoding="utf-8") as file:
        for site in csv.DictReader(file):
            if site["longitude"] and not site["file"].startswith("az_"):  # the irrigated plot has a probe a week
                found += _years(site)
    return found


def _years(site: dict[str, str]) -> list[Field]:
    with (DATA / site["file"]).open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    by_year: dict[str, list[dict[str, str]]] = {}
    for row in rows:
        by_year.setdefault(row["date"][:4], []).append(row)
    name = site["file"].removesuffix(".csv")
    return [_field(site, f"{name}:{year}", year_rows) for year, year_rows in by_year.items() if len(year_rows) > 300]


def _field(site: dict[str, str], name: str, rows: list[dict[str, str]]) -> Field:
    def column(key: str) -> Array:
        return np.array([float(row[key]) if row[key] else np.nan for row in rows])

    rain, low, high = column("rain_mm"), _filled(column("tmin_c")), _filled(column("tmax_c"))
    soil_temperature = column("st_05")
    days = [
        Day.model_validate(
            {
                "date": dt.date.fromisoformat(row["date"]),
                "rain": 0.0 if np.isnan(r) else r / 1000,
                "tmin": min(a, b),
                "tmax": max(a, b),
            },
            context={"si": True},
        )
        for row, r, a, b in zip(rows, rain, low, high, strict=True)
    ]
    months = np.array([day.date.month for day in days])
    blind = np.convolve(np.isnan(rain), np.ones(BLIND + 1))[: len(rain)] > 0
    counts = (months >= SEASON[0]) & (months <= SEASON[1]) & ~blind & ~(soil_temperature < COLD)
    return Field(
        name,
        site["file"].rsplit("_", 1)[0].removesuffix("_2010"),
        site["texture"],
        site["nearest_group"] or SAND,
        float(site["latitude"]),
        float(site["sand"]),
        float(site["clay"]),
        days,
        (column("sm_05") + column("sm_10")) / 2,
        column("sm_20"),
        soil_temperature,
        counts,
    )


def _filled(values: Array) -> Array:
    """Temperatures between their neighbours where one is missing."""
    known = ~np.isnan(values)
    return np.interp(np.arange(len(values)), np.flatnonzero(known), values[known])


@dataclass(frozen=True)
class Compared:
    """Ours against the probes of one layer, on the days that count. band: share of days in the 80 % band. mean, index:
    RMSE on the second half of the days of the first half's mean and of a rain index fitted to it; half: ours there."""

    rmse: float
    bias: float
    correlation: float
    band: float
    half: float
    mean: float
    index: float


@cache
def modelled(name: str, surveyed: bool = False) -> dict[str, Array]:
    """What a tenth, half and nine tenths of the draws stay under, of both layers: [day, 3]. surveyed: with the texture
    of the place told as a survey tells it, in place of the group's own."""
    field = next(field for field in fields() if field.name == name)
    with tempfile.TemporaryDirectory() as folder:
        soil = {"survey": _as_survey(field, Path(folder))} if surveyed else {"soil": field.soil}
        job = _job(field, soil)
    told = pickrig.moisture(job, draws=DRAWS)
    return {layer: np.array(told[layer]) for layer in ("upper", "lower")}


def _as_survey(field: Field, folder: Path) -> str:
    """Texture and group in the survey's own columns."""
    group = field.soil if field.soil != SAND else "SP"
    header = "compname,comppct_r,hzdept_r,hzdepb_r,sandtotal_r,claytotal_r,unifiedcl"
    path = folder / "soil.csv"
    path.write_text(f"{header}\nField,100,0,60,{100 * field.sand:g},{100 * field.clay:g},{group}\n", encoding="utf-8")
    return str(path)


def _job(field: Field, soil: dict[str, str]) -> pickrig.Job:
    return pickrig.Job.of(
        task={"kind": "carry pallets", "load": 500},
        ground={**soil, "cover": "grass"},
        weather={
            "job_day": field.days[-1].date,
            "latitude": field.latitude,
            "days": [day.model_dump() for day in field.days],
        },
    )


def compared(field: Field, layer: str, surveyed: bool = False) -> Compared:
    """One layer of one field."""
    low, middle, high = modelled(field.name, surveyed)[layer].T
    probe = getattr(field, layer)
    use = field.counts & ~np.isnan(probe)
    off, seen = (middle - probe)[use], probe[use]
    first, second = np.arange(len(seen)) < len(seen) / 2, np.arange(len(seen)) >= len(seen) / 2
    return Compared(
        _rms(off),
        float(np.mean(off)),
        float(np.corrcoef(middle[use], seen)[0, 1]),
        float(np.mean((low[use] <= seen) & (seen <= high[use]))),
        _rms(off[second]),
        _rms(seen[second] - np.mean(seen[first])),
        _rms(seen[second] - _rain_index(field, use, seen, first)[second]),
    )


def _rms(values: Array) -> float:
    return float(np.sqrt(np.mean(values**2)))


def _rain_index(field: Field, use: NDArray[np.bool_], seen: Array, first: NDArray[np.bool_]) -> Array:
    """Moisture as a straight line of the antecedent rain, whose decay and line are the best on the first half."""
    best: tuple[float, Array] | None = None
    for decay in (0.80, 0.85, 0.90, 0.93, 0.96, 0.98):
        wet, index = 0.0, []
        for rain in field.rain:
            wet = decay * wet + rain
            index.append(wet)
        used = np.array(index)[use]
        line = np.polyfit(used[first], seen[first], 1)
        told = np.polyval(line, used)
        error = _rms(told[first] - seen[first])
        if best is None or error < best[0]:
            best = error, told
    assert best is not None
    return best[1]


@cache
def frost_days() -> tuple[int, int, int]:
    """Over all fields and winters: days on which half of the draws have 2 in of frost from the surface down and the
    probe at 5 cm reads freezing; on which it reads over 1 degC; and days on which it reads freezing at all."""
    rules, hits, ghosts, frozen = load_rules(), 0, 0, 0
    skin = rules.strength["frost_skin"].value
    for field in fields():
        luck = draw_luck(100, 0)
        freezing = Freezing(rules.soils[field.soil], rules.covers["grass"].resistance, rules, luck)
        snow = np.zeros(luck.draws)
        for at, day in enumerate(field.days):
            mean = (day.tmin + day.tmax) / 2
            snow = snow + day.rain if mean < 0 else np.maximum(snow - 0.003 * mean, 0)
            before, later = field.days[max(at - 1, 0)], field.days[min(at + 1, len(field.days) - 1)]
            crust = float(np.median(np.mean(freezing.after(day, before, later, snow).crust, axis=0)))
            seen = field.soil_temperature[at]
            hits += crust >= skin and seen <= 0
            ghosts += crust >= skin and seen > 1
            frozen += bool(seen <= 0)
    return hits, ghosts, frozen
