"""The same numbers from independent libraries (test requirements only; versions pinned in pyproject.toml)."""

import geofound
import numpy as np
import pandas as pd
import pyfao56
import pymcdm
import pytest
import refet
import sfsimodels
from geolysis.bearing_capacity.ubc import create_ubc_4_all_soils
from pysensmcda.smaa import exact_acceptability

from pickrig import scoring
from pickrig.physics import bearing, wetness


@pytest.mark.parametrize(("c", "phi"), [(25e3, 0), (0.0, 32), (5e3, 30), (12e3, 0), (1e3, 38)])
@pytest.mark.parametrize(("width", "length"), [(0.40, 1.60), (0.30, 0.30), (0.45, 1.45)])
def test_surface_capacity_against_geofound(c, phi, width, length):
    soil, footing = sfsimodels.Soil(), sfsimodels.RaftFoundation()
    soil.cohesion, soil.phi, soil.unit_dry_weight = c, phi, 18e3
    footing.width, footing.length, footing.depth = width, length, 0.0
    expected = geofound.capacity_vesic_1975(soil, footing)
    # geofound rounds Nc to 5.14 at phi = 0
    assert bearing.surface_capacity(width, length, c, phi, 18e3) == pytest.approx(expected, rel=5e-4)


@pytest.mark.parametrize(("c", "phi"), [(25.0, 0), (0.0, 32), (5.0, 30)])
def test_surface_capacity_against_geolysis(c, phi):
    expected = create_ubc_4_all_soils(
        friction_angle=phi,
        cohesion=c,
        moist_unit_wgt=18,
        depth=1e-9,
        width=0.4,
        length=1.6,
        shape="rectangle",
        ubc_method="vesic",
        factor_of_safety=2,
    ).ultimate_bearing_capacity()
    assert bearing.surface_capacity(0.4, 1.6, c * 1e3, phi, 18e3) / 1e3 == pytest.approx(expected, abs=0.1)


def test_additive_value_against_spotis():
    # SPOTIS with fixed bounds is one minus the additive value with linear curves
    matrix = np.array([[30, 6.5, 2.0, 70], [45, 8.0, 3.5, 90], [55, 7.0, 5.0, 60], [38, 9.5, 2.5, 80]])
    weights, types = np.array([0.4, 0.3, 0.2, 0.1]), np.array([1, 1, -1, -1])
    bounds = np.array([[20, 60], [5, 10], [1, 6], [50, 100]])
    values = np.column_stack(
        [scoring.piecewise_value(matrix[:, j], bounds[j], [0, 1] if types[j] == 1 else [1, 0]) for j in range(4)]
    )
    expected = 1 - pymcdm.methods.SPOTIS(bounds)(matrix, weights, types)
    assert scoring.additive(values, weights) == pytest.approx(expected, abs=1e-12)


def test_first_shares_against_exact_volumes():
    values = np.array([[0.9, 0.2, 0.4], [0.3, 0.8, 0.5], [0.5, 0.5, 0.7], [0.6, 0.6, 0.1]])
    exact = exact_acceptability(values, np.ones(3), scaling="none").acceptability
    assert scoring.first_shares(values) == pytest.approx(exact, abs=0.015)  # 3 standard errors at 10,000 draws


def test_central_weights_against_exact_volumes():
    values = np.array([[0.9, 0.2, 0.4], [0.3, 0.8, 0.5], [0.5, 0.5, 0.7], [0.6, 0.6, 0.1]])
    exact = exact_acceptability(values, np.ones(3), scaling="none").central_weights
    ours = scoring.rank_shares(values).central
    for machine in range(3):  # the last never leads often enough to be told
        assert ours[machine] == pytest.approx(exact[machine], abs=0.02)


def test_radiation_against_refet():
    latitudes, days = np.array([-20.0, 0.0, 44.0, 60.0]), np.array([246, 80, 196, 15])
    expected = refet.calcs.ra_daily(np.radians(latitudes), days, method="asce")  # the same declination as FAO-56
    assert wetness.extraterrestrial_radiation(latitudes, days) / 1e6 == pytest.approx(expected, rel=1e-9)


def test_bare_soil_evaporation_against_pyfao56():
    # loam of FAO-56 Table 19 at ET0 4.5 mm: a soaking on the first day, then ten dry ones
    names = ["Srad", "Tmax", "Tmin", "Vapr", "Tdew", "RHmax", "RHmin", "Wndsp", "Rain", "ETref", "MorP"]
    rows = [[20.0, 25.0, 10.0, np.nan, np.nan, 80.0, 45.0, 2.0, rain, 4.5, "M"] for rain in (60.0, *[0.0] * 10)]
    weather = pyfao56.Weather()
    weather.rfcrp, weather.z, weather.lat, weather.wndht = "S", 100.0, 40.0, 2.0
    weather.wdata = pd.DataFrame(rows, columns=names, index=[f"2026-{day:03d}" for day in range(91, 102)])
    numbers = {"Kcbini": 0.15, "Kcbmid": 0.1500001, "Kcbend": 0.15, "hini": 0.01, "hmax": 0.01, "thetaFC": 0.25}
    numbers |= {"thetaWP": 0.10, "Zrini": 0.3, "Zrmax": 0.3, "REW": 9}
    model = pyfao56.Model("2026-091", "2026-101", pyfao56.Parameters(**numbers), weather, roff=False)
    model.run()
    expected = model.odata["E"].astype(float).tolist()[1:]
    depleted, got = 0.0, []
    for _ in expected:
        got.append(float(wetness.evaporation_reduction(depleted, 9, 20)) * (1.2 - 0.15) * 4.5)
        depleted += got[-1]
    assert got == pytest.approx(expected, abs=2e-4)
