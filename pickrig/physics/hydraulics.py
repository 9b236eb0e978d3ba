"""Hydraulic power and force."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def hydraulic_power(flow: ArrayLike, pressure: ArrayLike) -> Array:
    """Power carried by oil, W: flow (m3/s) times pressure (Pa). Definition."""
    return np.asarray(flow, float) * np.asarray(pressure, float)


def cylinder_force(bore: ArrayLike, rod: ArrayLike, pressure: ArrayLike) -> tuple[Array, Array]:
    """Force of a cylinder extending and retracting, N: p pi D^2/4 and p pi (D^2 - d^2)/4.

    bore, rod: diameters, m. pressure: Pa. Geometry; back-pressure and friction take 5 to 10 % (common practice).
    """
    bore, rod, pressure = (np.asarray(x, float) for x in (bore, rod, pressure))
    return pressure * np.pi * bore**2 / 4, pressure * np.pi * (bore**2 - rod**2) / 4


def heat(flow: ArrayLike, pressure_drop: ArrayLike) -> Array:
    """Heat from oil that does no work, W: flow (m3/s) times the pressure it loses (Pa). Definition."""
    return np.asarray(flow, float) * np.asarray(pressure_drop, float)
