"""Published examples that take more than one call: a week, a decay, an inversion."""

from collections.abc import Sequence
from typing import Any

import numpy as np

from pickrig.physics import cone_index, frost, sand, wetness


def fifty_from_one(family: str, one_pass: float) -> Any:
    """VCI50 (Pa) of the vehicle whose VCI1 is one_pass (Pa), through the mobility index."""
    curve = {
        "tracked": cone_index.vehicle_cone_index_tracked,
        "wheeled": cone_index.vehicle_cone_index_wheeled,
    }[family]
    grid = np.linspace(1, 114, 200_000)
    index = grid[np.argmin(np.abs(curve(grid, 1) - one_pass))]
    return curve(index, 50)


def one_pass_margin(family: str, one_pass: float, cone_index_reading: float, remoulding: float) -> list[float]:
    """Strength over what one pass and what fifty passes need."""
    strength = cone_index_reading * remoulding
    return [strength / one_pass, strength / fifty_from_one(family, one_pass)]


def draining(field_capacity: float, saturation: float, tau: float, days: int) -> list[float]:
    """Water content at the end of each day, from saturation."""
    theta, contents = saturation, []
    for _ in range(days):
        theta -= float(wetness.drainage(theta, field_capacity, saturation, tau))
        contents.append(theta)
    return contents


def drying(readily: float, total: float, potential: float, days: int) -> list[float]:
    """Evaporation of each day from a bare surface that was full on the first (m)."""
    depleted, losses = 0.0, []
    for _ in range(days):
        losses.append(float(wetness.evaporation_reduction(depleted, readily, total)) * potential)
        depleted = min(depleted + losses[-1], total)
    return losses


LOTS = {  # depths in m, conductivity in m/s; sheds and drains as the handbook's example
    "clay loam": {"sand": 0.30, "clay": 0.35, "readily_evaporable": 0.0095, "curve_number": 94.0},
    "sandy loam": {"sand": 0.65, "clay": 0.10, "readily_evaporable": 0.008, "curve_number": 86.0},
    "silt loam": {"sand": 0.20, "clay": 0.15, "readily_evaporable": 0.0095, "curve_number": 86.0},
}


def week(
    soil: str,
    upper: float,
    lower: float,
    depleted: float,
    rain: Sequence[float],
    tmin: Sequence[float],
    tmax: Sequence[float],
    tell: str,
    factor: float = 0.5,
    ponding: float = 0.005,
    sheds: float = 1.0,
) -> list[float]:
    """A quantity at the end of each day from 15 April at 44 N: of the water (m or m3/m3) or of its fluxes (m)."""
    lot = _lot(soil, factor, ponding, sheds)
    water = wetness.start(lot, upper, lower, depleted)
    told = []
    for day, (fallen, low, high) in enumerate(zip(rain, tmin, tmax, strict=True)):
        radiation = wetness.extraterrestrial_radiation(44, 105 + day)
        reference = wetness.reference_evapotranspiration(low, high, radiation)
        water, fluxes = wetness.daily_balance(water, lot, fallen, (low + high) / 2, reference)
        told.append(float(getattr(water, tell) if hasattr(water, tell) else getattr(fluxes, tell)))
    return told


def _lot(soil: str, factor: float, ponding: float, sheds: float) -> wetness.Lot:
    row = LOTS[soil]
    wilting, capacity, full, rate = wetness.soil_hydraulics(row["sand"], row["clay"], 0.025)
    if soil == "clay loam":  # the example was worked with the rounded row of the class table
        wilting, capacity, full, rate = 0.218, 0.358, 0.477, 0.1038 / wetness.DAY
    return wetness.Lot(
        wilting, capacity, full, rate, row["readily_evaporable"], row["curve_number"], factor, ponding, sheds
    )


def one_day(
    tell: str,
    upper: float = 0.2,
    lower: float = 0.2,
    depleted: float = 0.0,
    ponded: float = 0.0,
    snow: float = 0.0,
    rain: float = 0.0,
    temperature: float = 10.0,
    evapotranspiration: float = 0.0,
    frozen: bool = False,
    grass: float = 0.0,
    cover: float = 1.0,
    sheds: float = 0.0,
    ponding: float = 0.005,
    roots: tuple[float, float] = (0.5, 0.5),
    rises: float = 0.0,
    growth: float = 1.0,
) -> float:
    """A quantity at the end of a day, from its start, on a soil of round numbers that can be followed by hand.

    Wilting 0.10, capacity 0.30, saturation 0.45; 1e-6 m/s; 9 mm readily evaporable; curve number 80; bottom half free.
    """
    lot = wetness.Lot(0.10, 0.30, 0.45, 1e-6, 0.009, 80.0, 0.5, ponding, sheds, cover, grass, *roots, rises)
    water = wetness.start(lot, upper, lower, depleted)._replace(ponded=np.float64(ponded), snow=np.float64(snow))
    water, fluxes = wetness.daily_balance(water, lot, rain, temperature, evapotranspiration, frozen, growth)
    return float(getattr(water, tell) if hasattr(water, tell) else getattr(fluxes, tell))


def sand_wheel(tell: str, cone_index: list[float], load: float, give: float) -> Any:
    """Of a wheel of 0.305 x 0.838 m with a section of 0.21 m on sand: its numeric, pull, traction or resistance."""
    gradient = sand.gradient(cone_index)
    numeric = sand.wheel_numeric(gradient, 0.305, 0.838, load, give / 0.21)
    ratio = sand.contact_pressure(load, 0.305, 0.838, give, 0.21) / np.asarray(cone_index)
    told = {"numeric": numeric, "pull": sand.wheel_pull(numeric), "traction": sand.wheel_traction(ratio)}
    return (told | {"resistance": sand.wheel_resistance(ratio)})[tell]


def sand_tracks(mass: list[float], width: list[float], length: list[float], gradient: list[float]) -> list[float]:
    """Pull to spare of tracked machines, kg and m, half their weight on a track, on each sand."""
    loads = np.asarray(mass) * 9.80665 / 2
    return [float(x) for g in gradient for x in sand.track_pull(g, width, length, loads)]


def snow_lying(rain: float, temperature: list[float]) -> Any:
    """Snow on bare ground after a day of this rain at each of these means, m of water."""
    return wetness.snow_step(0.0, rain, temperature)[1]


def frost_after(
    air: list[float],
    hours: list[float],
    tell: str,
    freezing: float = 1.0,
    thawing: float = 1.5,
    resistance: float = 0.0,
    from_below: float = 0.0,
) -> float:
    """Frost after spells of these air temperatures, on ground that was open: its depth, thaw, skin or what carries."""
    soil = frost.FrostSoil(1.6, 1.2, 1e8, freezing, thawing)
    state = frost.no_frost(1)
    for degrees, spell in zip(air, hours, strict=True):
        state = frost.frost_step(state, soil, degrees, 3600 * spell, resistance, from_below)
    return float(getattr(state, tell)[0])
