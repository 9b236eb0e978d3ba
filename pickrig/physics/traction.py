"""Rolling resistance on firm and yielding ground."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def rolling_resistance(weight: ArrayLike, penetration: ArrayLike = 0.0) -> Array:
    """Rolling resistance of a wheeled machine, N: 2 % of its weight and 0.59 % for each cm the tyres sink in.

    weight: N. penetration: m. The construction rule of 40 lb a short ton and 30 lb more an inch: Peurifoy &
    Schexnayder, Construction Planning, Equipment and Methods; read second-hand.
    """
    return np.asarray(weight, float) * (0.02 + 0.59 * np.asarray(penetration, float))
