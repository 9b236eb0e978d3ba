"""Surface bearing capacity: a track or tyre standing on the ground, seen as a footing."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def bearing_factors(friction_angle: ArrayLike) -> tuple[Array, Array, Array]:
    """Bearing capacity factors Nc, Nq, Ngamma for a friction angle in degrees.

    Nq = e^(pi tan phi) tan^2(45 + phi/2); Nc = (Nq - 1)/tan phi, 2 + pi at phi = 0; Vesic's Ngamma = 2 (Nq + 1)
    tan phi. UFC 3-220-20 (2025) eq. 5-15 to 5-20; tabulated in FHWA-SA-02-054 (GEC-6) Table 5-1.
    """
    degrees = np.asarray(friction_angle, float)
    tangent = np.tan(np.radians(degrees))
    n_q = np.exp(np.pi * tangent) * np.tan(np.radians(45 + degrees / 2)) ** 2
    frictionless = tangent < 1e-9
    n_c = np.where(frictionless, 2 + np.pi, (n_q - 1) / np.where(frictionless, 1.0, tangent))
    return n_c, n_q, 2 * (n_q + 1) * tangent


def surface_capacity(
    width: ArrayLike, length: ArrayLike, cohesion: ArrayLike, friction_angle: ArrayLike, unit_weight: ArrayLike
) -> Array:
    """Ultimate pressure of a loaded rectangle on the surface of level ground, Pa.

    width, length: m, either way round. cohesion: Pa (undrained strength with friction_angle 0). friction_angle:
    degrees. unit_weight: N/m3, the submerged one where water stands at the surface.

    c Nc sc + 0.5 gamma B Ngamma sg with Vesic's shape factors sc = 1 + (Nq/Nc)(B/L), sg = 1 - 0.4 B/L, no embedment:
    Vesic (1975), UFC 3-220-20 (2025) section 5-3. Vertical load: a machine pushing at full traction has about half
    of it. In loose sand the shape factors of different authors spread the answer by half as much again.
    """
    sides = np.asarray(width, float), np.asarray(length, float)
    b, ratio = np.minimum(*sides), np.minimum(*sides) / np.maximum(*sides)
    n_c, n_q, n_gamma = bearing_factors(friction_angle)
    cohesion_term = np.asarray(cohesion, float) * n_c * (1 + n_q / n_c * ratio)
    weight_term = 0.5 * np.asarray(unit_weight, float) * b * n_gamma * (1 - 0.4 * ratio)
    return cohesion_term + weight_term


def dcp_cbr(penetration: ArrayLike, soil_class: str = "") -> Array:
    """California bearing ratio, %, from dynamic cone penetration, m a blow.

    292 / DCP^1.12, DCP in mm; for CL below 10 %: 1 / (0.017019 DCP)^2; for CH: 1 / (0.002871 DCP). Webster et al.
    (1992), ASTM D6951; the last two from memory, agreeing with conversion bands of a pocket card to 2 %.
    """
    dcp = np.asarray(penetration, float) * 1e3
    general = 292 / dcp**1.12
    if soil_class == "CH":
        return 1 / (0.002871 * dcp)
    if soil_class == "CL":
        return np.where(general < 10, 1 / (0.017019 * dcp) ** 2, general)
    return general


def cbr_undrained(cbr: ArrayLike) -> Array:
    """Undrained shear strength, Pa, from California bearing ratio, %: 30 kPa for each per cent, fine soil below 6 %.

    US haul-road practice, as a pocket card (2004) prints its bands; UK clays gave 23 (from memory).
    """
    return 30e3 * np.asarray(cbr, float)
