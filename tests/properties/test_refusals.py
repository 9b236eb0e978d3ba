"""What the equations refuse, in place of a number without meaning."""

import pytest

from pickrig import scoring
from pickrig.physics import cone_index, contact, snow


@pytest.mark.parametrize("curve", [cone_index.vehicle_cone_index_wheeled, cone_index.vehicle_cone_index_tracked])
def test_less_than_one_pass(curve):
    with pytest.raises(ValueError, match="one or more"):
        curve(40.0, 0.5)


def test_a_soil_group_without_published_coefficients():
    with pytest.raises(ValueError, match="GW"):
        cone_index.rating_cone_index("GW", 0.1)


def test_a_machine_that_tips():
    with pytest.raises(ValueError, match="tips"):
        contact.track_pressure(1.0, 1.0, 0.5, eccentricity=0.5)


def test_another_state_of_snow():
    with pytest.raises(ValueError, match="loose"):
        snow.gross_traction(50e3, 1.0, "slush")


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: scoring.piecewise_value(1, [1, 1], [0, 1]), "increase"),
        (lambda: scoring.piecewise_value(1, [1, 2, 3], [0, 1, 0.5]), "rise or fall"),
        (lambda: scoring.from_points([0, 0]), "points"),
        (lambda: scoring.rank_order_centroid(0), "at least one"),
        (lambda: scoring.pairwise_share([0.3, 0.3, -0.1]), "nearly equal"),
    ],
)
def test_curves_points_and_differences_without_meaning(call, says):
    with pytest.raises(ValueError, match=says):
        call()
