"""Pull and what it has to overcome: rolling, grade, soil thrust, and what the engine can turn."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def rolling_resistance(weight: ArrayLike, penetration: ArrayLike = 0.0) -> Array:
    """Rolling resistance of a wheeled machine, N: 2 % of its weight and 0.59 % for each cm the tyres sink in.

    weight: N. penetration: m. The construction rule of 40 lb a short ton and 30 lb more an inch: Peurifoy &
    Schexnayder, Construction Planning, Equipment and Methods; read second-hand.
    """
    return np.asarray(weight, float) * (0.02 + 0.59 * np.asarray(penetration, float))


def grade_resistance(weight: ArrayLike, grade: ArrayLike) -> Array:
    """Part of the weight that pulls down a slope, N: W sin(beta). The trade's 20 lb a ton and per cent is W tan(beta).

    weight: N. grade: rise over run, uphill positive. Statics.
    """
    return np.asarray(weight, float) * np.sin(np.arctan(np.asarray(grade, float)))


def rimpull(power: ArrayLike, speed: ArrayLike, efficiency: ArrayLike) -> Array:
    """Pull the engine can keep up at a speed, N: P e / v (375 hp e / mph in pounds).

    power: W. speed: m/s, above zero. efficiency: of the drive, as a fraction. Definition of power.
    """
    return np.asarray(power, float) * np.asarray(efficiency, float) / np.asarray(speed, float)


def mixed_traction(share: ArrayLike, on_pavement: ArrayLike, on_snow: ArrayLike) -> Array:
    """Coefficient of traction where a share of the contact reaches the pavement and the rest rides on a film of snow.

    s mu_pavement + (1 - s) mu_snow: load shared in proportion. Our own model; nobody has measured s.
    """
    share = np.asarray(share, float)
    return share * np.asarray(on_pavement, float) + (1 - share) * np.asarray(on_snow, float)


def soil_thrust(
    weight: ArrayLike,
    area: ArrayLike,
    cohesion: ArrayLike,
    friction_angle: ArrayLike,
    length: ArrayLike,
    shear_modulus: ArrayLike,
    slip: ArrayLike = 0.2,
) -> Array:
    """Thrust of tracks or tyres on soil at a slip, N.

    weight: on them, N. area: of all of them, m2. cohesion: Pa. friction_angle: degrees. length: of one contact, m.
    shear_modulus: shear deformation K of the soil, m. slip: above zero, as a fraction.

    F = (A c + W tan phi) [1 - K/(iL) (1 - exp(-iL/K))], uniform pressure: Janosi & Hanamoto (1961) as in Wong, Theory
    of Ground Vehicles, 4th ed., ch. 2.
    """
    length, slip, modulus = (np.asarray(x, float) for x in (length, slip, shear_modulus))
    cohesive = np.asarray(area, float) * np.asarray(cohesion, float)
    frictional = np.asarray(weight, float) * np.tan(np.radians(np.asarray(friction_angle, float)))
    worked = slip * length / modulus
    return (cohesive + frictional) * (1 - (1 - np.exp(-worked)) / worked)


def stickiness(moisture: ArrayLike, plastic_limit: ArrayLike, liquid_limit: ArrayLike, clings: ArrayLike) -> Array:
    """How much a fine soil fouls what runs over it, 0 to 1: nothing below its plastic limit, in full a third above it.

    moisture, limits: kg water per kg dry soil, the liquid limit the higher. clings: how its texture soils a tool, 0-1.

    S = (w - PL)/0.3 PI x clings, the first part kept within 0 and 1. Our judgment: soil is said to stick most just
    above its plastic limit; towards the liquid limit it sticks less and gives less hold, so that lugs are no better
    off. clings goes by soiling classes of texture.
    """
    w, plastic, liquid = (np.asarray(part, float) for part in (moisture, plastic_limit, liquid_limit))
    return np.asarray(np.clip((w - plastic) / (0.3 * (liquid - plastic)), 0.0, 1.0) * np.asarray(clings, float))
