"""Frozen ground as a plate over soft soil."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def frozen_capacity(frost_depth: ArrayLike, wet: bool = True) -> Array:
    """Vehicle weight carried by a frozen layer, N: 0.86 z^2 MN on wet ground, 0.35 z^2 on dry, z in m.

    Richmond, Shoop & Blaisdell (1995), CRREL Report 95-1, Table A4; the square law is a fit of ours, exact to the
    table's rounding. It is far more cautious than the field rule that 5 cm of frost lets everything pass.
    """
    return (0.86e6 if wet else 0.35e6) * np.asarray(frost_depth, float) ** 2


def freezing_index(mean_temperatures: ArrayLike) -> Array:
    """Degree-days of frost, K day: the sum of -T over days with a mean T (degC) below zero, along the last axis."""
    return np.maximum(-np.asarray(mean_temperatures, float), 0).sum(axis=-1)


def stefan_depth(
    degree_days: ArrayLike,
    conductivity: ArrayLike,
    moisture: ArrayLike,
    dry_density: ArrayLike,
    surface_factor: ArrayLike = 0.7,
) -> Array:
    """Depth of frost, or of thaw into frost, m: x = sqrt(2 k n F 86400 / L), L = 334e3 w rho_d J/m3.

    degree_days: K day of air freezing (or thawing). conductivity: W/(m K), frozen for frost, unfrozen for thaw.
    moisture: by weight of dry soil. dry_density: kg/m3. surface_factor n: 0.7 bare, 0.5 turf, freezing; TM 5-852-4
    Table 4-1.

    Stefan's equation, from memory; it overestimates in temperate climates.
    """
    latent = 334e3 * np.asarray(moisture, float) * np.asarray(dry_density, float)
    heat = np.asarray(conductivity, float) * np.asarray(surface_factor, float) * np.asarray(degree_days, float)
    return np.sqrt(2 * 86_400 * heat / latent)
