"""How wet one soil is: from a word, a number, or the weather of the last days and the forecast."""

import datetime as dt
from dataclasses import dataclass
from math import log

import numpy as np

from pickrig.checks.ground.draws import Array, Luck, triangle
from pickrig.inputs import Day, Ground, Job
from pickrig.physics import frost, wetness
from pickrig.rulebook import Rules
from pickrig.rulebook.tables import Soil


@dataclass(frozen=True)
class Moist:
    """Moisture by weight of dry soil on one day, a draw each: one layer, or the two of the water balance.

    dawn and dusk differ where it rains on the day; frost, thaw: depth frozen and thawed on top of it, m.
    """

    date: dt.date | None
    layers: tuple[Array, ...]
    standing: float = 0.0  # share of draws with water standing
    rain: float = 0.0
    frost: float = 0.0
    thaw: float = 0.0
    capacity: float | None = None
    saturation: float | None = None


def saturated(soil: Soil, rules: Rules) -> float:
    """Moisture by weight at which the pores are full: rho_w/rho_d - rho_w/rho_s."""
    assert soil.dry_density is not None
    return 1000 / soil.dry_density - 1000 / rules.strength["solids_density"].value


def by_word(soil: Soil, ground: Ground, rules: Rules, luck: Luck) -> Moist:
    """What the job's word or number stands for; a word reaches half-way to its neighbours."""
    full = saturated(soil, rules)
    low, best, high = _band(soil, ground, full)
    scatter = rules.strength["moisture_scatter"].value * luck.normal["scatter"]
    moisture = triangle(luck.uniform["moisture"], low, best, high) + scatter
    return Moist(None, (np.clip(moisture, 0.3 * best, max(full, best)),), float(ground.standing_water))


def _band(soil: Soil, ground: Ground, full: float) -> tuple[float, float, float]:
    levels = soil.moisture
    assert levels is not None
    if ground.moisture is not None:
        return ground.moisture
    if ground.standing_water:
        return levels.wet, full, full
    dry_moist, moist_wet = (levels.dry + levels.moist) / 2, (levels.moist + levels.wet) / 2
    if ground.wetness == "dry":
        return levels.dry - (dry_moist - levels.dry), levels.dry, dry_moist
    if ground.wetness == "moist":
        return dry_moist, levels.moist, moist_wet
    if ground.wetness is None and ground.tested:
        return levels.dry, levels.moist, full
    return moist_wet, levels.wet, max(levels.wet, full)


def by_weather(soil: Soil, job: Job, rules: Rules, luck: Luck) -> list[Moist]:
    """The water balance run to the end of the forecast: the last measured day, then every later day.

    All draws at once; the loop is over days.
    """
    weather, texture = job.weather, soil.texture
    assert weather is not None
    assert texture is not None
    lot = _lot(soil, job.ground, rules, luck)
    # The group's own saturation by weight goes with the texture's by volume: full pores are full in both.
    density = 1000 * float(np.asarray(lot.saturation)) / saturated(soil, rules)
    water, days = _start(lot, job.ground), weather.days
    frozen = _Frost(soil, rules)
    if job.ground.wetness or job.ground.standing_water:  # overrides the rain before it, not the frost
        for day in (d for d in days if d.date <= weather.last_measured):
            frozen.after(_mean(day))
        days = [day for day in days if day.date > weather.last_measured]
    scatter = rules.strength["moisture_scatter"].value * luck.normal["scatter"]
    latitude = rules.wetness["latitude"].value if weather.latitude is None else weather.latitude
    out = (
        []
        if days and days[0].date <= weather.last_measured
        else [Moist(weather.last_measured, _by_weight(water, density, scatter, lot))]
    )
    levels = tuple(
        float(np.median(wetness.gravimetric(theta, density))) for theta in (lot.field_capacity, lot.saturation)
    )
    dusk = None
    for day in days:
        mean, dawn = _mean(day), water
        state = frozen.after(mean)
        lead = 0 if weather.record else (day.date - weather.last_measured).days
        rain = day.rain * _forecast(lead, rules, luck)
        radiation = wetness.extraterrestrial_radiation(latitude, day.date.timetuple().tm_yday)
        reference = wetness.reference_evapotranspiration(day.tmin or 0.0, day.tmax or 0.0, radiation)
        today = _thawing(water, lot, state.thaw)
        bottom = lot._replace(drainage_factor=0.0) if state.thaw > 0 else lot
        water, _ = wetness.daily_balance(today, bottom, rain, mean, reference, frozen=state.depth > 0)
        if day.date >= weather.last_measured:
            morning = dusk or _by_weight(dawn, density, scatter, lot)
            layers = dusk = _by_weight(water, density, scatter, lot)
            if day.date > weather.last_measured:  # the day's work meets the wetter of dawn and dusk
                layers = tuple(np.maximum(a, b) for a, b in zip(morning, layers, strict=True))
            out.append(_moist(day.date, layers, water, day.rain, state, lot, levels))
    return out


def _lot(soil: Soil, ground: Ground, rules: Rules, luck: Luck) -> wetness.Lot:
    """The lot with its uncertain field capacity and drainage, one number a draw."""
    texture, drainage = soil.texture, rules.drainage[ground.drainage or "ordinary"]
    assert texture is not None
    cover = rules.covers[ground.cover or "bare"]
    wilting, capacity, full, rate = (
        float(x) for x in wetness.soil_hydraulics(texture.sand, texture.clay, texture.organic)
    )
    off = rules.wetness["capacity_error"].value * luck.normal["capacity"]
    drains = drainage.factor * np.exp(log(rules.wetness["drainage_error"].value) * luck.normal["drainage"])
    return wetness.Lot(
        wilting=wilting,
        field_capacity=np.clip(capacity + off, wilting + 0.03, full - 0.02),
        saturation=full,
        conductivity=rate,
        readily_evaporable=texture.readily_evaporable,
        curve_number=getattr(cover.curve_number, texture.group),
        drainage_factor=np.minimum(drains, 1.0),
        ponding=drainage.ponding,
        sheds=drainage.sheds,
        cover=cover.evaporation,
        grass=cover.grass,
    )


