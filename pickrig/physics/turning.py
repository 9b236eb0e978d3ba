"""Room to turn: plane geometry of a rectangle that spins or bends."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def spin_aisle(front: ArrayLike, front_width: ArrayLike, rear: ArrayLike, rear_width: ArrayLike) -> Array:
    """Aisle a counter-rotating machine needs to turn half round, m: R_f + R_r.

    front, rear: m from the centre of rotation to the foremost and rearmost line. front_width, rear_width: m there.
    R = sqrt(L^2 + (w/2)^2) of each end: one corner sweeps one side of the aisle, the other end the other side.
    Geometry; ISO 7457:1997 3.4 allows the clearance circle of a skid-steered machine to be calculated.
    """
    return corner_radius(front, front_width) + corner_radius(rear, rear_width)


def corner_radius(along: ArrayLike, width: ArrayLike) -> Array:
    """Radius swept by a corner `along` m from the centre of rotation on a line `width` m wide, m. Geometry."""
    return np.hypot(np.asarray(along, float), np.asarray(width, float) / 2)


def bend_aisle(outer_radius: ArrayLike, inner_radius: ArrayLike) -> Array:
    """Width of two equal aisles meeting at a right angle that a steered machine needs, m: R_o - R_i/sqrt(2).

    outer_radius, inner_radius: m, clearance circles of the sharpest turn (ISO 7457:1997). Geometry.
    """
    return np.asarray(outer_radius, float) - np.asarray(inner_radius, float) / np.sqrt(2)
