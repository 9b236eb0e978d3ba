"""The same quantity from an independent library (test requirements only; versions pinned in pyproject.toml)."""

from typing import Any

import numpy as np


@np.vectorize
def geofound_vesic(width: float, length: float, cohesion: float, friction_angle: float, unit_weight: float) -> Any:
    """Ultimate pressure on the surface, Pa."""
    import geofound
    import sfsimodels

    soil, footing = sfsimodels.Soil(), sfsimodels.RaftFoundation()
    soil.cohesion, soil.phi, soil.unit_dry_weight = cohesion, friction_angle, unit_weight
    footing.width, footing.length, footing.depth = width, length, 0.0
    return geofound.capacity_vesic_1975(soil, footing)


def geolysis_vesic(width: float, length: float, cohesion: float, friction_angle: float, unit_weight: float) -> Any:
    """Ultimate pressure on the surface, kPa, rounded by the library to 0.1."""
    from geolysis.bearing_capacity.ubc import create_ubc_4_all_soils

    return create_ubc_4_all_soils(
        friction_angle=friction_angle,
        cohesion=cohesion / 1e3,
        moist_unit_wgt=unit_weight / 1e3,
        depth=1e-9,
        width=width,
        length=length,
        shape="rectangle",
        ubc_method="vesic",
        factor_of_safety=2,
    ).ultimate_bearing_capacity()


def refet_radiation(latitude: list[float], day_of_year: list[int]) -> Any:
    """Extraterrestrial radiation, MJ/m2/day, with the declination of FAO-56."""
    import refet

    return refet.calcs.ra_daily(np.radians(latitude), np.asarray(day_of_year), method="asce")


def pyfao56_drying(readily: float, total: float, potential: float, days: int) -> Any:
    """Evaporation, mm, of a loam on each of the days after a soaking; REW 9 mm, TEW 20 mm, ET0 4.5 mm, Kcb 0.15."""
    import pandas as pd
    import pyfao56

    assert (round(readily, 6), round(total, 6), round(potential, 6)) == (0.009, 0.02, 0.004725)
    names = ["Srad", "Tmax", "Tmin", "Vapr", "Tdew", "RHmax", "RHmin", "Wndsp", "Rain", "ETref", "MorP"]
    rows = [[20.0, 25.0, 10.0, np.nan, np.nan, 80.0, 45.0, 2.0, rain, 4.5, "M"] for rain in (60.0, *[0.0] * days)]
    weather = pyfao56.Weather()
    weather.rfcrp, weather.z, weather.lat, weather.wndht = "S", 100.0, 40.0, 2.0
    weather.wdata = pd.DataFrame(rows, columns=names, index=[f"2026-{91 + day:03d}" for day in range(days + 1)])
    numbers = {"Kcbini": 0.15, "Kcbmid": 0.1500001, "Kcbend": 0.15, "hini": 0.01, "hmax": 0.01, "thetaFC": 0.25}
    numbers |= {"thetaWP": 0.10, "Zrini": 0.3, "Zrmax": 0.3, "REW": 9}
    model = pyfao56.Model("2026-091", f"2026-{91 + days:03d}", pyfao56.Parameters(**numbers), weather, roff=False)
    model.run()
    return model.odata["E"].astype(float).tolist()[1:]


def spotis(values: list[list[float]], weights: list[float]) -> Any:
    """One minus SPOTIS with fixed bounds 0 and 1: the additive value."""
    import pymcdm

    bounds = np.array([[0.0, 1.0]] * len(weights))
    return 1 - pymcdm.methods.SPOTIS(bounds)(np.asarray(values), np.asarray(weights), np.ones(len(weights)))


def exact_first_shares(values: list[list[float]]) -> Any:
    """Shares of first place over the simplex of weights, from exact volumes of polytopes."""
    from pysensmcda.smaa import exact_acceptability

    matrix = np.asarray(values)
    return exact_acceptability(matrix, np.ones(matrix.shape[1]), scaling="none").acceptability


def exact_central_weights(values: list[list[float]]) -> Any:
    """Mean of the weightings under which each leads, from exact volumes of polytopes."""
    from pysensmcda.smaa import exact_acceptability

    matrix = np.asarray(values)
    return exact_acceptability(matrix, np.ones(matrix.shape[1]), scaling="none").central_weights
