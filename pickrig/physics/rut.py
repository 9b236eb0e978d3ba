"""Depth of the ruts that tires and tracks leave in fine-grained soil."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def wheel_rut(
    load: ArrayLike, diameter: ArrayLike, width: ArrayLike, deflection: ArrayLike, cone_index: ArrayLike
) -> Array:
    """Depth of the rut after one pass of a tire, m: z = 0.224 d / N^1.25, N = CI (b d)^0.8 delta^0.4 / W.

    load: N on the wheel. diameter, width, deflection on a hard surface: m. cone_index: Pa.

    Maclaurin (1990), as Saarilahti (2002), Soil interaction model, quotes it with W in kN and CI in kPa.
    """
    size = np.asarray(width, float) * np.asarray(diameter, float)
    pressed = np.asarray(load, float) / (np.power(size, 0.8) * np.power(np.asarray(deflection, float), 0.4))
    return np.asarray(0.224 * np.asarray(diameter, float) / np.power(np.asarray(cone_index, float) / pressed, 1.25))


def track_rut(width: ArrayLike, needed: ArrayLike, rating_cone_index: ArrayLike) -> Array:
    """Depth of the rut after fifty passes of a track, m: 0.6 b (VCI50/RCI)^1.6.

    width: of the track, m. needed: vehicle cone index for fifty passes, and rating_cone_index, in one unit.

    Our judgment, no equation is published. Where the ground is just as strong as fifty passes need, the rut has grown
    until the belly hangs up, which is how the vehicle cone index is defined: two thirds of the track's width on the
    vehicles it was read on. The power is the middle of 1.25 to 2.
    """
    ratio = np.asarray(needed, float) / np.asarray(rating_cone_index, float)
    return np.asarray(0.6 * np.asarray(width, float) * np.power(ratio, 1.6))


def after_passes(rut: ArrayLike, passes: ArrayLike, growth: ArrayLike) -> Array:
    """A rut of one pass after more of them, m: z n^(1/a).

    growth: a; 2 to 3 in loose soil, 3 to 4 in medium, 4 to 5 in hard soil. Saarilahti (1991), as quoted in Saarilahti
    (2002), eq. 6.8.
    """
    return np.asarray(np.asarray(rut, float) * np.power(np.asarray(passes, float), 1 / np.asarray(growth, float)))
