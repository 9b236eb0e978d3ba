"""Water in the ground, day by day: radiation, evaporation, runoff, soil hydraulics, drainage.

Two layers of 150 mm, because those are what the critical-layer rule asks about and one bucket hides the mud.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

DAY = 86_400.0  # s
LAYER = 0.150  # m, each of the two layers; the army's own soil-moisture model used 0-15 and 15-30 cm (WES MP M-73-1)
EVAPORATING_DEPTH = 0.10  # m, FAO-56 ch. 7
BARE_COEFFICIENT = 1.2  # Kc max of bare soil, FAO-56 eq. 72
GRASS_COEFFICIENT = 0.95  # basal coefficient of a lawn, our judgment
GRASS_STRESS = 0.5  # share of the available water grass takes before it slows, FAO-56 ch. 8 from memory
MELT_PER_DEGREE = 0.003  # m of water per degC and day, degree-day melt from memory (0.002 to 0.006)
ALL_SNOW, ALL_RAIN = -1.0, 2.0  # degC of a day's mean; between them some of each, from memory


def extraterrestrial_radiation(latitude: ArrayLike, day_of_year: ArrayLike) -> Array:
    """Solar radiation at the top of the atmosphere on a horizontal surface, J/m2/day.

    latitude: degrees, south negative. day_of_year: 1 to 366. The sunset angle is held where the sun does not set.

    Ra = (24 60/pi) 0.0820 dr (ws sin phi sin d + cos phi cos d sin ws) MJ: FAO-56 (Allen et al. 1998) eq. 21-25.
    """
    phi, day = np.radians(np.asarray(latitude, float)), np.asarray(day_of_year, float)
    distance = 1 + 0.033 * np.cos(2 * np.pi * day / 365)
    declination = 0.409 * np.sin(2 * np.pi * day / 365 - 1.39)
    sunset = np.arccos(np.clip(-np.tan(phi) * np.tan(declination), -1, 1))
    sines = sunset * np.sin(phi) * np.sin(declination)
    cosines = np.cos(phi) * np.cos(declination) * np.sin(sunset)
    return 24 * 60 / np.pi * 0.0820e6 * distance * (sines + cosines)


def reference_evapotranspiration(tmin: ArrayLike, tmax: ArrayLike, radiation: ArrayLike) -> Array:
    """Reference evapotranspiration from two temperatures, m/day; never below 0.

    tmin, tmax: degC. radiation: extraterrestrial, J/m2/day.

    ET0 = 0.0023 (Tmean + 17.8) (Tmax - Tmin)^0.5 x 0.408 Ra, mm and MJ: Hargreaves, FAO-56 eq. 52. Meant for means of
    five days or more: a single day may be 30 % off.
    """
    low, high = np.asarray(tmin, float), np.asarray(tmax, float)
    swing = np.sqrt(np.maximum(high - low, 0))
    millimetres = 0.0023 * ((low + high) / 2 + 17.8) * swing * 0.408 * np.asarray(radiation, float) / 1e6
    return np.maximum(millimetres, 0) / 1e3


def runoff(rain: ArrayLike, curve_number: ArrayLike) -> Array:
    """Part of a day's rain that runs off, m: Q = (P - 0.2 S)^2 / (P + 0.8 S) above P = 0.2 S, S = 25.4/CN - 0.254 m.

    rain: m. SCS National Engineering Handbook section 4 (630) ch. 10, as quoted in the ASCE manual 70 (2016).
    """
    rain = np.asarray(rain, float)
    storage = 25.4 / np.asarray(curve_number, float) - 0.254
    excess = np.maximum(rain - 0.2 * storage, 0)
    return np.divide(excess**2, rain + 0.8 * storage, out=np.zeros(np.shape(excess)), where=excess > 0)


def curve_number_range(average: ArrayLike) -> tuple[Array, Array]:
    """Curve numbers of dry and of wet ground from the average one: CN/(2.281 - 0.01281 CN), CN/(0.427 + 0.00573 CN).

    Hawkins et al. (1985), as quoted in ASCE manual 70 (2016).
    """
    number = np.asarray(average, float)
    return number / (2.281 - 0.01281 * number), number / (0.427 + 0.00573 * number)


def soil_hydraulics(
    sand: ArrayLike, clay: ArrayLike, organic_matter: ArrayLike, density_factor: ArrayLike = 1.0
) -> tuple[Array, Array, Array, Array]:
    """Water content at wilting point, field capacity and saturation (fractions of volume), and conductivity (m/s).

    sand, clay, organic_matter: fractions of weight. density_factor: 0.9 loose, 1.0 natural, 1.1 rolled, to 1.3.
    An organic_matter above 0.2, which no mineral soil has, is taken for per cent, in which the source writes it.

    Saxton & Rawls (2006), Soil Sci. Soc. Am. J. 70:1569-1578, eq. 1-5, 16 and compaction. Clay below 60 %, organic
    matter below 8 %; standard errors about 0.02, 0.05 and 0.04 by volume.
    """
    s, c = np.asarray(sand, float), np.asarray(clay, float)
    om = np.asarray(organic_matter, float)
    om = np.where(om > 0.2, om, 100 * om)
    first = -0.024 * s + 0.487 * c + 0.006 * om + 0.005 * s * om - 0.013 * c * om + 0.068 * s * c + 0.031
    wilting = first + 0.14 * first - 0.02
    first = -0.251 * s + 0.195 * c + 0.011 * om + 0.006 * s * om - 0.027 * c * om + 0.452 * s * c + 0.299
    capacity = first + 1.283 * first**2 - 0.374 * first - 0.015
    first = 0.278 * s + 0.034 * c + 0.022 * om - 0.018 * s * om - 0.027 * c * om - 0.584 * s * c + 0.078
    saturation = capacity + first + 0.636 * first - 0.107 - 0.097 * s + 0.043
    packed = 1 - np.asarray(density_factor, float) * (1 - saturation)
    packed_capacity = capacity + 0.2 * (packed - saturation)
    slope = (np.log(packed_capacity) - np.log(wilting)) / (np.log(1500) - np.log(33))
    conductivity = 1930 * np.maximum(packed - packed_capacity, 0) ** (3 - slope) / 1e3 / 3600
    return wilting, packed_capacity, packed, conductivity


def field_capacity_in_place(capacity: ArrayLike, saturation: ArrayLike, above: ArrayLike) -> Array:
    """Field capacity as it is found in the field, m3/m3: this share of the way from that at 33 kPa to saturation.

    Carlson (1959) found the recurring maximum of 533 sites nearer to what soil holds at 6 kPa than at 33.
    """
    low, full = np.asarray(capacity, float), np.asarray(saturation, float)
    return low + np.asarray(above, float) * (full - low)


def gravimetric(volumetric: ArrayLike, dry_density: ArrayLike) -> Array:
    """Water by weight of dry soil from water by volume: w = theta rho_w / rho_d. Densities in kg/m3.

    The strength equations want weight, the water balance speaks volume: confusing them errs by 1.2 to 1.8 times.
    """
    return np.asarray(volumetric, float) * 1000 / np.asarray(dry_density, float)


def drainage_coefficient(conductivity: ArrayLike) -> Array:
    """Share of the drainable water that leaves in a day, tau = 0.0866 Ks^0.35 (mm/day), at most 1.

    conductivity: m/s. AquaCrop reference manual (Raes et al. 2012), read in its open implementation, which rounds tau
    to two decimals; here it is not rounded.
    """
    return np.minimum(0.0866 * (np.asarray(conductivity, float) * 1e3 * DAY) ** 0.35, 1.0)


def drainage(theta: ArrayLike, field_capacity: ArrayLike, saturation: ArrayLike, tau: ArrayLike) -> Array:
    """Water a freely drained layer loses in a day above field capacity, m3/m3 per day; none below it.

    tau (S - FC) (e^(theta - FC) - 1) / (e^(S - FC) - 1), not past FC: AquaCrop reference manual (Raes et al. 2012).
    """
    theta, capacity, full = (np.asarray(x, float) for x in (theta, field_capacity, saturation))
    above = np.clip(theta - capacity, 0, None)
    loss = np.asarray(tau, float) * (full - capacity) * np.expm1(above) / np.expm1(full - capacity)
    return np.minimum(loss, above)


class Lot(NamedTuple):
    """Ground as the water balance sees it; any field may hold one number a sample.

    wilting, field_capacity, saturation: m3/m3. conductivity: m/s. readily_evaporable: m, what leaves a wet bare surface
    unhindered. curve_number: average. drainage_factor: how freely the bottom drains, 0 to 1. ponding: m of water
    the surface holds. sheds: share of the runoff that leaves the lot. cover: factor on bare evaporation. grass: share
    covered. upper_roots, lower_roots: share of its water that grass takes from each layer; the rest comes from below.
    rises: share of what the lower layer holds more than the upper that is drawn up in a day. below: the lower layer,
    where it is another soil; only its water contents and its conductivity count.
    """

    wilting: ArrayLike
    field_capacity: ArrayLike
    saturation: ArrayLike
    conductivity: ArrayLike
    readily_evaporable: ArrayLike
    curve_number: ArrayLike
    drainage_factor: ArrayLike
    ponding: ArrayLike
    sheds: ArrayLike = 1.0
    cover: ArrayLike = 1.0
    grass: ArrayLike = 0.0
    upper_roots: ArrayLike = 0.5
    lower_roots: ArrayLike = 0.5
    rises: ArrayLike = 0.0
    below: "Lot | None" = None

    @property
    def layers(self) -> "tuple[Lot, Lot]":
        """The upper layer and the lower; the same where the soil is the same."""
        return self, self.below if self.below is not None else self


class Water(NamedTuple):
    """Water of a lot at the end of a day, m (depleted: evaporated since the surface was last full)."""

    upper: Array
    lower: Array
    depleted: Array
    ponded: Array
    snow: Array

    @property
    def upper_content(self) -> Array:
        """Water content of the upper layer, m3/m3."""
        return self.upper / LAYER

    @property
    def lower_content(self) -> Array:
        """Water content of the lower layer, m3/m3."""
        return self.lower / LAYER


class Fluxes(NamedTuple):
    """What came and went in a day, m: rain = change of water + evaporated + drained + ran_off."""

    evaporated: Array
    drained: Array
    ran_off: Array


def start(lot: Lot, upper: ArrayLike, lower: ArrayLike, depleted: ArrayLike = 0.0) -> Water:
    """Water of a lot from the contents of its two layers, m3/m3, between half the wilting point and saturation."""
    contents = []
    for theta, layer in zip((upper, lower), lot.layers, strict=True):
        wilting, full = np.asarray(layer.wilting, float), np.asarray(layer.saturation, float)
        contents.append(np.clip(np.asarray(theta, float), 0.5 * wilting, full) * LAYER)
    shape = np.broadcast_shapes(*(np.shape(x) for x in (*contents, *lot[:-1])))
    return Water(*(np.broadcast_to(x, shape).astype(float) for x in (*contents, depleted, 0.0, 0.0)))


def daily_balance(
    water: Water,
    lot: Lot,
    rain: ArrayLike,
    mean_temperature: ArrayLike,
    evapotranspiration: ArrayLike,
    frozen: ArrayLike = False,
    growth: ArrayLike = 1.0,
) -> tuple[Water, Fluxes]:
    """Water at the end of a day, from its start: snow, runoff, infiltration, evaporation, drainage, in this order.

    rain, evapotranspiration (reference): m. mean_temperature: degC. frozen: whether frost closes the ground all day, so
    that nothing soaks in, drains or evaporates. growth: how far grass is awake, 0 to 1. Under snow nothing evaporates.

    Curve number between its dry and wet ends by the upper layer's own moisture; bare-soil evaporation of FAO-56 ch. 7
    with the depletion taken after the day's rain; drainage of AquaCrop, damped at the bottom by the lot's factor.
    Arranged for this use; the pieces are published, the whole is held against measured fields (tests/measured). The
    step is a whole day, so that more rain surely leaves more water only while 1.2 ET0 is less than total less readily
    evaporable water and the drainage coefficient is under 0.85; on fast sand the published steps overshoot by a
    millimetre or so. On a lot that sheds, rain the day before raises the curve number: a heavy day can then run off
    more than that rain left.
    """
    liquid, snow = snow_step(water.snow, rain, mean_temperature)
    frozen = np.asarray(frozen, bool)
    evapotranspiration = np.where(frozen | (snow > 0), 0.0, evapotranspiration)
    away = _surface_runoff(water, lot, liquid)
    upper, lower, ponded, depleted, spilled = _soak_in(water, lot, liquid - away, frozen)
    upper, lower, ponded, depleted, gone = _evaporate(lot, upper, lower, ponded, depleted, evapotranspiration, growth)
    upper, lower, ponded, drained = _drain(lot, upper, lower, ponded, frozen)
    upper, lower, depleted = _rise(lot, upper, lower, depleted, frozen)
    return Water(upper, lower, depleted, ponded, snow), Fluxes(gone, drained, away + spilled)


def snow_step(snow: ArrayLike, rain: ArrayLike, temperature: ArrayLike) -> tuple[Array, Array]:
    """Water that reaches the ground in a day, and the snow left on it, m of water.

    rain: rain or snow of the day, m of water. temperature: mean of the day, degC. Degree-day melt, from memory.
    """
    mean, fallen = np.asarray(temperature, float), np.asarray(rain, float)
    as_snow = fallen * np.clip((ALL_RAIN - mean) / (ALL_RAIN - ALL_SNOW), 0, 1)
    melted = np.minimum(snow, MELT_PER_DEGREE * np.maximum(mean, 0))
    return fallen - as_snow + melted, snow + as_snow - melted


def _surface_runoff(water: Water, lot: Lot, liquid: Array) -> Array:
    wilting, capacity = np.asarray(lot.wilting, float), np.asarray(lot.field_capacity, float)
    filled = np.clip((water.upper_content - wilting) / (capacity - wilting), 0, 1)
    dry, wet = curve_number_range(lot.curve_number)
    return np.asarray(lot.sheds, float) * runoff(liquid, dry + (wet - dry) * filled)


def _soak_in(
    water: Water, lot: Lot, arriving: Array, frozen: NDArray[np.bool_]
) -> tuple[Array, Array, Array, Array, Array]:
    """Fill the upper layer, then the lower, then the hollows; the rest runs off."""
    full, full_below = (np.asarray(layer.saturation, float) * LAYER for layer in lot.layers)
    depleted = np.where(frozen, water.depleted, np.maximum(water.depleted - arriving, 0))
    offered = arriving + water.ponded
    into_upper = np.where(frozen, 0.0, np.minimum(offered, np.maximum(full - water.upper, 0)))
    into_lower = np.where(frozen, 0.0, np.minimum(offered - into_upper, np.maximum(full_below - water.lower, 0)))
    standing = offered - into_upper - into_lower
    ponded = np.minimum(standing, np.asarray(lot.ponding, float))
    return water.upper + into_upper, water.lower + into_lower, ponded, depleted, standing - ponded


def evaporation_reduction(depleted: ArrayLike, readily: ArrayLike, total: ArrayLike) -> Array:
    """Share of potential evaporation that a drying bare surface still gives, Kr: FAO-56 eq. 74.

    depleted, readily, total: m evaporated since it was last full; what leaves unhindered; all that can leave.
    """
    depleted, readily, total = (np.asarray(x, float) for x in (depleted, readily, total))
    return np.clip((total - depleted) / np.maximum(total - readily, 1e-9), 0, 1)


def _evaporate(
    lot: Lot,
    upper: Array,
    lower: Array,
    ponded: Array,
    depleted: Array,
    reference: ArrayLike,
    growth: ArrayLike,
) -> tuple[Array, Array, Array, Array, Array]:
    """Bare-soil evaporation from hollows, then the upper layer; grass that is awake draws on both layers and below."""
    wilting, capacity = np.asarray(lot.wilting, float), np.asarray(lot.field_capacity, float)
    reference, grass = np.asarray(reference, float), np.asarray(lot.grass, float)
    total = (capacity - 0.5 * wilting) * EVAPORATING_DEPTH
    reduction = evaporation_reduction(depleted, lot.readily_evaporable, total)
    wanted = reduction * BARE_COEFFICIENT * np.asarray(lot.cover, float) * reference * (1 - grass)
    from_hollows = np.minimum(wanted, ponded)
    from_upper = np.minimum(wanted - from_hollows, np.maximum(upper - 0.5 * wilting * LAYER, 0))
    upper, depleted = upper - from_upper, np.minimum(depleted + from_upper, total)
    drunk = []
    own = zip((upper, lower), (lot.upper_roots, lot.lower_roots), lot.layers, strict=True)
    for layer, roots, soil in own:
        wilting, capacity = np.asarray(soil.wilting, float), np.asarray(soil.field_capacity, float)
        available = np.clip((layer / LAYER - wilting) / ((1 - GRASS_STRESS) * (capacity - wilting)), 0, 1)
        wish = np.asarray(roots, float) * growth * grass * GRASS_COEFFICIENT * reference * available
        drunk.append(np.minimum(wish, np.maximum(layer - wilting * LAYER, 0)))
    gone = from_hollows + from_upper + drunk[0] + drunk[1]
    return upper - drunk[0], lower - drunk[1], ponded - from_hollows, depleted, gone


class _Drains(NamedTuple):
    """Of one layer: field capacity and saturation, m3/m3; m that get through in a day; share that leaves in one."""

    capacity: Array
    full: Array
    daily: Array
    tau: Array


def _drains(layer: Lot) -> _Drains:
    return _Drains(
        np.asarray(layer.field_capacity, float),
        np.asarray(layer.saturation, float),
        np.asarray(layer.conductivity, float) * DAY,
        drainage_coefficient(layer.conductivity),
    )


def _drain(
    lot: Lot, upper: Array, lower: Array, ponded: Array, frozen: NDArray[np.bool_]
) -> tuple[Array, Array, Array, Array]:
    """The lower layer out of the bottom, then the upper into the lower; hollows refill the upper."""
    (capacity, full, daily, tau), below = (_drains(layer) for layer in lot.layers)
    factor = np.asarray(lot.drainage_factor, float)
    out = factor * np.minimum(drainage(lower / LAYER, below.capacity, below.full, below.tau) * LAYER, below.daily)
    out = np.where(frozen, 0.0, np.minimum(out, np.maximum(lower - below.capacity * LAYER, 0)))
    lower = lower - out
    # No faster than the tighter of the two lets it through.
    down = np.minimum(drainage(upper / LAYER, capacity, full, tau) * LAYER, np.minimum(daily, below.daily))
    down = np.where(frozen, 0.0, np.minimum(down, np.maximum(below.full * LAYER - lower, 0)))
    refill = np.where(frozen, 0.0, np.minimum(ponded, np.maximum(full * LAYER - (upper - down), 0)))
    return upper - down + refill, lower + down, ponded - refill, out


def _rise(
    lot: Lot, upper: Array, lower: Array, depleted: Array, frozen: NDArray[np.bool_]
) -> tuple[Array, Array, Array]:
    """A drier upper layer draws on the lower one; a surface wetted from below dries as one wetted by rain does."""
    room = np.asarray(lot.saturation, float) * LAYER - upper  # none is there where the soil below holds more
    drawn = np.minimum(lower - upper, lower - np.asarray(lot.layers[1].wilting, float) * LAYER)
    up = np.where(frozen, 0.0, np.minimum(np.asarray(lot.rises, float) * np.maximum(drawn, 0), room))
    return upper + up, lower - up, np.maximum(depleted - up * EVAPORATING_DEPTH / LAYER, 0)
