"""What dry, moist and wet stand for, soil by soil: in order, within its pores, and near what is published of it."""

import pytest

from pickrig.checks.ground.levels import levels

# Maximum dry density of compacted soil by group, pcf: USBR, Earth Manual, typical properties. Ground lies at 0.80 of it
# in a garden to 0.92 in natural subsoil.
MAXIMUM = {"ML": 103, "CL-ML": 109, "CL": 108, "MH": 82, "CH": 94, "SM": 114, "SC": 115}


@pytest.fixture
def fine(rules):
    return {key: soil for key, soil in rules.soils.items() if soil.family == "fine"}


def test_each_word_is_wetter_than_the_one_before_and_all_have_room(fine, rules):
    for key, soil in fine.items():
        water = levels(soil, rules)
        assert 0 < water.dry < water.dry_moist < water.moist < water.moist_wet < water.wet < water.full, key


@pytest.mark.parametrize("key", MAXIMUM)
def test_density_is_one_that_ground_lies_at(rules, key):
    share = levels(rules.soils[key], rules).density / (MAXIMUM[key] * 16.0185)
    assert 0.78 < share < 0.92


def test_full_pores_hold_what_the_density_leaves(fine, rules):
    grains = rules.strength["solids_density"].value
    for key, soil in fine.items():
        water = levels(soil, rules)
        assert water.full == pytest.approx(1000 / water.density - 1000 / grains), key


def test_wet_ground_is_plastic_and_dry_ground_is_not(fine, rules):
    for key, soil in fine.items():
        water = levels(soil, rules)
        if soil.sticks is not None:
            assert water.dry < soil.sticks.plastic_limit + 0.01, key
            assert water.wet > soil.sticks.plastic_limit, key
