"""Frost in a lot from its weather: how deep at each hour of a day, a draw each."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pickrig.checks.ground.draws import Array, Luck, evenly
from pickrig.checks.ground.levels import levels
from pickrig.inputs import Day
from pickrig.physics import frost
from pickrig.physics.frost import Frost, FrostSoil
from pickrig.rulebook import Rules
from pickrig.rulebook.tables import Soil

HOURS = (1.5, 4.5, 7.5, 10.5, 13.5, 16.5, 19.5, 22.5)  # the middles of eight steps a day
WORKING = (7.5, 10.5, 13.5, 16.5)
HALF_STEP = 1.5  # h
_STEP = 3 * 3600.0


@dataclass(frozen=True)
class FrostDay:
    """Frost of one day, m, a draw each. crust: frozen from the surface down at each of `HOURS`. thaw: the most that is
    thawed over frost at any of them. end: at midnight."""

    crust: tuple[Array, ...]
    thaw: Array
    end: Frost

    @property
    def closed(self) -> NDArray[np.bool_]:
        """Whether the surface is frozen all day, so that no water passes it."""
        return np.asarray(np.min(self.crust, axis=0) > 0)


class Freezing:
    """The frost of a lot, day after day."""

    def __init__(self, soil: Soil, turf: float, rules: Rules, luck: Luck) -> None:
        own = rules.wetness
        water = levels(soil, rules)
        freezes = water.moist + own["freezing_water"].value * (water.full - water.moist)
        latent = 334e3 * freezes * water.density
        freezing, thawing = (evenly(luck.uniform[way], *own[f"{way}_surface"].three) for way in ("freezing", "thawing"))
        conductivities = own["frozen_conductivity"].value, own["thawed_conductivity"].value
        self._soil = FrostSoil(*conductivities, latent, freezing, thawing)
        self._turf, self._rules, self._frost = turf, own, frost.no_frost(luck.draws)
        self._ground: float | None = None  # degC, of the air of the last weeks: what the ground below remembers

    def seen(self, depth: float) -> None:
        """What a probe found at the end of a day, m, instead of what was worked out."""
        nothing = np.zeros_like(self._frost.depth)
        self._frost = Frost(nothing + depth, nothing, nothing)

    def after(self, day: Day, before: Day | None, later: Day | None, snow: Array) -> FrostDay:
        """The day's frost. before, later: the neighbouring days, where they are known. snow: water of it, m."""
        assert day.tmin is not None
        assert day.tmax is not None
        mean = (day.tmin + day.tmax) / 2
        own = self._rules
        start = own["ground_start"].value if self._ground is None else self._ground
        self._ground = start + (mean - start) / own["ground_memory"].value
        highest = before.tmax if before is not None and before.tmax is not None else day.tmax
        lowest = later.tmin if later is not None and later.tmin is not None else day.tmin
        if min(day.tmin, lowest) >= 0 and not self._frost.depth.any():
            nothing = np.zeros_like(self._frost.depth)
            return FrostDay((nothing,) * len(HOURS), nothing, self._frost)
        cover = self._turf + np.asarray(snow) * 1000 / own["snow_density"].value / own["snow_conductivity"].value
        below = own["thawed_conductivity"].value * max(self._ground, 0.0) / own["ground_reach"].value
        covered = np.asarray(snow) > own["snow_lies"].value
        soil = self._soil._replace(thawing=np.where(covered, 0.0, self._soil.thawing))
        hours = []
        for hour in HOURS:
            air = frost.hour_temperature(hour, day.tmin, day.tmax, highest, lowest)
            self._frost = frost.frost_step(self._frost, soil, air, _STEP, cover, below)
            hours.append(self._frost)
        thaw = np.max([frost.thaw for frost in hours], axis=0)
        return FrostDay(tuple(frost.carrying for frost in hours), thaw, self._frost)
