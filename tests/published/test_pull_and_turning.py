"""Pull, sinkage, turning and slabs against printed and independently recomputed examples."""

import numpy as np
import pytest

from pickrig.physics import sinkage, slab, snow, traction, turning

LBF, IN, PSI, TON, G = 4.4482216152605, 0.0254, 6894.757293168, 8896.443, 9.80665
RUBICON = {"k_c": 6.9e3, "k_phi": 752e3, "n": 0.66}  # Wong 4th ed. Table 2.3
US_SNOW = {"k_c": 4.37e3, "k_phi": 196.72e3, "n": 1.6}


def test_grade_and_rolling_resistance_of_a_hauler():
    # 86 US tons at 120 lb/ton: level, +2 %, -5 %: 10,320; 13,760; 1,720 lb (university course). The trade takes W tan
    # for W sin, so the grade's part is set against tan here
    grade = np.array([0.0, 0.02, -0.05])
    as_the_trade = traction.grade_resistance(86 * TON, grade) / np.cos(np.arctan(grade))
    assert (120 * 86 * LBF + as_the_trade) / LBF == pytest.approx([10_320, 13_760, 1_720], abs=1)
    # 73,789 lb up 4 %: grade 2,952 lb
    assert traction.grade_resistance(73_789, 0.04) == pytest.approx(2952, rel=1e-3)


def test_rimpull_is_the_trade_formula():
    # 375 hp e / mph, lb
    assert traction.rimpull(70 * 745.6998715822702, 3 * 0.44704, 0.8) / LBF == pytest.approx(
        375 * 70 * 0.8 / 3, rel=1e-6
    )


def test_thrust_and_compaction_of_a_long_track():
    # Wong's example, vehicle A: W 135 kN, two tracks 1.0 x 3.6 m, US snow values, c 1.0 kPa, phi 19.7, K 50 mm
    sunk = sinkage.track_sinkage(135e3 / 7.2, 1.0, 4.37e3, 196.72e3, 1.6)
    assert sunk == pytest.approx(0.227, abs=5e-4)
    assert 2 * sinkage.compaction_resistance(1.0, sunk, 4.37e3, 196.72e3, 1.6) == pytest.approx(3.27e3, rel=5e-3)
    slips = np.array([0.05, 0.10, 0.20, 0.40, 0.60, 0.80])
    thrust = traction.soil_thrust(135e3, 7.2, 1.0e3, 19.7, 3.6, 0.050, slips)
    assert thrust / 1e3 == pytest.approx([40.5, 47.8, 51.7, 53.6, 54.3, 54.6], abs=0.06)


def test_a_longer_narrower_track_pulls_more_and_sinks_to_less_resistance():
    wide, narrow = (
        traction.soil_thrust(135e3, 7.2, 1.0e3, 19.7, length, 0.050, np.array([0.05, 0.2, 0.8]))
        for length in (3.6, 4.5)
    )
    assert np.all(narrow > wide)


def test_compact_tracked_loader_on_two_terrains():
    # W 44.5 kN, b 0.45, L 1.52, K 25 mm, 20 %: Rubicon z 8.3 mm, Rc 0.147, F 28.03 kN; US snow z 0.315, Rc 3.55, F
    # 15.06
    pressure, area = 44.5e3 / (2 * 0.45 * 1.52), 2 * 0.45 * 1.52
    soil = sinkage.track_sinkage(pressure, 0.45, **RUBICON)
    assert soil == pytest.approx(0.0083, abs=5e-5)
    assert 2 * sinkage.compaction_resistance(0.45, soil, **RUBICON) == pytest.approx(147, abs=1)
    assert traction.soil_thrust(44.5e3, area, 3.7e3, 29.8, 1.52, 0.025) == pytest.approx(28.03e3, rel=1e-3)
    deep = sinkage.track_sinkage(pressure, 0.45, **US_SNOW)
    assert deep == pytest.approx(0.315, abs=5e-4)
    assert 2 * sinkage.compaction_resistance(0.45, deep, **US_SNOW) == pytest.approx(3.55e3, rel=2e-3)
    assert traction.soil_thrust(44.5e3, area, 1.03e3, 19.7, 1.52, 0.040) == pytest.approx(15.06e3, rel=2e-3)


