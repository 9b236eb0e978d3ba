"""Snow, rolling resistance, hydraulics and annual cost against printed and independently recomputed examples."""

import numpy as np
import pytest

from pickrig.physics import cost, hydraulics, snow, traction

LBF, IN, PSI, GPM, HP, TON = 4.4482216152605, 0.0254, 6894.757293168, 3.785411784e-3 / 60, 745.6998715822702, 8896.443


def test_traction_of_a_tracked_carrier_on_snow():
    # CRREL 95-1 Table A5: 104,092 N on 2.03225 m2: 44,134.3 N undisturbed, 29,692.1 N disturbed
    pressure, area = 104_092 / 2.03225, 2.03225
    assert snow.gross_traction(pressure, area, "loose") == pytest.approx(44_134.3, rel=1e-4)
    assert snow.gross_traction(pressure, area, "packed") == pytest.approx(29_692.1, rel=1e-4)


@pytest.mark.parametrize(
    ("state", "shares"),
    # traction over weight at 25, 35, 50, 100, 200, 300 kPa, from the same formulas recomputed
    [
        ("loose", [0.481, 0.454, 0.426, 0.377, 0.333, 0.310]),
        ("packed", [0.291, 0.289, 0.285, 0.280, 0.274, 0.271]),
        ("ice", [0.154, 0.157, 0.161, 0.167, 0.175, 0.179]),
    ],
)
def test_traction_over_weight(state, shares):
    pressure = np.array([25, 35, 50, 100, 200, 300]) * 1e3
    assert snow.gross_traction(pressure, 1.0, state) / pressure == pytest.approx(shares, abs=6e-4)


def test_sinkage():
    # CRREL 95-1 Table A5: 15 cm at 200 kg/m3 under 51.2 kPa: 9.0 cm; compact examples: 0.105 and 0.1091 m
    assert snow.sinkage(0.15, 200, 51.2e3) == pytest.approx(0.090)
    assert snow.sinkage(0.15, 150, [37.5e3, 240e3]) == pytest.approx([0.105, 0.1091], abs=5e-5)
    assert snow.sinkage(0.15, 600, 50e3) == 0


def test_force_of_a_full_pusher():
    # w 2.44, h 0.15, m 707 kg, 120 kg/m3, 2 m/s, 0.5, edge 0.3 x 3.0 kN, 2.0 kPa, level: 5.275 kN
    force = snow.pusher_force(707, 2.44, 0.15, 120, 2.0, 0.5, 0.3, 3000, 2000)
    assert force == pytest.approx(5275, abs=2)
    assert snow.pusher_force(707, 2.44, 0.15, 120, 2.0, 0.5, 0.3, 3000, 2000, slope=0.1) > force


def test_time_to_clear_a_lot():
    # L 60, B 45, w 2.44, o 0.24, x 16.10, 2.0 and 2.5 m/s, 10 s, e 0.75: 1.36 h; one load a lane 0.50 h; x 8.05: 2.51 h
    hours = [snow.clearing_time(60, 45, 2.44, 0.24, x, 2.0, 2.5, 10, 0.75) / 3600 for x in (16.10, 60.0, 8.05)]
    assert hours == pytest.approx([1.36, 0.50, 2.51], abs=0.006)


def test_another_state_of_snow_is_refused():
    with pytest.raises(ValueError, match="loose"):
        snow.gross_traction(50e3, 1.0, "slush")


def test_rolling_resistance_rule():
    # 40 lb/ton and 30 lb/ton an inch: 157.6 lb/ton at 3.9 in (university course problem, after Peurifoy)
    assert traction.rolling_resistance(TON) / LBF == pytest.approx(40, rel=1e-3)
    assert traction.rolling_resistance(TON, 3.92 * IN) / LBF == pytest.approx(157.6, rel=2e-3)


def test_hydraulic_power_and_cylinder():
    # 20 gpm at 3,000 psi: 35.0 hp; 38 gpm at 3,300: 73.2; bore 3, rod 1.5 in: 21,206 lbf out, 15,904 in
    power = hydraulics.hydraulic_power(np.array([20, 38]) * GPM, np.array([3000, 3300]) * PSI) / HP
    assert power == pytest.approx([35.0, 73.2], abs=0.06)
    out, back = hydraulics.cylinder_force(3 * IN, 1.5 * IN, 3000 * PSI)
    assert (out / LBF, back / LBF) == pytest.approx((21_206, 15_904), abs=1)


def test_equal_annual_cost():
    # Peurifoy & Schexnayder 6th ed.: 255,000, salvage 50,000, 4 years, 8 %, 2,500 h: $26.358/h exact
    assert cost.equal_annual_cost(255_000, 50_000, 4, 0.08) / 2500 == pytest.approx(26.358, abs=5e-4)
    # Iowa State: 93,500, salvage 25,300, 15 years, 5 %: 7,836 a year
    assert cost.equal_annual_cost(93_500, 25_300, 15, 0.05) == pytest.approx(7836, abs=1)
    assert cost.equal_annual_cost(1000, 400, 3, 0.0) == pytest.approx(200)
    assert cost.equal_annual_cost(1.0, 0.0, 5, [0.05, 0.08, 0.10]) == pytest.approx(
        [0.23097, 0.25046, 0.26380], abs=5e-6
    )
