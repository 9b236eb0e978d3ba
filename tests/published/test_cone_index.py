"""Cone-index equations against published pairs and printed check values."""

import numpy as np
import pytest

from pickrig.physics import cone_index as ci

LBF, IN, PSI, FT = ci.POUND_FORCE, ci.INCH, ci.PSI, 0.3048
HP_TON = ci.HP_PER_SHORT_TON


def _invert(function, target_psi):
    grid = np.linspace(1, 114, 200_000)
    return grid[np.argmin(np.abs(function(grid) / PSI - target_psi))]


@pytest.mark.parametrize(
    ("one_pass", "fifty", "family"),
    [
        # 46,000 lbf self-propelled howitzer: US Army Engineer School subcourse EN5341, example
        (21, 49, "tracked"),
        # Main battle tank and 2.5-ton truck: validation list quoted in public code, no page given
        (25, 58, "tracked"),
        (26, 59, "wheeled"),
    ],
)
def test_published_pairs_of_one_and_fifty_passes(one_pass, fifty, family):
    function = {"tracked": ci.vehicle_cone_index_tracked, "wheeled": ci.vehicle_cone_index_wheeled}[family]
    index = _invert(lambda mi: function(mi, 1), one_pass)
    assert function(index, 50) / PSI == pytest.approx(fifty, abs=0.5)  # the list prints whole psi


def test_deflection_factor_of_priddy_and_willoughby():
    # Priddy & Willoughby (2006) p. 7: DCF = (0.15/ratio)^0.25, 1 at 15 %
    ratios = np.array([0.05, 0.10, 0.15, 0.20, 0.25, 0.30, 0.35])
    factors = ci.vehicle_cone_index_wheeled(60.0, 1, ratios) / ci.vehicle_cone_index_wheeled(60.0, 1)
    assert factors == pytest.approx([1.316, 1.107, 1.000, 0.931, 0.880, 0.841, 0.809], abs=6e-4)


def test_weight_classes_of_the_wheeled_index_join():
    # P99 p. 42: 0.553 joins the lightest class to the next within 1 %; the misprint 0.533 leaves a step of 4.5 %
    just_below, just_above = (
        ci.mobility_index_wheeled(w * LBF, 2, 33 * IN, 12 * IN, 0.0, 20 * HP_TON) for w in (1999.99, 2000.0)
    )
    assert just_above / just_below == pytest.approx(1.0, abs=0.01)


COMPACT = [
    # Recomputed independently from the published equations for the handbook: lbf, in, hp
    (
        lambda: ci.mobility_index_tracked(8000 * LBF, 55 * IN, 12.6 * IN, 10, 42.7 * IN**2, 8 * IN, 65 / 4 * HP_TON),
        46.88,
        ci.vehicle_cone_index_tracked,
        15.63,
        37.10,
    ),
    (
        lambda: ci.mobility_index_wheeled(3500 * LBF, 2, 33 * IN, 12 * IN, 8 * IN, 60 / 3.5 * HP_TON),
        47.77,
        ci.vehicle_cone_index_wheeled,
        20.27,
        46.97,
    ),
    (
        lambda: ci.mobility_index_wheeled(4500 * LBF, 2, 33 * IN, 12 * IN, 8 * IN, 60 / 3.5 * HP_TON),
        63.36,
        ci.vehicle_cone_index_wheeled,
        23.57,
        54.09,
    ),
    (
        lambda: ci.mobility_index_wheeled(6750 * LBF, 2, 33 * IN, 12 * IN, 8 * IN, 60 / 3.5 * HP_TON),
        101.19,
        ci.vehicle_cone_index_wheeled,
        31.34,
        70.86,
    ),
]


@pytest.mark.parametrize(("index", "expected", "vci", "one_pass", "fifty"), COMPACT)
def test_compact_machines(index, expected, vci, one_pass, fifty):
    assert index() == pytest.approx(expected, abs=0.006)
    assert vci(index(), 1) / PSI == pytest.approx(one_pass, abs=0.006)
    assert vci(index(), 50) / PSI == pytest.approx(fifty, abs=0.006)


@pytest.mark.parametrize(
    ("soil", "moisture", "psi"),
    # SR-04-1 Table 5.2.1, evaluated independently for the handbook; moisture in % of dry weight
    [
        ("CL", 25, 63.0),
        ("CL", 30, 33.1),
        ("SM", 20, 40.0),
        ("CH", 30, 88.7),
        ("ML", 26.0, 60),
        ("MH", 46.7, 40),
        ("OL", 35.5, 100),
        ("OH", 60, 64),
        ("CL-ML", 36.0, 20),
        ("SC", 14.7, 100),
    ],
)
def test_rating_cone_index_table(soil, moisture, psi):
    assert ci.rating_cone_index(soil, moisture / 100) / PSI == pytest.approx(psi, rel=0.01)


def test_misprints_of_the_table_are_mended():
    # CH at 30 %: cone index 153 psi, remoulding index 0.58; damp sand at 10 % is over full scale, at 5 % about 200
    assert ci.cone_index("CH", 0.30) / PSI == pytest.approx(153, abs=1)
    assert ci.rating_cone_index("CH", 0.30) / ci.cone_index("CH", 0.30) == pytest.approx(0.58, abs=0.005)
    assert ci.rating_cone_index("SP", 0.10) == ci.FULL_SCALE
    assert ci.rating_cone_index("SP", 0.05) / PSI == pytest.approx(np.exp(3.987 + 0.815 * np.log(5)), rel=1e-9)


