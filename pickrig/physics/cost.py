"""What an hour and a year cost: life of wear parts, and a price spread over its years."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def harmonic_life(shares: ArrayLike, lives: ArrayLike) -> Array:
    """Hours a wear part lasts when each ground j takes share s_j of the hours and wears it out in L_j: 1/sum(s_j/L_j).

    shares[..., ground], summing to 1. lives[..., ground]: hours. The linear damage rule (Miner's), so the harmonic
    mean; the arithmetic mean flatters.
    """
    return 1 / np.sum(np.asarray(shares, float) / np.asarray(lives, float), axis=-1)


def equal_annual_cost(price: ArrayLike, salvage: ArrayLike, years: ArrayLike, rate: ArrayLike) -> Array:
    """Cost of owning spread evenly over the years, money a year: P CRF - S SFF.

    price now, salvage at the end, in the same money. years: above zero. rate: a year, as a fraction; zero is allowed.

    CRF = i (1 + i)^n / ((1 + i)^n - 1), SFF = CRF - i; (P - S)/n at i = 0. Engineering economy; Peurifoy & Schexnayder,
    Construction Planning, Equipment and Methods, 6th ed.
    """
    price, salvage, years, rate = (np.asarray(x, float) for x in (price, salvage, years, rate))
    free = rate == 0
    interest = np.where(free, 1.0, rate)
    growth = (1 + interest) ** years
    recovery = np.where(free, 1 / years, interest * growth / (growth - 1))
    return price * recovery - salvage * (recovery - rate)
