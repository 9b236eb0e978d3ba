"""Bending stress in a concrete slab on the ground under one load: for cautions, not for design."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

_PSI = 6894.757293168
POISSON = 0.15


def slab_stress(
    load: ArrayLike, pressure: ArrayLike, thickness: ArrayLike, modulus: ArrayLike, reaction: ArrayLike
) -> tuple[Array, Array]:
    """Stress under one round load in the interior and at the edge of a slab, Pa.

    load: N. pressure: under it, Pa. thickness: m. modulus: of the concrete, Pa. reaction: modulus of subgrade reaction,
    Pa/m (100 psi/in is 27 MPa/m).

    Radius of relative stiffness l = [E h^3 / (12 (1 - nu^2) k)]^(1/4); b = sqrt(1.6 a^2 + h^2) - 0.675 h for
    a < 1.724 h, else a; interior 0.316 P/h^2 (4 log l/b + 1.069), edge 0.572 P/h^2 (4 log l/b + 0.359).
    Westergaard (1926), from memory. One wheel on sound concrete with even support; edges, voids and frost are worse.
    For patches well within l: beyond it the stress comes out too low, and at last below zero.
    """
    load, pressure, thickness = (np.asarray(x, float) for x in (load, pressure, thickness))
    radius = np.sqrt(load / (np.pi * pressure))
    small = np.sqrt(1.6 * radius**2 + thickness**2) - 0.675 * thickness
    equivalent = np.where(radius < 1.724 * thickness, small, radius)
    spread = 4 * np.log10(stiffness_radius(thickness, modulus, reaction) / equivalent)
    return 0.316 * load / thickness**2 * (spread + 1.069), 0.572 * load / thickness**2 * (spread + 0.359)


def stiffness_radius(thickness: ArrayLike, modulus: ArrayLike, reaction: ArrayLike) -> Array:
    """Radius of relative stiffness l, m. Arguments as in `slab_stress`. Westergaard (1926), from memory."""
    bending = np.asarray(modulus, float) * np.asarray(thickness, float) ** 3 / (12 * (1 - POISSON**2))
    return (bending / np.asarray(reaction, float)) ** 0.25


def flexural_strength(compressive: ArrayLike) -> Array:
    """Modulus of rupture of plain concrete, Pa: 9 sqrt(f'c) with both in psi. compressive: Pa. PCA practice."""
    return 9 * np.sqrt(np.asarray(compressive, float) / _PSI) * _PSI


def spread_pressure(load: ArrayLike, width: ArrayLike, length: ArrayLike, depth: ArrayLike) -> Array:
    """Pressure at a depth below a loaded patch, Pa: P / ((B + z)(L + z)), spreading one in two to each side.

    load: N. width, length, depth: m. Common practice for buried pipes and cables.
    """
    depth = np.asarray(depth, float)
    return np.asarray(load, float) / ((np.asarray(width, float) + depth) * (np.asarray(length, float) + depth))
