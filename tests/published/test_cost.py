"""Owning, operating, renting and remaining value against published examples and independently recomputed ones."""

import numpy as np
import pytest

from pickrig.physics import cost

HP, GALLON = 745.6998715822702, 3.785411784e-3


def test_ownership_of_a_large_machine_to_the_cent():
    # EP 1110-1-8 vol. 8 Fig. 2-1: TEV 1,181,907, LIFE 20,000, WHPY 1,540, SLV 0.20, tyres 10,560 x 2,373/2,515: $46.78
    tyres = 10_560 * round(2373 / 2515, 3)
    assert float(cost.depreciation(1_181_907, 0.20, tyres, 20_000)) == pytest.approx(46.78, abs=0.005)
    assert pytest.approx(12.99, abs=0.005) == 20_000 / 1540


def test_average_annual_investment_of_a_tractor():
    # Peurifoy & Schexnayder 6th ed.: 255,000, salvage 50,000, 4 years, 8 %, 2,500 h: AAI 178,125, money 5.70 $/h
    factor = cost.average_value_factor(4, 50_000 / 255_000)
    assert 255_000 * factor == pytest.approx(178_125)
    assert cost.cost_of_money(255_000, factor, 0.08, 2500) == pytest.approx(5.70)
    assert cost.depreciation(255_000, 50_000 / 255_000, 0, 10_000) == pytest.approx(20.50)


@pytest.mark.parametrize(
    ("price", "rubber", "life", "rows"),
    # two invented machines, recomputed independently: 5 %, SLV 0.25, 6,000 h, 800 h a year, 70 hp at 0.45, $4, RCF 0.70
    [(62_000, 2400, 800, [7.35, 2.62, 6.48, 6.95, 3.00]), (78_000, 3600, 1100, [9.15, 3.29, 6.48, 8.68, 3.27])],
)
def test_an_hour_of_wheels_and_of_tracks(price, rubber, life, rows):
    factor = cost.average_value_factor(7.5, 0.25)
    assert factor == pytest.approx(0.675)
    fuel = cost.fuel_flow(70 * HP, 0.45) * 3600 / GALLON * 4.00
    got = [
        cost.depreciation(price, 0.25, rubber, 6000),
        cost.cost_of_money(price, factor, 0.05, 800),
        fuel,
        cost.repair_rate(price, rubber, 0.70, 6000),
        rubber / life,
    ]
    assert got == pytest.approx(rows, abs=0.0051)


def test_fuel_of_a_seventy_horse_engine():
    # 70 hp at load factors 0.21, 0.45, 0.59: 0.76, 1.62, 2.12 gal/h
    flow = cost.fuel_flow(70 * HP, np.array([0.21, 0.45, 0.59])) * 3600 / GALLON
    assert flow == pytest.approx([0.76, 1.62, 2.12], abs=0.006)


def test_remaining_value_curves():
    # largest tractor class at 15 years and 400 h: 22.8 %, the 23 % Iowa State prints; smallest: 500 h/yr by age; 5
    # years
    assert 100 * cost.remaining_value(15, 400, 0.9756, 0.1187, 0.0019) == pytest.approx(22.8, abs=0.1)
    ages = 100 * cost.remaining_value(np.array([1, 2, 3, 4, 5, 7, 10]), 500, 0.9809, 0.0934, 0.0058)
    assert ages == pytest.approx([57, 52, 48, 44, 41, 37, 31], abs=0.6)
    hours = 100 * cost.remaining_value(5, np.array([250, 800, 1000]), 0.9809, 0.0934, 0.0058)
    assert hours == pytest.approx([46, 37, 35], abs=0.6)


def test_repair_ends_at_the_level_of_the_schedule():
    # $70,000, RCF 0.70 over 8,000 h: 24,500 after 4,000 h flat; the rising shape is lower before the end and equal at
    # it
    assert 4000 * cost.repair_rate(70_000, 0, 0.70, 8000) == pytest.approx(24_500)
    assert cost.repaired_by(8000, 70_000, 0.70, 8000) == pytest.approx(8000 * cost.repair_rate(70_000, 0, 0.70, 8000))
    assert cost.repaired_by(4000, 70_000, 0.70, 8000) < 24_500


def test_buy_against_rent():
    # P 70,000, S 26,000, 7 %, 5 years, insurance 2 %: F 13,951; v_o 16.5; month 3,600/176 + 7.5: 1,218 h; day rate 340
    # h
    owning = cost.equal_annual_cost(70_000, 26_000, 5, 0.07) + 0.02 * 70_000
    assert owning == pytest.approx(13_951, abs=1)
    assert cost.break_even_hours(owning, 3600 / 176, 7.5, 16.5) == pytest.approx(1218, abs=1)
    assert cost.break_even_hours(owning, 400 / 8, 7.5, 16.5) == pytest.approx(340, abs=1)
    for salvage, hours in ((20_000, 1309), (32_000, 1127)):
        fixed = cost.equal_annual_cost(70_000, salvage, 5, 0.07) + 1400
        assert cost.break_even_hours(fixed, 3600 / 176, 7.5, 16.5) == pytest.approx(hours, abs=1)
    assert np.isinf(cost.break_even_hours(owning, 5.0, 7.5, 16.5))


def test_present_value_at_rate_zero_is_the_sum():
    payments = np.array([[-100.0, 30.0, 30.0, 60.0]])
    assert cost.present_value(payments, 0.0) == pytest.approx([20.0])
    assert cost.present_value([-255_000, 0, 0, 0, 50_000], 0.08) == pytest.approx(-255_000 + 50_000 / 1.08**4)