def test_cap_holds_where_the_raw_equation_exceeds_the_cone_index():
    # MH at 25 %: raw 1,024 psi against a cone index of 312, over full scale
    assert ci.rating_cone_index("MH", 0.25) == ci.FULL_SCALE
    assert ci.rating_cone_index("CL", 0.15) <= ci.cone_index("CL", 0.15)


@pytest.mark.parametrize(("clay", "moisture", "psi"), [(15, 25, 107.1), (35, 30, 123.3), (35, 40, 49.6)])
def test_collins_equation(clay, moisture, psi):
    # Collins (1971) as quoted in Anderson (1983) eq. 1, evaluated independently for the handbook
    assert ci.rating_cone_index_clay(clay / 100, moisture / 100) / PSI == pytest.approx(psi, abs=0.06)


def test_published_go_decision():
    # EN5341: CI 49 x RI 0.87 = RCI 43; the howitzer (VCI 21) crosses once, and does not work all day (VCI50 49)
    rci = 49 * 0.87
    assert rci == pytest.approx(43, abs=0.5)
    index = _invert(lambda mi: ci.vehicle_cone_index_tracked(mi, 1), 21)
    assert ci.vehicle_cone_index_tracked(index, 1) / PSI < rci < ci.vehicle_cone_index_tracked(index, 50) / PSI


def test_critical_layers():
    # SR-13-2 Table 3
    assert np.allclose(np.array(ci.critical_layer_wheeled([1999 * LBF, 2001 * LBF])) / IN, [[3, 6], [9, 12]])
    assert np.allclose(np.array(ci.critical_layer_tracked([3.9 * PSI, 4.1 * PSI])) / IN, [[3, 6], [9, 12]])


def test_other_passes_and_groups_are_refused():
    with pytest.raises(ValueError, match="1 or 50"):
        ci.vehicle_cone_index_wheeled(40.0, 10)
    with pytest.raises(ValueError, match="1 or 50"):
        ci.vehicle_cone_index_tracked(40.0, 10)
    with pytest.raises(ValueError, match="GW"):
        ci.rating_cone_index("GW", 0.1)


def wheeled(load, **more):
    return ci.wheeled_factors(load * LBF, 2, 33 * IN, 12 * IN, 8 * IN, more.pop("power", 20) * HP_TON, **more)


def test_weight_factor_at_the_joints_of_its_classes():
    # P99 p. 42: 1.4955 to 1.497 at 13,500 lbf, 2.42 to 2.445 at 20,000 lbf
    assert wheeled(13_499.99).weight == pytest.approx(1.4955, abs=1e-4)
    assert wheeled(13_500.01).weight == pytest.approx(1.497, abs=1e-4)
    assert wheeled(19_999.99).weight == pytest.approx(2.42, abs=1e-4)
    assert wheeled(20_000.01).weight == pytest.approx(2.445, abs=1e-4)


def test_chains_engine_and_transmission_factors():
    # P99 p. 42: chains 1.05; engine 1.05 below 10 hp/ton; transmission 1.05 when manual
    assert wheeled(5000, chains=True).grouser == 1.05
    assert wheeled(5000, chains=False).grouser == 1.0
    assert [float(wheeled(5000, power=p).engine) for p in (9.99, 10.01)] == [1.05, 1.0]
    assert wheeled(5000, hydrostatic=False).transmission == 1.05
    flags = wheeled(np.array([5000.0, 5000.0]), chains=[True, False], hydrostatic=[True, False])
    assert flags.mobility_index.shape == (2,)


def test_weight_classes_and_grousers_of_the_tracked_index():
    # FM 5-430-00-1 ch. 7: 1.0, 1.2, 1.4, 1.8 at 50,000, 70,000 and 100,000 lbf; 1.1 over 1.5 in
    def factors(load, grouser=0.025):
        area = 100 * IN**2
        return ci.tracked_factors(load * LBF, 100 * IN, 20 * IN, 12, area, 16 * IN, 20 * HP_TON, True, grouser)

    assert [float(factors(w).weight) for w in (49_999, 50_001, 70_001, 100_001)] == [1.0, 1.2, 1.4, 1.8]
    assert [float(factors(9000, g * IN).grouser) for g in (1.5, 1.51)] == [1.0, 1.1]


def test_the_branches_of_the_wheeled_curves_at_their_joint():
    # at MI 115: 34.15 against 34.03 for one pass, 76.90 against 74.70 for fifty
    just = np.array([115.0, 115.0 + 1e-9])
    assert ci.vehicle_cone_index_wheeled(just, 1) / PSI == pytest.approx([34.15, 34.03], abs=0.006)
    assert ci.vehicle_cone_index_wheeled(just, 50) / PSI == pytest.approx([76.90, 74.70], abs=0.006)


@pytest.mark.parametrize(
    ("index", "values"),
    # reference values: wheeled one and fifty passes, tracked one and fifty, psi, deflection factor 1
    [(10, (10.63, 25.75, 6.49, 16.21)), (40, (18.58, 43.31, 14.14, 33.80)), (100, (31.10, 70.34, 26.63, 61.10))],
)
def test_reference_values_of_the_four_curves(index, values):
    curves = (ci.vehicle_cone_index_wheeled, ci.vehicle_cone_index_tracked)
    got = [curve(index, passes) / PSI for curve in curves for passes in (1, 50)]
    assert got == pytest.approx(values, abs=0.006)
