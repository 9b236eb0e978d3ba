"""Contact, bearing, tipping, turning, frost and life against printed and independently recomputed examples."""

import numpy as np
import pytest

from pickrig.physics import bearing, contact, cost, frost, tipping, turning

LBF, IN, PSI, LB_KG = 4.4482216152605, 0.0254, 6894.757293168, 0.45359237


def test_bearing_factors_of_gec6():
    # FHWA-SA-02-054 (GEC-6) Table 5-1, one decimal; Vesic Ngamma
    angles = [0, 5, 10, 15, 20, 25, 30, 35, 40]
    n_c, n_q, n_g = bearing.bearing_factors(angles)
    assert n_c == pytest.approx([5.14, 6.5, 8.3, 11.0, 14.8, 20.7, 30.1, 46.1, 75.3], abs=0.05)
    assert n_q == pytest.approx([1.0, 1.6, 2.5, 3.9, 6.4, 10.7, 18.4, 33.3, 64.2], abs=0.05)
    assert n_g == pytest.approx([0.0, 0.5, 1.2, 2.6, 5.4, 10.9, 22.4, 48.0, 109.4], abs=0.06)


@pytest.mark.parametrize(("c", "phi", "kpa"), [(25e3, 0, 134.79), (0.0, 32, 97.9), (5e3, 30, 246.3)])
def test_surface_capacity_of_a_track_on_the_ground(c, phi, kpa):
    # Vesic (1975), B 0.40 L 1.60 gamma 18, recomputed independently for the handbook
    assert bearing.surface_capacity(0.40, 1.60, c, phi, 18e3) / 1e3 == pytest.approx(kpa, abs=0.05)
    assert bearing.surface_capacity(1.60, 0.40, c, phi, 18e3) / 1e3 == pytest.approx(kpa, abs=0.05)


def test_track_pressure_worked_example():
    # 10,000 lb on two 17.7 x 60 in tracks, resultant 6 in behind centre; then 2,000 lb carried, 5.33 in ahead
    mean, peak = contact.track_pressure(10_000 * LBF, 60 * IN, 17.7 * IN, eccentricity=-6 * IN)
    assert (mean / PSI, peak / PSI) == pytest.approx((4.71, 7.53), abs=0.006)
    offset = contact.resultant_offset(10_000 * LBF, 60 * IN, 0.6, 2000 * LBF, (62 - 30) * IN)
    assert offset / IN == pytest.approx(5.33, abs=0.006)
    mean, peak = contact.track_pressure(12_000 * LBF, 60 * IN, 17.7 * IN, eccentricity=offset)
    assert (mean / PSI, peak / PSI) == pytest.approx((5.65, 8.66), abs=0.006)


def test_track_pressure_ratios_through_the_middle_third():
    # p_max/p by e/L: rigid strip, recomputed independently for the handbook
    mean, peak = contact.track_pressure(1.0, 1.0, 0.5, eccentricity=[0, 0.05, 0.10, 1 / 6, 0.20, 0.25])
    assert peak / mean == pytest.approx([1.00, 1.30, 1.60, 2.00, 2.22, 2.67], abs=0.005)
    with pytest.raises(ValueError, match="tips"):
        contact.track_pressure(1.0, 1.0, 0.5, eccentricity=0.5)


def test_effective_length_example():
    # 4,500 kg on two 0.40 x 1.45 m tracks, e = 0.15: L' 1.15, 48.0 kPa; UFC 3-220-20 5-3.3
    length = contact.effective_length(1.45, 0.15)
    assert length == pytest.approx(1.15)
    assert 4500 * 9.80665 / 2 / (0.40 * length) / 1e3 == pytest.approx(48.0, abs=0.05)


def test_axle_loads_worked_example():
    # W 7,500 lb, L 44 in, rear share 0.667, P 2,200 lb at 42 in: F 6,798, R 2,903; empty F 2,498, R 5,003
    assert np.array(contact.axle_loads(7500, 44, 0.667, 2200, 42)) == pytest.approx([6798, 2903], abs=1)
    assert np.array(contact.axle_loads(7500, 44, 0.667)) == pytest.approx([2498, 5003], abs=1)
    # W 33.4 kN, Lw 1.07, r 0.667, P 9.8, a 1.07: F 30.72, R 12.48
    assert np.array(contact.axle_loads(33.4, 1.07, 0.667, 9.8, 1.07)) == pytest.approx([30.72, 12.48], abs=0.006)


