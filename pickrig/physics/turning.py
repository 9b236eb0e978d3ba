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


def track_turning_moment(
    weight: ArrayLike, length: ArrayLike, friction: ArrayLike, eccentricity: ArrayLike = 0.0
) -> Array:
    """Moment to turn both tracks against sideways drag, level and slow, N m.

    weight: N on both. length: of contact, m. friction: lateral coefficient. eccentricity: of the resultant from
    mid-length, m, either sign; at most a sixth of the length (beyond it is taken as a sixth).

    mu W L/4 for even pressure (Wong, Theory of Ground Vehicles, 4th ed., ch. 6); with the pressure a trapezoid, eps =
    e/L: the pivot lies m L from the light end, m = [sqrt((1 - 6 eps)^2 + 12 eps) - (1 - 6 eps)] / (12 eps), and
    M = mu W L [0.5 + eps - (1 - 6 eps) m^2 - 8 eps m^3]. Statics.
    """
    length = np.asarray(length, float)
    share = np.minimum(np.abs(np.asarray(eccentricity, float)) / length, 1 / 6)
    even = share < 1e-6
    safe = np.where(even, 0.1, share)
    light = 1 - 6 * safe
    pivot = (np.sqrt(light**2 + 12 * safe) - light) / (12 * safe)
    uneven = 0.5 + safe - light * pivot**2 - 8 * safe * pivot**3
    return np.asarray(friction, float) * np.asarray(weight, float) * length * np.where(even, 0.25, uneven)


def wheel_turning_moment(front: ArrayLike, rear: ArrayLike, wheelbase: ArrayLike, friction: ArrayLike) -> Array:
    """Moment to turn four skid-steered wheels, level and slow, N m: mu L min(W_front, W_rear).

    front, rear: axle loads, N. wheelbase: m. friction: lateral coefficient. It pivots over the heavier axle and drags
    the lighter one, so an even split is the worst. Statics.
    """
    lighter = np.minimum(np.asarray(front, float), np.asarray(rear, float))
    return np.asarray(friction, float) * np.asarray(wheelbase, float) * lighter


def radius_factor(radius: ArrayLike, gauge: ArrayLike) -> Array:
    """Share of the full lateral coefficient that a turn of this radius calls up: 1 / (0.925 + 0.15 R/B), at most 1.

    radius: of the turn to the middle of the machine, m. gauge: m. Zou et al. (2016), Applied Energy 171:372-382, as
    arXiv:2007.08690 eq. 3 has it; that it never passes 1 is ours.
    """
    return np.minimum(1 / (0.925 + 0.15 * np.asarray(radius, float) / np.asarray(gauge, float)), 1.0)


def track_drag(length: ArrayLike, radius: ArrayLike) -> Array:
    """How far the ends of a track slide sideways over the ground they press on, m: L^2 / (8 R), L/2 at most.

    length: of contact, m. radius: of the turn, m. Geometry: what turf has to give, or tear.
    """
    length = np.asarray(length, float)
    return np.minimum(length**2 / (8 * np.asarray(radius, float)), length / 2)


def wheel_drag(patch: ArrayLike, wheelbase: ArrayLike, radius: ArrayLike) -> Array:
    """How far a skid-steered tyre slides sideways over the ground it presses on, m: l L / (2 R), L/2 at most.

    patch: length of the tyre's contact, m. wheelbase, radius: m. Geometry.
    """
    wheelbase = np.asarray(wheelbase, float)
    drag = np.asarray(patch, float) * wheelbase / (2 * np.asarray(radius, float))
    return np.minimum(drag, wheelbase / 2)