def test_compact_wheel_on_two_terrains():
    # 8 kN, b 0.30, D 0.84: Rubicon 73 mm, 1.823 kN; US snow 0.559 m
    sunk = sinkage.wheel_sinkage(8e3, 0.84, 0.30, **RUBICON)
    assert sunk == pytest.approx(0.073, abs=5e-4)
    assert sinkage.compaction_resistance(0.30, sunk, **RUBICON) == pytest.approx(1823, abs=5)
    assert sinkage.wheel_sinkage(8e3, 0.84, 0.30, **US_SNOW) == pytest.approx(0.559, abs=1e-3)


@pytest.mark.parametrize(
    ("eccentricity", "share"), [(0.0, 0.2500), (0.05, 0.2445), (0.10, 0.2287), (1 / 6, 0.1953), (-0.1, 0.2287)]
)
def test_turning_moment_of_tracks(eccentricity, share):
    # M / (mu W L) by e/L: rigid strip with trapezoidal pressure, recomputed independently for the handbook
    assert turning.track_turning_moment(1.0, 1.0, 1.0, eccentricity) == pytest.approx(share, abs=6e-5)


def test_turning_moment_is_continuous_where_the_formula_would_divide_by_zero():
    near, at = turning.track_turning_moment(1.0, 1.0, 1.0, np.array([2e-6, 0.0]))
    assert near == pytest.approx(at, abs=1e-6)


def test_turning_a_compact_tracked_loader():
    # W 44.5 kN, L 1.52: mu 0.9 15.22 kN m and 23.9 kJ a quarter turn; 0.65 10.99; 0.5 8.455; 0.3 5.073
    moments = turning.track_turning_moment(44.5e3, 1.52, np.array([0.9, 0.65, 0.5, 0.3]))
    assert moments / 1e3 == pytest.approx([15.22, 10.99, 8.455, 5.073], abs=0.006)
    assert moments[0] * np.pi / 2 / 1e3 == pytest.approx(23.9, abs=0.05)


def test_turning_four_wheels():
    # per mu W: wheels Lw 1.07: quarter turn 0.588 at 65/35, 0.840 at 50/50; tracks L 1.52: 0.597
    quarter = np.pi / 2
    assert turning.wheel_turning_moment(0.35, 0.65, 1.07, 1.0) * quarter == pytest.approx(0.588, abs=6e-4)
    assert turning.wheel_turning_moment(0.5, 0.5, 1.07, 1.0) * quarter == pytest.approx(0.840, abs=6e-4)
    assert turning.track_turning_moment(1.0, 1.52, 1.0) * quarter == pytest.approx(0.597, abs=6e-4)


def test_radius_factor():
    # B 1.4, mu 0.8: R 0.7 0.800, 1.4 0.744, 2.8 0.653, 7 0.478, 14 0.330
    factors = 0.8 * turning.radius_factor(np.array([0.7, 1.4, 2.8, 7, 14]), 1.4)
    assert factors == pytest.approx([0.800, 0.744, 0.653, 0.478, 0.330], abs=6e-4)


def test_lateral_drag():
    # L 1.52, R 10 m: 28.9 mm; R 11.6 m: 25 mm; wheels l 0.2558, Lw 1.07, R 10: 13.7 mm
    assert turning.track_drag(1.52, np.array([10, 11.6])) == pytest.approx([0.0289, 0.025], abs=2e-4)
    assert turning.wheel_drag(0.2558, 1.07, 10) == pytest.approx(0.0137, abs=5e-5)


def test_stress_in_a_thin_slab():
    # P 3,399 lb at 50 psi, E 4e6 psi, k 100 pci: h 3.5 in 318 and edge 463; 4 257, 379; 5 178, 267; 6 131, 198 psi
    inside, edge = slab.slab_stress(3399 * LBF, 50 * PSI, np.array([3.5, 4, 5, 6]) * IN, 4e6 * PSI, 100 * PSI / IN)
    assert inside / PSI == pytest.approx([318, 257, 178, 131], abs=0.6)
    assert edge / PSI == pytest.approx([463, 379, 267, 198], abs=0.6)


def test_flexural_strength():
    # f'c 4,000 psi: 569 psi (PCA practice)
    assert slab.flexural_strength(4000 * PSI) / PSI == pytest.approx(569, abs=0.5)


def test_pressure_over_a_buried_pipe():
    # 3,399 lb on 10 x 10 in, 36 in down, 2:1: 1.61 psi
    assert slab.spread_pressure(3399 * LBF, 10 * IN, 10 * IN, 36 * IN) / PSI == pytest.approx(1.61, abs=0.005)


