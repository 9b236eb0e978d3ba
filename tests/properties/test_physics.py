"""What must hold of the equations whatever the machine."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from pickrig.physics import bearing, cone_index, contact, cost, tipping, traction

weights = st.floats(3e3, 120e3)
lengths = st.floats(0.6, 2.5)
widths = st.floats(0.15, 0.6)
more = st.floats(1.0, 3.0)


@given(weights, more, lengths, widths, st.integers(6, 16), st.sampled_from([1, 50]))
def test_a_heavier_tracked_machine_never_needs_weaker_ground(weight, factor, length, width, wheels, passes):
    def needs(w):
        index = cone_index.mobility_index_tracked(w, length, width, wheels, 0.086 * width, 0.2, 50e3 / (w / 9.80665))
        return cone_index.vehicle_cone_index_tracked(index, passes)

    assert needs(factor * weight) >= needs(weight)


@given(st.floats(1e3, 50e3), more, st.floats(0.45, 1.1), st.floats(0.2, 0.5), st.sampled_from([1, 50]))
def test_a_heavier_axle_never_needs_weaker_ground_below_the_joint(load, factor, diameter, width, passes):
    def index(w):
        return cone_index.mobility_index_wheeled(w, 2, diameter, width, 0.2, 50e3 / (2 * w / 9.80665))

    below = np.minimum(index(np.array([load, factor * load])), cone_index.MOBILITY_INDEX_JOINT)
    light, heavy = cone_index.vehicle_cone_index_wheeled(below, passes)
    assert heavy >= light


@given(st.sampled_from(["SM", "SC", "ML", "CL-ML", "CL", "CH", "MH", "OL", "OH"]), st.floats(0.05, 0.9), more)
def test_wetter_fine_soil_is_never_stronger_and_never_over_its_cone_index(soil, moisture, factor):
    dry, wet = cone_index.rating_cone_index(soil, [moisture, moisture * factor])
    assert wet <= dry <= cone_index.cone_index(soil, moisture)
    assert cone_index.rating_cone_index_clay(0.3, moisture * factor) <= cone_index.rating_cone_index_clay(0.3, moisture)


@given(weights, lengths, widths, st.floats(-0.99, 0.99))
def test_peak_pressure_carries_the_load(load, length, width, share):
    mean, peak = contact.track_pressure(load, length, width, eccentricity=share * length / 2)
    offset = abs(share) * length / 2
    # the pressure diagram, trapezoid or triangle, encloses the load
    if offset <= length / 6:
        enclosed = (peak + (2 * mean - peak)) / 2 * length * 2 * width
    else:
        enclosed = peak * 3 * (length / 2 - offset) / 2 * 2 * width
    assert np.isclose(enclosed, load)
    assert peak >= mean * (1 - 1e-12)


@given(weights, st.floats(0.8, 3), st.floats(0.3, 0.8), st.floats(0, 20e3), st.floats(0, 2))
def test_axle_loads_balance(weight, base, rear_share, payload, reach):
    front, rear = contact.axle_loads(weight, base, rear_share, payload, reach)
    assert np.isclose(front + rear, weight + payload)
    about_front = rear * base - weight * rear_share * base + payload * reach
    assert abs(about_front) <= 1e-9 * (weight + payload) * (base + reach)


@given(st.floats(0, 45), st.floats(0.1, 0.6), st.floats(0.1, 3), st.floats(0, 100e3))
def test_capacity_grows_with_cohesion_and_friction(phi, width, length, cohesion):
    base = bearing.surface_capacity(width, length, cohesion, phi, 18e3)
    assert bearing.surface_capacity(width, length, cohesion + 1e3, phi, 18e3) > base
    assert bearing.surface_capacity(width, length, cohesion, phi + 1, 18e3) >= base


@given(st.floats(5e3, 60e3), st.floats(0, 6e3), st.floats(0, 2), st.floats(0.5, 3))
def test_same_attachment_same_reach_keeps_the_rating(rated, bucket, bucket_reach, reach):
    assert np.isclose(tipping.tipping_load(rated, reach, bucket, bucket_reach, bucket, bucket_reach, reach), rated)


@given(st.lists(st.tuples(st.floats(0.01, 1), st.floats(50, 5000)), min_size=1, max_size=6))
def test_mixed_life_lies_between_the_lives(pairs):
    shares, lives = np.array(pairs).T
    life = cost.harmonic_life(shares / shares.sum(), lives)
    assert lives.min() * (1 - 1e-9) <= life <= lives.max() * (1 + 1e-9)


@given(st.floats(3.0, 4.5), st.floats(1.0, 1.6), st.floats(0.02, 0.9))
def test_a_longer_narrower_track_of_the_same_area_pulls_no_less(length, factor, slip):
    wide, narrow = (
        traction.soil_thrust(135e3, 7.2, 1.0e3, 19.7, long, 0.050, slip) for long in (length, factor * length)
    )
    assert narrow >= wide * (1 - 1e-12)
