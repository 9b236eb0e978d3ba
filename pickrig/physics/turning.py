"""Room to turn: plane geometry of a rectangle that spins or bends."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

_HEADINGS = 361  # headings of a half turn that are looked at: every half degree


def half_turn_lane(radius: float, front: float, front_width: float, rear: float, rear_width: float) -> float:
    """Width of the lane in which a machine turns half round in three arcs, forward, back and forward again, m.

    radius: of its tightest turn, to its middle, m; 0 for one that turns on the spot, which then needs R_f + R_r: one
    corner sweeps one side of the lane, the other end the other side. front, rear: m from the middle to the foremost and
    rearmost line. front_width, rear_width: m there.

    Plane geometry of the four corners along the arcs, at the two headings of change that need least. ISO 7457:1997 3.4
    allows the clearance circle of a skid-steered machine to be calculated.
    """
    if radius == 0:
        return float(corner_radius(front, front_width) + corner_radius(rear, rear_width))
    headings = np.linspace(0.0, np.pi, _HEADINGS)
    half = np.abs(np.cos(headings)) / 2
    ahead, behind = np.sin(headings) * front, np.sin(headings) * rear
    high = np.maximum(ahead + half * front_width, half * rear_width - behind)
    low = np.minimum(ahead - half * front_width, -behind - half * rear_width)
    tops = _highest(radius * np.cos(headings), radius, high)
    bottoms = -_highest(-radius * np.cos(headings), -radius, -low)
    return float(np.min(tops - bottoms))


def _highest(cosine: Array, radius: float, corner: Array) -> Array:
    """How far the three arcs reach across the lane, m, for every heading at the first change of way (rows) and at the
    second (columns); infinite where the second comes before the first."""
    first, second = cosine[:, None], cosine[None, :]
    backing = np.where(np.arange(cosine.size) < np.arange(cosine.size)[:, None], -np.inf, cosine + corner)
    out = np.maximum.accumulate(radius - cosine + corner)[:, None]
    over = radius - 2 * first + np.maximum.accumulate(backing, axis=1)
    on = radius - 2 * first + 2 * second + np.maximum.accumulate((corner - cosine)[::-1])[::-1]
    return np.where(np.isinf(over), np.inf, np.maximum(np.maximum(out, over), on))


def corner_radius(along: ArrayLike, width: ArrayLike) -> Array:
    """Radius swept by a corner `along` m from the centre of rotation on a line `width` m wide, m. Geometry."""
    return np.hypot(np.asarray(along, float), np.asarray(width, float) / 2)


def bend_clearance(
    first: float, second: float, radius: ArrayLike, front: float, front_width: float, rear: float, rear_width: float
) -> float:
    """Room on each side of a machine that drives round a right-angle bend from one lane into another, m; below 0 it
    does not get round.

    first, second: width of the lanes, m. radius: of its turn, to its middle, m: every one that it can drive, not under
    half its width. front, rear: m from the middle to the foremost and rearmost line. front_width, rear_width: m there.

    It turns about a point up to R_i past the inner corner, so the lanes have to be R_f - R_i sin t and R_r - R_i cos t
    wide, t as suits best: plane geometry. Equal ends, every radius: (L + 2 w)/(2 sqrt 2), as a rectangle carried
    round a corner.
    """
    turn, angle = np.meshgrid(np.asarray(radius, float), np.linspace(0, np.pi / 2, _HEADINGS))
    inner = np.maximum(turn - max(front_width, rear_width) / 2, 0.0)
    into = second - (np.hypot(turn + front_width / 2, front) - inner * np.sin(angle))
    out_of = first - (np.hypot(turn + rear_width / 2, rear) - inner * np.cos(angle))
    return float(np.max(np.minimum(into, out_of))) / 2


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
