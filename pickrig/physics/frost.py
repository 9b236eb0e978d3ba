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
