"""On the trailer: tongue weight, where to park, how many tie-downs, how steep the ramps."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pickrig.physics.cycle import trips

Array = NDArray[np.float64]


def tongue_weight(weights: ArrayLike, positions: ArrayLike, axles: ArrayLike) -> Array:
    """Weight on the coupler, in the unit of the weights: sum of W_i (A - x_i) / A, over the last axis.

    weights[..., item], positions[..., item]: of each item's centre behind the coupler. axles: coupler to the middle of
    the axle group, same unit. Moments about the axles. Statics.
    """
    axles = np.asarray(axles, float)
    arms = (axles[..., None] - np.asarray(positions, float)) / axles[..., None]
    return np.sum(np.asarray(weights, float) * arms, axis=-1)


def parking_position(
    share: ArrayLike, machine: ArrayLike, trailer: ArrayLike, trailer_position: ArrayLike, axles: ArrayLike
) -> Array:
    """Where the machine's centre has to stand behind the coupler for this share of the whole on the coupler, m.

    share: tongue weight over weight of trailer and machine. machine, trailer: weights, same unit. trailer_position: of
    the empty trailer's centre behind the coupler, m. axles: coupler to axle-group centre, m. `tongue_weight` solved
    for x.
    """
    machine, trailer, axles = (np.asarray(x, float) for x in (machine, trailer, axles))
    from_trailer = trailer * (axles - np.asarray(trailer_position, float)) / axles
    needed = np.asarray(share, float) * (machine + trailer) - from_trailer
    return axles * (1 - needed / machine)


def direct_tie_downs(mass: ArrayLike, working_load: ArrayLike, count: ArrayLike) -> Array:
    """Aggregate working load of direct tie-downs over half the mass: 1 is just enough.

    mass, working_load: kg. count: of tie-downs from the vehicle to the machine, each counting half of its working load
    limit. 49 CFR 393.106(d), 393.108.
    """
    aggregate = np.asarray(count, float) * np.asarray(working_load, float) / 2
    return aggregate / (np.asarray(mass, float) / 2)


def least_tie_downs(length: ArrayLike, mass: ArrayLike, blocked: bool = False) -> Array:
    """Number of tie-downs an article needs by its length, 49 CFR 393.110; machines from 4,536 kg need four besides.

    length: m. mass: kg. blocked: held against moving forward. Not blocked: 1 to 5 ft and 1,100 lb, 2 to 10 ft, and one
    more for each further 10 ft or part of it; blocked: one for each 10 ft or part of it.
    """
    feet = np.asarray(length, float) / 0.3048
    if blocked:
        return np.maximum(trips(feet, 10), 1)
    short = (feet <= 5) & (np.asarray(mass, float) <= 1100 * 0.45359237)
    return np.where(short, 1, 2 + trips(np.maximum(feet - 10, 0), 10))


def ramp_angle(height: ArrayLike, length: ArrayLike) -> Array:
    """Slope of loading ramps, degrees: asin(h / l). height: of the deck, length: of the ramps, m. Geometry."""
    return np.degrees(np.arcsin(np.minimum(np.asarray(height, float) / np.asarray(length, float), 1.0)))
