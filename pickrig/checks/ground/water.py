"""The water of a lot, day after day, from its weather: all draws at once."""

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from math import log

import numpy as np

from pickrig.checks.ground.draws import Array, Luck
from pickrig.checks.ground.freezing import Freezing, FrostDay
from pickrig.checks.ground.levels import lies
from pickrig.inputs import Day, Ground, Job
from pickrig.physics import wetness
from pickrig.rulebook import Rules
from pickrig.rulebook.tables import Cover, Soil


@dataclass(frozen=True)
class WaterDay:
    """One day: its water at dawn and at dusk, its rain, m, and its frost."""

    date: dt.date
    rain: float
    dawn: wetness.Water
    dusk: wetness.Water
    frost: FrostDay


_ENOUGH = 120  # days before the job; what is older no longer shows


class Course:
    """The days of a job's weather in order: the last four months before the job, or all of them.

    lot: with its uncertain figures, a draw each. water: at the start. density: of the dry soil, kg/m3; densities: of
    its two layers. below: another soil from 6 in down.
    """

    def __init__(
        self, soil: Soil, job: Job, rules: Rules, luck: Luck, whole: bool = False, below: Soil | None = None
    ) -> None:
        assert job.weather is not None
        self._weather, self.rules, self._luck = job.weather, rules, luck
        cover = rules.covers[job.ground.cover or "bare"]
        self.lot = _lot(soil, job.ground, cover, rules, luck)
        if below is not None:
            self.lot = self.lot._replace(below=_lot(below, job.ground, cover, rules, luck))
        self.density, _ = lies(soil, rules)
        self.densities = (self.density, lies(below or soil, rules)[0])
        self.water = _start(self.lot, job.ground, rules)
        self._frost = Freezing(soil, cover.resistance, rules, luck)
        self._probed = job.ground.frost
        self._evaporates = rules.wetness["temperature_method"].value * _off(rules, luck, "evaporation")
        self._warm: float | None = None
        enough = job.weather.job_day - dt.timedelta(_ENOUGH)
        days = [day for day in job.weather.days if whole or job.weather.record or day.date >= enough]
        seen = bool(job.ground.wetness or job.ground.standing_water)  # overrides the rain before it, not the frost
        self._before = [day for day in days if seen and day.date <= job.weather.last_measured]
        self._days = [day for day in days if not seen or day.date > job.weather.last_measured]

    @property
    def begins(self) -> dt.date:
        """The first day that is run."""
        return self._days[0].date if self._days else dt.date.max

    def __iter__(self) -> Iterator[WaterDay]:
        days = self._weather.days
        place = {day.date: index for index, day in enumerate(days)}
        water = self.water
        for day in (*self._before, *self._days):
            at = place[day.date]
            before = days[at - 1] if at else None
            later = days[at + 1] if at + 1 < len(days) else None
            frost = self._frost.after(day, before, later, water.snow)
            growth = self._grows(day)
            if self._probed is not None and day.date == self._weather.last_measured:
                self._frost.seen(self._probed)
            if day.date < self.begins:  # what was seen overrides the water in the ground, not the snow on it
                water = water._replace(snow=wetness.snow_step(water.snow, day.rain, _mean(day))[1])
                continue
            dawn = water
            water = self._through(day, dawn, frost, growth)
            yield WaterDay(day.date, day.expected, dawn, water, frost)

    def _through(self, day: Day, dawn: wetness.Water, frost: FrostDay, growth: float) -> wetness.Water:
        """The water at the end of a day."""
        weather, own = self._weather, self.rules.wetness
        lead = 0 if weather.record else (day.date - weather.last_measured).days
        rain = day.rain * _forecast(lead, self.rules, self._luck) * comes(day, lead, self._luck)
        latitude = own["latitude"].value if weather.latitude is None else weather.latitude
        radiation = wetness.extraterrestrial_radiation(latitude, day.date.timetuple().tm_yday)
        reference = wetness.reference_evapotranspiration(day.tmin or 0.0, day.tmax or 0.0, radiation)
        thaw = frost.thaw
        bottom = self.lot._replace(drainage_factor=np.where(thaw > 0, 0.0, self.lot.drainage_factor))
        today = _thawing(dawn, self.lot, thaw) if thaw.any() else dawn
        water, _ = wetness.daily_balance(
            today, bottom, rain, _mean(day), self._evaporates * reference, frozen=frost.closed, growth=growth
        )
        return water

    def _grows(self, day: Day) -> float:
        """How far grass is awake, by the warmth of the last days."""
        own, mean = self.rules.wetness, _mean(day)
        self._warm = mean if self._warm is None else self._warm + (mean - self._warm) / own["grass_memory"].value
        return min(max(self._warm / own["grass_awake"].value, 0.0), 1.0)


