"""Frost in the ground: how it grows and thaws, hour by hour, and what it carries as a plate over soft soil."""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

COLDEST, WARMEST = 6.0, 15.0  # hours of the day at which a day is usually coldest and warmest
YOUNG_ICE = 1.0e9  # Pa, modulus of frozen soil near the thaw, our judgment (0.1 to 5)
SOFT_BED = 20.0e6  # N/m3, what soft soil under a frozen layer pushes back, our judgment (5 to 50)
POISSON = 0.3


def frozen_capacity(frost_depth: ArrayLike, wet: bool = True) -> Array:
    """Vehicle weight carried by a frozen layer, N: 0.86 z^2 MN on wet ground, 0.35 z^2 on dry, z in m.

    Richmond, Shoop & Blaisdell (1995), CRREL Report 95-1, Table A4; the square law is a fit of ours, exact to the
    table's rounding. It is a point's load: a contact of some size is carried by less.
    """
    return (0.86e6 if wet else 0.35e6) * np.asarray(frost_depth, float) ** 2


def plate_capacity(depth: ArrayLike, radius: ArrayLike, strength: ArrayLike) -> Array:
    """Load of one contact that a frozen layer over soft soil carries, N: 0.825 s h^2 (1 + 3 a/l), a/l at most 1.

    depth h: m. radius a: of a circle as large as the contact, m. strength s: in bending, Pa. l = (E h^3 / (12 (1 - v^2)
    k))^(1/4). Meyerhof (1962) for ice, from memory; at a = 0 it is the square law of `frozen_capacity` with s 1.04 and
    0.42 MPa.
    """
    h = np.asarray(depth, float)
    length = (YOUNG_ICE * np.maximum(h, 1e-6) ** 3 / (12 * (1 - POISSON**2) * SOFT_BED)) ** 0.25
    return 0.825 * np.asarray(strength, float) * h**2 * (1 + 3 * np.minimum(np.asarray(radius, float) / length, 1.0))


def hour_temperature(hour: float, tmin: float, tmax: float, before: float, after: float) -> float:
    """Air temperature at an hour of the day by half-cosines, degC: coldest at six, warmest at three in the afternoon.

    before: the highest of the day before. after: the lowest of the day after.
    """
    night = 24 - WARMEST + COLDEST
    if hour < COLDEST:
        start, end, share = before, tmin, (hour + 24 - WARMEST) / night
    elif hour < WARMEST:
        start, end, share = tmin, tmax, (hour - COLDEST) / (WARMEST - COLDEST)
    else:
        start, end, share = tmax, after, (hour - WARMEST) / night
    return float(start + (end - start) * (1 - np.cos(np.pi * share)) / 2)


def stefan_growth(
    depth: ArrayLike, heat: ArrayLike, conductivity: ArrayLike, latent: ArrayLike, resistance: ArrayLike = 0.0
) -> Array:
    """Depth of a frozen (or thawed) layer after more cold (or warmth), m: x + kR = sqrt((x + kR)^2 + 2 k H / L).

    depth: before, m. heat: of the surface, K s. conductivity: of the layer, W/(m K). latent: of the soil's water, J/m3.
    resistance: of snow or turf over it, m2 K/W. Stefan's equation, from memory, with a cover in series; from nothing
    and without one it is sqrt(2 k H / L).
    """
    k, cover = np.asarray(conductivity, float), np.asarray(conductivity, float) * np.asarray(resistance, float)
    start = np.asarray(depth, float) + cover
    return np.sqrt(start**2 + 2 * k * np.asarray(heat, float) / np.asarray(latent, float)) - cover


class FrostSoil(NamedTuple):
    """What frost meets. conductivity frozen and thawed: W/(m K). latent: J/m3. freezing, thawing: what the surface
    feels of the air's cold and warmth, as a share."""

    frozen: ArrayLike
    thawed: ArrayLike
    latent: ArrayLike
    freezing: ArrayLike
    thawing: ArrayLike


class Frost(NamedTuple):
    """Frost in the ground, m. depth: of its bottom. thaw: of the soil thawed from above, over it. skin: frozen anew on
    that thawed soil."""

    depth: Array
    thaw: Array
    skin: Array

    @property
    def carrying(self) -> Array:
        """What is frozen from the surface down without a gap, m."""
        return np.where(self.thaw > 0, self.skin, self.depth)


def no_frost(draws: int) -> Frost:
    """Open ground."""
    return Frost(np.zeros(draws), np.zeros(draws), np.zeros(draws))


def frost_step(
    frost: Frost, soil: FrostSoil, air: float, seconds: float, resistance: ArrayLike, from_below: ArrayLike
) -> Frost:
    """Frost after some hours at one air temperature.

    resistance: of snow and turf, m2 K/W. from_below: heat that unfrozen ground sends up, W/m2, which eats the frost.

    Cold deepens the frost, or the skin on thawed soil; warmth eats the skin, then thaws the frost from above. A frost
    thawed through is gone; a skin that reaches the old frost is one with it. The pieces are Stefan's; arranged for this
    use and held against measured soil temperatures (tests/measured).
    """
    latent = np.asarray(soil.latent, float)
    cold = max(-air, 0.0) * np.asarray(soil.freezing, float) * seconds
    warm = max(air, 0.0) * np.asarray(soil.thawing, float) * seconds
    depth, thaw, skin = frost
    if np.any(cold):
        open_top = thaw == 0
        depth = np.where(open_top, stefan_growth(depth, cold, soil.frozen, latent, resistance), depth)
        skin = np.where(open_top, 0.0, stefan_growth(skin, cold, soil.frozen, latent, resistance))
    if np.any(warm):
        top = np.where(skin > 0, 0.0, thaw)
        melt = stefan_growth(top, warm, soil.thawed, latent, resistance) - top
        from_skin = np.minimum(melt, skin)
        skin = skin - from_skin
        thaw = thaw + (melt - from_skin)
    depth = np.maximum(depth - np.asarray(from_below, float) * seconds / latent, 0.0)
    gone, one = depth <= thaw, skin >= thaw
    depth = np.where(gone, skin, depth)
    return Frost(depth, np.where(gone | one, 0.0, thaw), np.where(gone | one, 0.0, skin))
