"""Moment balance: what a loader can hold at its reach before the tail lifts."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def tipping_load(
    rated_tipping: ArrayLike,
    rated_reach: ArrayLike,
    rated_attachment: ArrayLike,
    rated_attachment_reach: ArrayLike,
    attachment: ArrayLike,
    attachment_reach: ArrayLike,
    load_reach: ArrayLike,
) -> Array:
    """Tipping load with another attachment fitted, N.

    rated_tipping: N, with the attachment used for the rating. rated_attachment, attachment: weights of that
    attachment and of the fitted one, N. Reaches: m ahead of the tipping line (front axle, or front end of the track's
    contact length) with the arms at greatest reach: of the rated load, of each attachment's centre of gravity, of the
    load now.

    T = (T_r a_r + m_r c_r - m c) / a: moments about the tipping line. Statics; level, hard ground. May come out
    negative where the attachment alone tips the machine.
    """
    rated = np.asarray(rated_tipping, float) * np.asarray(rated_reach, float)
    rated_bucket = np.asarray(rated_attachment, float) * np.asarray(rated_attachment_reach, float)
    fitted = np.asarray(attachment, float) * np.asarray(attachment_reach, float)
    return (rated + rated_bucket - fitted) / np.asarray(load_reach, float)


def side_tip_angle(track_gauge: ArrayLike, centre_height: ArrayLike) -> Array:
    """Slope across which a standing machine tips over sideways, degrees: atan((t/2)/h).

    track_gauge: m between tyre or track centres. centre_height: m, centre of gravity of machine and load together.
    Statics (half gauge over height, as NHTSA's static stability factor). A static angle is not a working limit.
    """
    return np.degrees(np.arctan(np.asarray(track_gauge, float) / 2 / np.asarray(centre_height, float)))


def end_tip_angle(distance: ArrayLike, centre_height: ArrayLike) -> Array:
    """Slope straight up or down on which a standing machine tips over its downhill end, degrees: atan(x/h).

    distance: of the centre of gravity from that end's axle, or the end of the contact length, m. centre_height: m. Of
    machine and load together. Negative where the centre lies beyond the end already. Statics; not a working limit.
    """
    return np.degrees(np.arctan(np.asarray(distance, float) / np.asarray(centre_height, float)))


def combined_height(weight: ArrayLike, height: ArrayLike, payload: ArrayLike, payload_height: ArrayLike) -> Array:
    """Height of the centre of gravity of machine and load together, m: (W h + P h_P) / (W + P).

    weight, payload: in the same unit. heights: m. Statics.
    """
    weight, height, payload, load_height = (np.asarray(x, float) for x in (weight, height, payload, payload_height))
    return (weight * height + payload * load_height) / (weight + payload)


def grade_factor(
    centre: ArrayLike, centre_height: ArrayLike, reach: ArrayLike, load_height: ArrayLike, grade: ArrayLike
) -> Array:
    """Tipping load on a slope with the load downhill, over the one on the level: never below zero.

    centre: of the machine behind the tipping line, m. centre_height: m. reach: of the load ahead of the tipping line,
    m. load_height: of the load's centre, m. grade: rise over run, not negative.

    T(b)/T(0) = [(x - h tan b) / x] [a / (a + h_L tan b)]: moments about the tipping line. Statics.
    """
    centre, reach, grade = (np.asarray(x, float) for x in (centre, reach, grade))
    machine = (centre - np.asarray(centre_height, float) * grade) / centre
    return np.maximum(machine, 0.0) * reach / (reach + np.asarray(load_height, float) * grade)


def counterweight_gain(mass: ArrayLike, behind: ArrayLike, reach: ArrayLike) -> Array:
    """What a counterweight adds to the tipping load, in the unit of its mass: m x / a.

    behind: of its centre behind the tipping line, m. reach: of the load ahead of it, m. Moments; statics.
    """
    return np.asarray(mass, float) * np.asarray(behind, float) / np.asarray(reach, float)
