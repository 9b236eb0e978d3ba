"""How wet one soil is: from a word, a number, or the weather of the last days and the forecast."""

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from pickrig.checks.ground.draws import Array, Luck, triangle
from pickrig.checks.ground.levels import Levels, levels
from pickrig.checks.ground.water import Course, WaterDay
from pickrig.inputs import Ground, Job
from pickrig.physics import wetness
from pickrig.rulebook import Rules
from pickrig.rulebook.tables import Soil


@dataclass(frozen=True)
class Moist:
    """Moisture by weight of dry soil on one day, a draw each: one layer, or the two of the water balance.

    dawn and dusk differ where it rains on the day. crust: frozen from the surface down at each of `freezing.HOURS`, m,
    a draw each; () without frost.
    """

    date: dt.date | None
    layers: tuple[Array, ...]
    standing: float = 0.0  # share of draws with water standing
    rain: float = 0.0
    crust: tuple[Array, ...] = ()
    capacity: float | None = None
    saturation: float | None = None


def by_word(soil: Soil, ground: Ground, rules: Rules, luck: Luck) -> Moist:
    """What the job's word or number stands for; a word reaches half-way to its neighbours."""
    water = levels(soil, rules)
    low, best, high = band(water, ground)
    moisture = triangle(luck.uniform["moisture"], low, best, high)
    driest = rules.strength["driest"].value * best
    return Moist(None, (np.clip(moisture, driest, max(water.full, best)),), float(ground.standing_water))


def band(water: Levels, ground: Ground) -> tuple[float, float, float]:
    """Least, likeliest and most water by weight that the job's word or number stands for."""
    if ground.moisture is not None:
        return ground.moisture
    if ground.standing_water:
        return water.wet, water.full, water.full
    if ground.wetness == "dry":
        return water.dry - (water.dry_moist - water.dry), water.dry, water.dry_moist
    if ground.wetness == "moist":
        return water.dry_moist, water.moist, water.moist_wet
    if ground.wetness is None and ground.tested:
        return water.dry, water.moist, water.full
    return water.moist_wet, water.wet, water.full


def by_weather(
    soil: Soil,
    job: Job,
    rules: Rules,
    luck: Luck,
    worse: Callable[[Array, Array], Array] = np.maximum,
    below: Soil | None = None,
) -> list[Moist]:
    """The water balance run to the end of the forecast: the last measured day, then every later day.

    below: another soil from 6 in down. worse: of the moisture at dawn and dusk, what the day's work meets: the wetter,
    on clean sand the drier.
    """
    weather = job.weather
    assert weather is not None
    course = Course(soil, job, rules, luck, below=below)
    levels = tuple(
        float(np.median(wetness.gravimetric(theta, course.density)))
        for theta in (course.lot.field_capacity, course.lot.saturation)
    )
    out, dusk = [], None
    if course.begins > weather.last_measured:
        out.append(Moist(weather.last_measured, _by_weight(course.water, course)))
    for day in course:
        if day.date < weather.last_measured:
            continue
        morning = dusk or _by_weight(day.dawn, course)
        layers = dusk = _by_weight(day.dusk, course)
        if day.date > weather.last_measured:
            layers = tuple(worse(a, b) for a, b in zip(morning, layers, strict=True))
        out.append(_moist(day, layers, course, levels))
    return out


def _by_weight(water: wetness.Water, course: Course) -> tuple[Array, ...]:
    lots, contents = course.lot.layers, (water.upper_content, water.lower_content)
    out = []
    for theta, lot, density in zip(contents, lots, course.densities, strict=True):
        low, high = (wetness.gravimetric(end, density) for end in (lot.wilting, lot.saturation))
        out.append(np.clip(wetness.gravimetric(theta, density), 0.5 * low, high))
    return tuple(out)


def _moist(day: WaterDay, layers: tuple[Array, ...], course: Course, levels: tuple[float, ...]) -> Moist:
    soaked = course.rules.wetness["soaked"].value * np.asarray(course.lot.saturation)
    deep = course.rules.strength["deep_pond"].value
    floods = day.dawn.ponded > deep  # its ice has to freeze before the ground does, and lies over water
    crust = tuple(np.where(floods, 0.0, crust) for crust in day.frost.crust)
    return Moist(
        day.date,
        layers,
        standing=float(np.mean((day.dusk.ponded > 0) | (day.dusk.upper_content >= soaked))),
        rain=day.rain,
        crust=crust if any(depth.any() for depth in crust) else (),
        capacity=levels[0],
        saturation=levels[1],
    )


def water_by_volume(
    soil: Soil, job: Job, rules: Rules, luck: Luck, below: Soil | None = None
) -> dict[str, list[object]]:
    """Water of the two layers on every day of the weather, m3/m3: date, and of each layer what a tenth, half and nine
    tenths of the draws stay under, the mean of dawn and dusk, one spot of the lot a draw. below: another soil from 6 in
    down."""
    course = Course(soil, job, rules, luck, whole=True, below=below)
    spots = [
        (name, rules.strength["moisture_scatter"].value * luck.normal["scatter"] * density / 1000, lot)
        for name, density, lot in zip(("upper", "lower"), course.densities, course.lot.layers, strict=True)
    ]
    told: dict[str, list[object]] = {"date": [], "upper": [], "lower": []}
    for day in course:
        told["date"].append(day.date.isoformat())
        for name, scatter, lot in spots:
            ends = (getattr(water, f"{name}_content") for water in (day.dawn, day.dusk))
            spot = np.clip(sum(ends) / 2 + scatter, 0.5 * np.asarray(lot.wilting), lot.saturation)
            told[name].append([float(q) for q in np.quantile(spot, (0.1, 0.5, 0.9))])
    return told