def test_motion_in_snow_of_a_tracked_loader():
    # W 42 kN, 2 x 0.40 x 1.40 m, alpha 30, 0.15 m of 150 kg/m3: z 0.105, a 0.210, R 2 x 689 N; T 18.82/12.09/6.63 kN
    pressure, area = 42e3 / (2 * 0.40 * 1.40), 2 * 0.40 * 1.40
    sunk = snow.sinkage(0.15, 150, pressure)
    arc = snow.arc_under_track(sunk, 30)
    assert (sunk, arc) == pytest.approx((0.105, 0.210), abs=5e-4)
    assert snow.track_resistance(150, 0.40, arc) == pytest.approx(689, abs=1)
    pulls = [snow.gross_traction(pressure, area, state) / 1e3 for state in ("loose", "packed", "ice")]
    assert pulls == pytest.approx([18.82, 12.09, 6.63], abs=0.006)


def test_motion_in_snow_of_a_wheeled_loader():
    # W 33 kN, 240 kPa, r 0.39, w 0.264, 8.25 kN a wheel: z 0.1091, a 0.2990, R1 306 N, half the machine 698 N
    sunk = snow.sinkage(0.15, 150, 240e3)
    arc = snow.arc_under_wheel(0.39, sunk)
    assert (sunk, arc) == pytest.approx((0.1091, 0.2990), abs=5e-5)
    leading = snow.leading_wheel_resistance(150, 0.264, arc)
    assert leading == pytest.approx(306, abs=1)
    assert leading + snow.following_wheel_resistance(0.15, 8.25e3) == pytest.approx(698, abs=1)


def test_motion_in_snow_of_a_tracked_carrier():
    # CRREL 95-1 Table A5: 15 cm of 200 kg/m3, 51.2 kPa, tracks 0.381 m; with alpha 25.95 the two tracks resist 1,681.9
    # N
    arc = snow.arc_under_track(snow.sinkage(0.15, 200, 51.2e3), 25.95)
    assert 2 * snow.track_resistance(200, 0.381, arc) == pytest.approx(1681.9, rel=2e-3)


@pytest.mark.parametrize(
    ("density", "depth", "measured"), [(110, 0.135, 0.030), (165, 0.16, 0.049), (220, 0.20, 0.078)]
)
def test_wheels_in_snow_against_measurement(density, depth, measured):
    # CRREL TR-01-16 Table 11, r 0.38 m; w 0.27 m and 6.8 kN assumed: 0.030, 0.049, 0.078 of the load, recomputed
    arc = snow.arc_under_wheel(0.38, snow.sinkage(depth, density, 200e3))
    assert snow.leading_wheel_resistance(density, 0.27, arc) / 6.8e3 == pytest.approx(measured, rel=0.08)


def test_density_of_new_snow():
    # Hedstrom & Pomeroy: 119 at 0, 92 at -2, 69 at -10 degC
    assert snow.new_snow_density(np.array([0, -2, -10])) == pytest.approx([119, 92, 69], abs=0.6)


def test_what_grip_and_box_can_hold():
    # w 2.44, h 0.15, 120 kg/m3, 2 m/s: P 9.0 kN 1,467 kg; on ice P 3.3 kN, edge 0.15: 396 kg
    mass = snow.most_snow(9e3, 2.44, 0.15, 120, 2.0, 0.5, 0.3, 3e3, 2e3)
    assert mass == pytest.approx(1467, abs=1)
    assert mass / (120 * 2.44 * 0.15) == pytest.approx(33.4, abs=0.05)
    assert snow.most_snow(3.3e3, 2.44, 0.15, 120, 2.0, 0.5, 0.15, 3e3, 2e3) == pytest.approx(396, abs=1)
    assert snow.most_snow(1e3, 2.44, 0.15, 120, 2.0, 0.5, 0.3, 3e3, 2e3) == 0


def test_pile_of_a_lot():
    # 2,700 m2 x 0.15 m of 120 into 450 kg/m3: 108 m3; at 40 degrees r 4.97, height 4.17 m
    volume = 2700 * 0.15 * 120 / 450
    assert volume == pytest.approx(108)
    assert snow.pile(volume, 40) == pytest.approx((4.97, 4.17), abs=0.006)


def test_contact_that_reaches_the_pavement():
    # film, wet pavement 0.55, packed 0.27: tyre s 0.4 0.38; snow tyre 0.5 0.41; block track 0.1 0.30; snow track 0.2
    # 0.33
    mixed = traction.mixed_traction(np.array([0.4, 0.5, 0.1, 0.2]), 0.55, 0.27)
    assert mixed == pytest.approx([0.38, 0.41, 0.30, 0.33], abs=0.005)
