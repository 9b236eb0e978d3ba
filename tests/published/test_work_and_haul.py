"""Cycles, tongue weight, tie-downs, slopes and hydraulics against printed and independently recomputed examples."""

import numpy as np
import pytest

from pickrig.physics import cycle, haul, hydraulics, tipping

LB, FT, IN, GPM, PSI, HP = 0.45359237, 0.3048, 0.0254, 3.785411784e-3 / 60, 6894.757293168, 745.6998715822702
MPH, CY = 0.44704, 0.764554857984


def test_track_loader_cycle_of_a_performance_handbook():
    # 47th ed. p. 18-31: 2.4 yd3, moist loam, K 1.15, load factor 0.81, 100 ft: 0.15 + 0.20 + 0.40 + 0.05 = 0.80 min; 75
    # cycles an hour at 100 %: 2.76 LCY -> 2.24 BCY, 168 BCY/h; with the 50-minute hour 140
    fixed = (0.15 + 0.20 + 0.05) * 60
    speed = 2 * 100 * FT / (0.40 * 60)
    time = cycle.cycle_time(fixed, 100 * FT, speed, speed)
    assert time / 60 == pytest.approx(0.80)
    bank = 2.4 * 1.15 * 0.81
    assert bank == pytest.approx(2.24, abs=0.005)
    assert cycle.production(bank, time, 1.0) * 3600 == pytest.approx(168, abs=0.5)
    assert cycle.production(bank, time, 50 / 60) * 3600 == pytest.approx(140, abs=0.5)


def test_compact_loader_cycle():
    # 0.60 yd3, K 0.95, fixed 0.45 min, 200 ft at 4 mph loaded, 6 empty: T 1.397 min; 35.8 loads/h at 50 min; 20.4 LCY/h
    time = cycle.cycle_time(0.45 * 60, 200 * FT, 4 * MPH, 6 * MPH)
    assert time / 60 == pytest.approx(1.397, abs=5e-4)
    assert 3600 / time * 50 / 60 == pytest.approx(35.8, abs=0.05)
    assert cycle.production(0.60 * 0.95, time, 50 / 60) * 3600 == pytest.approx(20.4, abs=0.05)


def test_area_rate():
    # 4 mph, 6 ft, e 0.75: 2.18 acre/h = 95,040 ft2/h
    assert cycle.area_rate(4 * MPH, 6 * FT, 0.75) * 3600 / FT**2 == pytest.approx(95_040, rel=1e-6)


def test_swell_and_load_factor():
    # load factor 1/(1 + swell): 5 % .952, 25 % .800, 35 % .741
    assert 1 / cycle.loose_volume(1.0, np.array([0.05, 0.25, 0.35])) == pytest.approx([0.952, 0.800, 0.741], abs=5e-4)


def test_tongue_weight():
    # A 160 in; trailer 2,600 lb at 150; machine 8,000 lb at 136 1,363 (12.9 %), 140 1,163 (11.0 %), 144 963 (9.1 %)
    weights = np.array([2600.0, 8000.0])
    tongues = [haul.tongue_weight(weights, np.array([150.0, x]), np.array(160.0)) for x in (136, 140, 144)]
    assert tongues == pytest.approx([1363, 1163, 963], abs=1)
    assert np.array(tongues) / 10_600 == pytest.approx([0.129, 0.110, 0.091], abs=6e-4)
    # the window of 10 to 15 %: 142.0 to 131.5 in
    assert haul.parking_position(np.array([0.10, 0.15]), 8000, 2600, 150, 160) == pytest.approx(
        [142.0, 131.5], abs=0.15
    )


def test_direct_tie_downs():
    # 9,500 lb, four direct 5/16 G70 of 4,700 lb: 9,400 against 4,750, a factor 1.98
    assert haul.direct_tie_downs(9500, 4700, 4) == pytest.approx(1.98, abs=0.005)


@pytest.mark.parametrize(
    ("feet", "pounds", "blocked", "count"),
    # 49 CFR 393.110: 1 to 5 ft and 1,100 lb; 2 if heavier, or 5-10 ft; one more a further 10 ft or part; blocked 1 a
    # 10 ft
    [(4, 1000, False, 1), (4, 1200, False, 2), (8, 900, False, 2), (12, 900, False, 3), (25, 900, False, 4),
     (8, 900, True, 1), (12, 900, True, 2)],
)  # fmt: skip
def test_least_tie_downs(feet, pounds, blocked, count):
    assert haul.least_tie_downs(feet * FT, pounds * LB, blocked) == count


def test_ramp_angle():
    assert haul.ramp_angle(0.6, 1.8) == pytest.approx(np.degrees(np.arcsin(1 / 3)))


def test_tipping_load_on_a_slope():
    # W 7,500, x 29.35, a 48, h 30, h_L 52: 0 4,586; 5 3,814 (83 %); 10 3,156 (69 %); 15 deg 2,581 lb (56 %)
    factors = tipping.grade_factor(29.35, 30, 48, 52, np.tan(np.radians([0, 5, 10, 15])))
    assert 4586 * factors == pytest.approx([4586, 3814, 3156, 2581], abs=3)


def test_counterweight():
    # by moments: 300 lb 60 in behind the tipping line hold 375 lb at 48 in
    assert tipping.counterweight_gain(300, 60, 48) == pytest.approx(375)


def test_heat_over_a_relief_valve():
    # 20 gpm at 3,000 psi: 89,070 BTU/h, 26.1 kW
    assert hydraulics.heat(20 * GPM, 3000 * PSI) / 1e3 == pytest.approx(26.1, abs=0.05)
    assert hydraulics.heat(20 * GPM, 3000 * PSI) / HP * 2544.43 == pytest.approx(89_070, rel=1e-3)


def test_cylinder_speed():
    # bore 3 in at 20 gpm: 0.908 ft/s out
    assert hydraulics.cylinder_speed(20 * GPM, np.pi * (3 * IN) ** 2 / 4) / FT == pytest.approx(0.908, abs=1e-3)


def test_motor_torque():
    # 24.7 in3/rev at 2,500 psi without loss: p D / 2 pi = 819 lbf ft
    torque = hydraulics.motor_torque(24.7 * IN**3, 2500 * PSI, 1.0)
    assert torque / (4.4482216152605 * FT) == pytest.approx(2500 * 24.7 / (2 * np.pi) / 12, rel=1e-9)
