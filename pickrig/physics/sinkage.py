"""Pressure and sinkage after Bekker: for illustration and ranking, never for a verdict on a named soil."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def track_sinkage(pressure: ArrayLike, width: ArrayLike, k_c: ArrayLike, k_phi: ArrayLike, n: ArrayLike) -> Array:
    """Sinkage of an evenly pressed track, m: z = [p / (kc/b + kphi)]^(1/n).

    pressure: Pa. width: smaller side of the patch, m. k_c: N/m^(n+1). k_phi: N/m^(n+2). n: of the terrain; below 0.4
    the fit is of plastic clay near failure and the answer nonsense.

    Bekker (1969); Wong, Theory of Ground Vehicles, 4th ed., ch. 2.
    """
    stiffness = np.asarray(k_c, float) / np.asarray(width, float) + np.asarray(k_phi, float)
    return (np.asarray(pressure, float) / stiffness) ** (1 / np.asarray(n, float))


def compaction_resistance(
    width: ArrayLike, sinkage: ArrayLike, k_c: ArrayLike, k_phi: ArrayLike, n: ArrayLike
) -> Array:
    """Resistance of pressing one rut, N: Rc = b (kc/b + kphi) z^(n+1) / (n+1). Two tracks make twice that.

    width, sinkage: m. k_c, k_phi, n: as in `track_sinkage`. Bekker (1969); Wong, 4th ed., ch. 2.
    """
    width, n = np.asarray(width, float), np.asarray(n, float)
    stiffness = np.asarray(k_c, float) / width + np.asarray(k_phi, float)
    return width * stiffness * np.asarray(sinkage, float) ** (n + 1) / (n + 1)


def wheel_sinkage(
    load: ArrayLike, diameter: ArrayLike, width: ArrayLike, k_c: ArrayLike, k_phi: ArrayLike, n: ArrayLike
) -> Array:
    """Sinkage of one rigid wheel, m: z = [3 W / ((3 - n) b (kc/b + kphi) sqrt(D))]^(2/(2n+1)).

    load: N on the wheel. diameter, width: m. k_c, k_phi, n: as in `track_sinkage`. Valid to about D/6 and n 1.3. A
    loader tyre at 240 kPa or more acts rigid on most soils.

    Bekker (1969), as Li & Bingham (2022), Terramechanics for LTV modeling and simulation, write it.
    """
    width, n = np.asarray(width, float), np.asarray(n, float)
    stiffness = np.asarray(k_c, float) / width + np.asarray(k_phi, float)
    bearing = (3 - n) * width * stiffness * np.sqrt(np.asarray(diameter, float))
    return (3 * np.asarray(load, float) / bearing) ** (2 / (2 * n + 1))