def test_tyre_patch_worked_example():
    # b 0.305, d 0.838, deflection 0.020, 8.34 kN: l 0.2558 m, A 0.06128 m2, 136.1 kPa
    length, area, pressure = contact.tyre_patch(8340, 0.838, 0.305, 0.020)
    assert (length, area, pressure / 1e3) == pytest.approx((0.2558, 0.06128, 136.1), rel=5e-4)


def test_tyre_deflection_of_the_same_tyre():
    # ECOWOOD eq. 2.22 at 240 kPa, section height 0.21 m: ratio 0.08 empty (8.34 kN), 0.115 on 15.12 kN
    ratios = contact.tyre_deflection([8340, 15120], 240e3) / 0.21
    assert ratios == pytest.approx([0.08, 0.115], abs=0.001)


def test_moment_balance_worked_example():
    # Rated 4,586 lb at 48 in with a 550 lb bucket at 42; forks 420 lb at 36, pallet centre 58 in: T 3,933 lb
    tipping_on_forks = tipping.tipping_load(4586, 48, 550, 42, 420, 36, 58)
    assert tipping_on_forks == pytest.approx(3933, abs=1)
    assert np.array([0.5, 0.6, 0.8]) * tipping_on_forks == pytest.approx([1966, 2360, 3146], abs=1)
    assert tipping.tipping_load(4586, 48, 550, 42, 550, 42, 48) == pytest.approx(4586)


def test_side_tip_angles():
    # t 52 in; centre at 30 in empty: 40.9 deg; 48.1 in with the load raised: 28.4 deg
    assert tipping.side_tip_angle(52, [30, 48.1]) == pytest.approx([40.9, 28.4], abs=0.05)


def test_end_tip_angles():
    # W 7,500, P 2,200 at 20 in high and 42 in ahead, L 44, h 30, x 29.35 in: nose uphill 26.0, tail uphill 44.4; low,
    # load downhill 25.4, load uphill 48.0; raised to 110 in the sideways angle is that of a centre at 48.1 in
    assert tipping.end_tip_angle([44 - 29.35, 29.35], 30) == pytest.approx([26.0, 44.4], abs=0.05)
    low, raised = tipping.combined_height(7500, 30, 2200, np.array([20, 110]))
    behind = (7500 * 29.35 - 2200 * 42) / 9700
    assert tipping.end_tip_angle([behind, 44 - behind], low) == pytest.approx([25.4, 48.0], abs=0.06)
    assert raised == pytest.approx(48.1, abs=0.05)


def test_turning_worked_examples():
    # Lf 88, bucket 68, Lr 54, machine 66 in: aisle 157.6, full circle 188.7; steered: R_o 168, R_i 70 -> 118.5
    assert turning.spin_aisle(88, 68, 54, 66) == pytest.approx(157.6, abs=0.1)
    assert 2 * turning.corner_radius(88, 68) == pytest.approx(188.7, abs=0.1)
    assert turning.bend_aisle(168, 70) == pytest.approx(118.5, abs=0.05)


def test_frozen_layer_table():
    # CRREL 95-1 Table A4: 10 cm 1,933 lbf wet and 787 dry; 30 cm 17,401 and 7,082
    assert frost.frozen_capacity([0.1, 0.3]) / LBF == pytest.approx([1933, 17401], rel=1e-3)
    assert frost.frozen_capacity([0.1, 0.3], wet=False) / LBF == pytest.approx([787, 7082], rel=1e-3)


def test_mixed_life():
    # 70 % dirt at 1,200 h and 30 % asphalt at 700 h: 988 h
    assert cost.harmonic_life([0.7, 0.3], [1200, 700]) == pytest.approx(988, abs=0.5)


def test_dynamic_cone_to_bearing_ratio():
    # ASTM D6951 at 25 mm a blow: 7.9 % (Webster); CL 1/(0.017019 x 25)^2 = 5.5; CH 1/(0.002871 x 25) = 13.9
    assert bearing.dcp_cbr(0.025) == pytest.approx(7.9, abs=0.05)
    assert bearing.dcp_cbr(0.025, "CL") == pytest.approx(5.52, abs=0.01)
    assert bearing.dcp_cbr(0.025, "CH") == pytest.approx(13.93, abs=0.01)
    # pocket card bands: 12 kPa at CBR 0.4, 193 at 6.4
    assert bearing.cbr_undrained([0.4, 6.4]) / 1e3 == pytest.approx([12, 193], rel=0.01)
