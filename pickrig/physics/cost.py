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


def fuel_flow(power: ArrayLike, load_factor: ArrayLike) -> Array:
    """Diesel burnt, m3/s: 0.36 lb a brake horsepower-hour at 7 lb a gallon, 0.2611 L/kWh, times the load factor.

    power: rated, W. load_factor: mean over rated power, as a fraction. EP 1110-1-8 (2003).
    """
    litres_per_joule = 0.36 / 7 * 3.785411784 / (745.6998715822702 * 3600)
    return np.asarray(power, float) * np.asarray(load_factor, float) * litres_per_joule * 1e-3


def repair_rate(price: ArrayLike, rubber: ArrayLike, factor: ArrayLike, life: ArrayLike) -> Array:
    """Repairs an hour, flat over the life: (P - rubber) RF / LIFE. factor: of the class. life: hours. EP 1110-1-8."""
    worth = np.asarray(price, float) - np.asarray(rubber, float)
    return worth * np.asarray(factor, float) / np.asarray(life, float)


def repair_share(start: ArrayLike, end: ArrayLike, life: ArrayLike, rising: ArrayLike) -> Array:
    """Repairs an hour between two readings of the meter over those of the whole life: 1 - q + q (h0 + h1)/L.

    start, end, life: hours. rising: q, the part of lifetime repairs that grows with the hours. The form C = A h + B h^2
    of cumulative repairs fitted best of nineteen on 270 machines: Mitchell (1998), A statistical analysis of
    construction equipment repair costs, Virginia Tech; over the whole life it comes to one.
    """
    run = np.asarray(start, float) + np.asarray(end, float)
    return 1 - np.asarray(rising, float) + np.asarray(rising, float) * run / np.asarray(life, float)


def loan_payment(loan: ArrayLike, rate: ArrayLike, months: ArrayLike) -> Array:
    """What a loan costs a month: L r / (1 - (1 + r)^-n), r a twelfth of the yearly rate; L/n without interest."""
    loan, rate, months = (np.asarray(x, float) for x in (loan, rate, months))
    free = rate == 0
    monthly = np.where(free, 1.0, rate / 12)
    return np.where(free, loan / months, loan * monthly / (1 - (1 + monthly) ** -months))


def loan_balance(loan: ArrayLike, rate: ArrayLike, months: ArrayLike, paid: ArrayLike) -> Array:
    """What is owed after so many payments: L (1 + r)^k - M ((1 + r)^k - 1)/r."""
    loan, rate, paid = (np.asarray(x, float) for x in (loan, rate, paid))
    payment, free = loan_payment(loan, rate, months), rate == 0
    monthly = np.where(free, 1.0, rate / 12)
    growth = (1 + monthly) ** paid
    return np.where(free, loan - payment * paid, loan * growth - payment * (growth - 1) / monthly)


def remaining_value(age: ArrayLike, hours: ArrayLike, c1: ArrayLike, c2: ArrayLike, c3: ArrayLike) -> Array:
    """Worth of a used machine as a fraction of its current list price: [C1 - C2 sqrt(n) - C3 sqrt(h)]^2.

    age: years, from one. hours: a year, on average. ASABE D497; coefficients of farm tractors from memory, of which the
    largest class gives the 23 % that Iowa State prints. No construction series was found.
    """
    root = np.asarray(c1, float) - np.asarray(c2, float) * np.sqrt(np.asarray(age, float))
    root = root - np.asarray(c3, float) * np.sqrt(np.asarray(hours, float))
    return np.maximum(root, 0.0) ** 2
