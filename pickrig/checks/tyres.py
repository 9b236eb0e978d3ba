"""How the tyres of a machine give."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pickrig.checks.case import Case, need
from pickrig.physics import contact

Array = NDArray[np.float64]


def section_height(case: Case) -> float:
    """Height of the tyre's section, m: the file's, else a share of its width."""
    tyres = case.machine.tyres
    assert tyres is not None
    if tyres.section_height is not None:
        return tyres.section_height
    return case.rules.tyres["section_height"].value * need(tyres.width, "tyres.width")


def deflection(case: Case, wheel_load: ArrayLike) -> Array:
    """Deflection of one tyre under loads in N, m; never more than a third of the section, where the rim would ride."""
    tyres = case.machine.tyres
    assert tyres is not None
    if tyres.kind == "solid":
        stiff = case.rules.tyres["solid"].value * need(tyres.diameter, "tyres.diameter")
        return np.full_like(np.asarray(wheel_load, float), stiff)
    inflation = tyres.inflation or case.rules.tyres["inflation"].value
    pneumatic = contact.tyre_deflection(wheel_load, inflation)
    stiffer = case.rules.tyres["foam-filled"].value if tyres.kind == "foam-filled" else 1.0
    return np.minimum(stiffer * pneumatic, section_height(case) / 3)


def tyre_patch(case: Case, wheel_load: float) -> tuple[float, float, float]:
    """Length, area and pressure of one tyre's contact under a load in N; m, m2 and Pa."""
    tyres = case.machine.tyres
    assert tyres is not None
    size = need(tyres.diameter, "tyres.diameter"), need(tyres.width, "tyres.width")
    length, area, pressure = contact.tyre_patch(wheel_load, *size, deflection(case, wheel_load))
    return float(length), float(area), float(pressure)