def _off(rules: Rules, luck: Luck, name: str) -> Array:
    """A factor whose logarithm is normal, by the spread that a row of the rules gives."""
    return np.asarray(np.exp(log(rules.wetness[f"{name}_error"].value) * luck.normal[name]))


def _lot(soil: Soil, ground: Ground, cover: Cover, rules: Rules, luck: Luck) -> wetness.Lot:
    """The lot with its uncertain figures, one number a draw."""
    texture, drainage, own = soil.texture, rules.drainage[ground.drainage or "ordinary"], rules.wetness
    assert texture is not None
    _, (wilting, capacity, full, rate) = lies(soil, rules)
    spread = {name: own[f"{name}_error"].value for name in ("wilting", "capacity", "saturation")}
    spread["capacity"] = rules.survey["capacity_error"].value if soil.held is not None else spread["capacity"]
    off = {name: error * luck.normal[name] for name, error in spread.items()}
    dry = np.maximum(wilting + off["wilting"], own["least_wilting"].value)
    pores = np.maximum(full + off["saturation"], dry + own["least_pores"].value)
    held = wetness.field_capacity_in_place(capacity, full, own["capacity_in_place"].value) + off["capacity"]
    roots = _off(rules, luck, "roots")
    return wetness.Lot(
        wilting=dry,
        field_capacity=np.clip(held, dry + own["least_held"].value, pores - own["least_air"].value),
        saturation=pores,
        conductivity=rate,
        readily_evaporable=texture.readily_evaporable,
        curve_number=getattr(cover.curve_number, texture.group),
        drainage_factor=np.minimum(drainage.factor * _off(rules, luck, "drainage"), 1.0),
        ponding=drainage.ponding,
        sheds=drainage.sheds,
        cover=cover.evaporation,
        grass=cover.grass,
        upper_roots=own["upper_roots"].value * roots,
        lower_roots=own["lower_roots"].value * roots,
        rises=own["rises"].value,
    )


def _start(lot: wetness.Lot, ground: Ground, rules: Rules) -> wetness.Water:
    """Water at the start: what was seen today, else field capacity, which a week or two of weather forgets."""
    upper, lower = lot.layers
    if ground.standing_water:
        water = wetness.start(lot, upper.saturation, lower.saturation)
        return water._replace(ponded=np.full_like(water.ponded, float(np.asarray(lot.ponding))))
    if ground.wetness == "wet":
        return wetness.start(lot, *(_soaked(layer, rules) for layer in (upper, lower)))
    if ground.wetness == "dry":
        wilting, capacity = np.asarray(upper.wilting), np.asarray(upper.field_capacity)
        on_top = wilting + rules.wetness["seen_dry"].value * (capacity - wilting)
        below = rules.wetness["seen_dry_below"].value * np.asarray(lower.field_capacity)
        return wetness.start(lot, on_top, below, lot.readily_evaporable)
    return wetness.start(lot, upper.field_capacity, lower.field_capacity)


def _soaked(layer: wetness.Lot, rules: Rules) -> Array:
    """As wet as "wet" means, from field capacity to saturation."""
    capacity, full = np.asarray(layer.field_capacity), np.asarray(layer.saturation)
    return np.asarray(capacity + rules.wetness["seen_wet"].value * (full - capacity))


def _thawing(water: wetness.Water, lot: wetness.Lot, thaw: Array) -> wetness.Water:
    """Thawed ground over frost is full of water that cannot leave; a thin thaw fills only its own depth."""
    full = [np.asarray(layer.saturation) * wetness.LAYER for layer in lot.layers]
    upper, lower = (np.clip((thaw - top) / wetness.LAYER, 0.0, 1.0) for top in (0.0, wetness.LAYER))
    filled = np.maximum(water.upper, upper * full[0])
    # A surface wetted from below dries as one wetted by rain does.
    depleted = np.maximum(water.depleted - (filled - water.upper), 0.0)
    return water._replace(upper=filled, lower=np.maximum(water.lower, lower * full[1]), depleted=depleted)


def _forecast(lead: int, rules: Rules, luck: Luck) -> Array:
    """Factor on a day's rain: one for a measured day, lognormal about one for the forecast, each day on its own."""
    if lead <= 0:
        return np.ones(luck.draws)
    own = np.roll(luck.normal["forecast"], 101 * lead)  # the same numbers in another order: independent of other days
    return np.exp(rules.wetness["forecast_error"].value * own)


def comes(day: Day, lead: int, luck: Luck) -> Array | float:
    """In which draws rain that is not sure comes: each day on its own."""
    if lead <= 0 or day.chance is None:
        return 1.0
    return np.asarray(np.roll(luck.uniform["rain"], 103 * lead) < day.chance, float)


def _mean(day: Day) -> float:
    assert day.tmin is not None  # reading a job fills every day's temperatures
    assert day.tmax is not None
    return (day.tmin + day.tmax) / 2
