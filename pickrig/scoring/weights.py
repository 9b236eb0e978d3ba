"""Weights from a ranking, from points, or drawn."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def rank_order_centroid(n: int) -> Array:
    """Weights of n criteria known only by their rank, first most important: w_i = (1/n) sum_{k=i..n} 1/k.

    The mean of all weightings that respect the ranking: Barron & Barrett (1996), Management Science 42:1515-1523.
    Raises ValueError for n below 1.
    """
    if n < 1:
        raise ValueError("a ranking needs at least one criterion")
    return np.cumsum(1 / np.arange(n, 0, -1.0))[::-1] / n


def from_points(points: ArrayLike) -> Array:
    """Swing weights: points (100 for the swing that matters most, fewer for the others) over their sum.

    Goodwin & Wright (2004) ch. 3. Raises ValueError for a negative number of points or none at all.
    """
    given = np.asarray(points, float)
    if np.any(given < 0) or given.sum() <= 0:
        raise ValueError("points must not be negative, and at least one must be above zero")
    return given / given.sum()


def sample_weights(n: int, draws: int, ranked: bool = False, seed: int = 0) -> Array:
    """Weightings[draw, criterion] drawn evenly from all there are, or from those that fall from the first to the last.

    Exponential draws over their sum are uniform on the simplex; normalised uniform draws are not. Sorted, they are
    uniform on the ranked simplex. Lahdelma & Salminen (2001), Operations Research 49:444-454.
    """
    weights = np.random.default_rng(seed).standard_exponential((draws, n))
    weights /= weights.sum(axis=1, keepdims=True)
    return -np.sort(-weights, axis=1) if ranked else weights
