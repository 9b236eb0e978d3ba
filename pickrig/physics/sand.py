"""Clean sand: pull a wheel or a track has to spare over its own rolling, by the sand's cone index and its load."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

INCH = 0.0254  # m
SLIP = 0.20  # slip at which pull is counted, as the published curve of pull has it
MOST_RATIO = 25.0  # cone index over contact pressure at which the traction fit is highest; beyond, it turns down


def gradient(cone_index: ArrayLike) -> Array:
    """Penetration resistance gradient, N/m3, from the mean cone index of the top 6 in, Pa: G = CI/3.47 in.

    Mason et al. (2016), J. Terramechanics 67:25-36, as a public simulator's pages have it.
    """
    return np.asarray(cone_index, float) / (3.47 * INCH)


def wheel_numeric(
    sand_gradient: ArrayLike, width: ArrayLike, diameter: ArrayLike, load: ArrayLike, deflection_ratio: ArrayLike
) -> Array:
    """Sand numeric of one wheel: N = G (b d)^1.5 / W x deflection over section height.

    sand_gradient: N/m3. width, diameter: m. load: on the wheel, N. Turnage's form, as Mason et al. (2016) quote it.
    """
    size = np.power(np.asarray(width, float) * np.asarray(diameter, float), 1.5)
    return np.asarray(sand_gradient, float) * size / np.asarray(load, float) * np.asarray(deflection_ratio, float)


def wheel_pull(numeric: ArrayLike) -> Array:
    """Pull a wheel has to spare at 20 % slip over its load: 0.53 - 4.5/(N + 3.7).

    Army trials of single wheels in dry sand, N about 5 to 100; from memory. Below zero the wheel is stuck.
    """
    return 0.53 - 4.5 / (np.asarray(numeric, float) + 3.7)


def contact_pressure(
    load: ArrayLike, width: ArrayLike, diameter: ArrayLike, deflection: ArrayLike, section_height: ArrayLike
) -> Array:
    """Contact pressure of a wheel in sand, Pa: W/[2 b sqrt(d a - a^2) (b/h)^0.52] with a = deflection + 0.026 d.

    load: N. lengths: m. Mason et al. (2016), J. Terramechanics 67:25-36, eq. 10, as a public simulator codes it.
    """
    width, diameter = np.asarray(width, float), np.asarray(diameter, float)
    sunk = np.asarray(deflection, float) + 0.026 * diameter
    shape = np.power(width / np.asarray(section_height, float), 0.52)
    return np.asarray(load, float) / (2 * width * np.sqrt(diameter * sunk - sunk**2) * shape)


def wheel_traction(pressure_ratio: ArrayLike) -> Array:
    """Traction of a wheel at 20 % slip over its load: -0.5 + (Tm + 0.5)/(1 + A e^(-7s))^(1/C).

    pressure_ratio r: contact pressure over cone index. Tm = 0.42 + 0.009/r, A = 0.76 + 0.014/r, C = 1.56 - 0.022/r,
    with 1/r held at 25, from where the formula turns down again. Mason et al. (2018), J. Terramechanics 79:33-40, eq.
    5-8, as a public simulator codes it. Whether it is before or after rolling is not settled by what was read; taken as
    before.
    """
    firm = np.minimum(1 / np.asarray(pressure_ratio, float), MOST_RATIO)
    most, shape, power = 0.42 + 0.009 * firm, 0.76 + 0.014 * firm, 1.56 - 0.022 * firm
    return -0.5 + (most + 0.5) / np.power(1 + shape * np.exp(-7 * SLIP), 1 / power)


def wheel_resistance(pressure_ratio: ArrayLike) -> Array:
    """Motion resistance of a driven wheel at 20 % slip over its load: 0.4 r + 0.6 s - 0.03.

    Williams et al. (2017), J. Defense Model. Simul., eq. 10, as a public simulator codes it.
    """
    return 0.4 * np.asarray(pressure_ratio, float) + 0.6 * SLIP - 0.03


def track_pull(sand_gradient: ArrayLike, width: ArrayLike, length: ArrayLike, load: ArrayLike) -> Array:
    """Pull a track has to spare over the load on it: 0.121 + 0.258 log10 N, N = 0.6 G (b L)^1.5 / W.

    sand_gradient: N/m3. width, length: of one track's contact, m. load: on one track, N. From memory, of steel tracks.
    """
    size = np.power(np.asarray(width, float) * np.asarray(length, float), 1.5)
    numeric = 0.6 * np.asarray(sand_gradient, float) * size / np.asarray(load, float)
    return 0.121 + 0.258 * np.log10(numeric)