def _start(lot: wetness.Lot, ground: Ground) -> wetness.Water:
    """Water at the start: what was seen today, else field capacity, which a week or two of weather forgets."""
    capacity, full = np.asarray(lot.field_capacity), np.asarray(lot.saturation)
    if ground.standing_water:
        water = wetness.start(lot, full, full)
        return water._replace(ponded=np.full_like(water.ponded, float(np.asarray(lot.ponding))))
    if ground.wetness == "wet":
        soaked = capacity + 0.5 * (full - capacity)
        return wetness.start(lot, soaked, soaked)
    if ground.wetness == "dry":
        return wetness.start(lot, (np.asarray(lot.wilting) + capacity) / 2, 0.9 * capacity, lot.readily_evaporable)
    return wetness.start(lot, capacity, capacity)


def _thawing(water: wetness.Water, lot: wetness.Lot, thaw: float) -> wetness.Water:
    """Thawed ground over frost is full of water that cannot leave; a thin thaw fills only its own depth."""
    full = np.asarray(lot.saturation) * wetness.LAYER
    upper, lower = (min(max(thaw - top, 0.0) / wetness.LAYER, 1.0) for top in (0.0, wetness.LAYER))
    filled = np.maximum(water.upper, upper * full)
    # A surface wetted from below dries as one wetted by rain does.
    depleted = np.maximum(water.depleted - (filled - water.upper), 0.0)
    return water._replace(upper=filled, lower=np.maximum(water.lower, lower * full), depleted=depleted)


def _forecast(lead: int, rules: Rules, luck: Luck) -> Array:
    """Factor on a day's rain: one for a measured day, lognormal about one for the forecast, each day on its own."""
    if lead <= 0:
        return np.ones(luck.draws)
    own = np.roll(luck.normal["forecast"], 101 * lead)  # the same numbers in another order: independent of other days
    return np.exp(rules.wetness["forecast_error"].value * own)


def _mean(day: Day) -> float:
    assert day.tmin is not None  # reading a job fills every day's temperatures
    assert day.tmax is not None
    return (day.tmin + day.tmax) / 2


def _by_weight(water: wetness.Water, density: float, scatter: Array, lot: wetness.Lot) -> tuple[Array, ...]:
    low = 0.5 * wetness.gravimetric(lot.wilting, density)
    high = wetness.gravimetric(lot.saturation, density)
    contents = (water.upper_content, water.lower_content)
    return tuple(np.clip(wetness.gravimetric(theta, density) + scatter, low, high) for theta in contents)


def _moist(
    date: dt.date,
    layers: tuple[Array, ...],
    water: wetness.Water,
    rain: float,
    state: "_FrostState",
    lot: wetness.Lot,
    levels: tuple[float, ...],
) -> Moist:
    return Moist(
        date,
        layers,
        standing=float(np.mean((water.ponded > 0) | (water.upper_content >= 0.98 * np.asarray(lot.saturation)))),
        rain=rain,
        frost=state.depth,
        thaw=state.thaw,
        capacity=levels[0],
        saturation=levels[1],
    )


@dataclass(frozen=True)
class _FrostState:
    """depth: of frost that carries from the surface down. thaw: of thawed soil over frost, below any new skin."""

    depth: float = 0.0
    thaw: float = 0.0


class _Frost:
    """Frost and thaw depths from the degree-days so far, by Stefan's equation.

    A thaw eats the frost from above; a new cold spell builds a skin of its own on the thawed soil, and only when that
    skin reaches the old frost is the ground solid again.
    """

    def __init__(self, soil: Soil, rules: Rules) -> None:
        assert soil.moisture is not None
        assert soil.dry_density is not None
        self._moisture, self._density, self._rules = soil.moisture.wet, soil.dry_density, rules.wetness
        self._freezing = self._thawing = self._skin = 0.0  # degree-days of the old frost, its thaw, and a new skin

    def after(self, mean: float) -> _FrostState:
        """The state after a day with this mean temperature."""
        if mean < 0 and self._thawing == 0:
            self._freezing += -mean
        elif mean < 0:
            self._skin += -mean
        elif self._skin > mean:
            self._skin -= mean
        elif self._freezing > 0:
            self._thawing += mean - self._skin
            self._skin = 0.0
        depth, thaw, skin = self._depths()
        if thaw >= depth:  # the old frost is gone; a skin may be left
            self._freezing, self._thawing, self._skin = self._skin, 0.0, 0.0
        elif skin >= thaw > 0:  # frozen through again
            self._freezing, self._thawing, self._skin = self._freezing + self._skin, 0.0, 0.0
        depth, thaw, skin = self._depths()
        return _FrostState(skin, thaw) if thaw > 0 else _FrostState(depth, 0.0)

    def _depths(self) -> tuple[float, float, float]:
        return (
            self._stefan(self._freezing, "freezing_surface", "frozen_conductivity"),
            self._stefan(self._thawing, "thawing_surface", "thawed_conductivity"),
            self._stefan(self._skin, "freezing_surface", "frozen_conductivity"),
        )

    def _stefan(self, degree_days: float, surface: str, conductivity: str) -> float:
        if degree_days == 0:  # most days of a year
            return 0.0
        return float(
            frost.stefan_depth(
                degree_days, self._rules[conductivity].value, self._moisture, self._density, self._rules[surface].value
            )
        )
