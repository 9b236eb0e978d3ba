"""What an hour costs: life of wear parts."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def harmonic_life(shares: ArrayLike, lives: ArrayLike) -> Array:
    """Hours a wear part lasts when each ground j takes share s_j of the hours and wears it out in L_j: 1/sum(s_j/L_j).

    shares[..., ground], summing to 1. lives[..., ground]: hours. The linear damage rule (Miner's), so the harmonic
    mean; the arithmetic mean flatters.
    """
    return 1 / np.sum(np.asarray(shares, float) / np.asarray(lives, float), axis=-1)
