"""Cone-index mobility: what strength a machine needs (VCI) and what strength the ground has (RCI).

The published equations are in pounds-force, inches, horsepower per short ton and psi. They are kept in those units
inside each function, so that a reader can lay them beside the source, and are SI at the edges.
"""

from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

POUND_FORCE = 4.4482216152605  # N
INCH = 0.0254  # m
PSI = 6894.757293168  # Pa
HP_PER_SHORT_TON = 745.6998715822702 / 907.18474  # W/kg

FULL_SCALE = 300 * PSI
"""The cone's dial ends at 300 psi: stronger ground is "300 and over", not a number."""

MOBILITY_INDEX_JOINT = 115.0
"""Where the published wheeled curves change branch. The one for 50 passes steps down by 3 % there."""


class Curve(NamedTuple):
    """Vehicle cone index by mobility index, psi: a + b MI - c/(MI + d), or `upper` MI^0.446 above the joint."""

    a: float
    b: float
    c: float
    d: float
    upper: float | None = None


VCI_CURVES = {
    ("wheeled", 1): Curve(11.48, 0.2, 39.2, 3.74, 4.1),
    ("wheeled", 50): Curve(28.23, 0.43, 92.67, 3.67, 9.0),
    ("tracked", 1): Curve(7.0, 0.2, 39.2, 5.6),
    ("tracked", 50): Curve(19.27, 0.43, 125.79, 7.08),
}
"""By running gear and passes; where each comes from is said in the two functions that use them."""


class IndexFactors(NamedTuple):
    """The factors of a mobility index, dimensionless, so that a reader can redo it by hand."""

    contact_pressure: Array
    weight: Array
    running_gear: Array  # tyre factor, or track factor
    grouser: Array
    load: Array  # wheel load factor, or bogie factor
    clearance: Array
    engine: Array
    transmission: Array

    @property
    def mobility_index(self) -> Array:
        """MI = [CPF WF / (TEF GF) + WLF - CF] EF TF for wheels, the same form for tracks; never below 0."""
        pressed = self.contact_pressure * self.weight / (self.running_gear * self.grouser)
        return np.maximum((pressed + self.load - self.clearance) * self.engine * self.transmission, 0.0)


def wheeled_factors(
    axle_load: ArrayLike,
    tyres_per_axle: ArrayLike,
    tyre_diameter: ArrayLike,
    tyre_width: ArrayLike,
    clearance: ArrayLike,
    power_per_mass: ArrayLike,
    hydrostatic: ArrayLike = True,
    chains: ArrayLike = False,
) -> IndexFactors:
    """Factors of `mobility_index_wheeled`, which see for arguments, equation and source."""
    w = np.asarray(axle_load, float) / POUND_FORCE
    d, b = np.asarray(tyre_diameter, float) / INCH, np.asarray(tyre_width, float) / INCH
    kips = w / 1000
    weight = np.select(
        [w < 2000, w < 13_500, w <= 20_000],
        [0.553 * kips, 0.033 * kips + 1.050, 0.142 * kips - 0.420],
        0.278 * kips - 3.115,
    )
    return IndexFactors(
        contact_pressure=w / (0.5 * np.asarray(tyres_per_axle, float) * d * b),
        weight=weight,
        running_gear=(10 + b) / 100,
        grouser=np.where(chains, 1.05, 1.0),
        load=w / 2000,
        **_common_factors(clearance, power_per_mass, hydrostatic),
    )


def tracked_factors(
    weight: ArrayLike,
    contact_length: ArrayLike,
    track_width: ArrayLike,
    road_wheels: ArrayLike,
    shoe_area: ArrayLike,
    clearance: ArrayLike,
    power_per_mass: ArrayLike,
    hydrostatic: ArrayLike = True,
    grouser_height: ArrayLike = 0.025,
) -> IndexFactors:
    """Factors of `mobility_index_tracked`, which see for arguments, equation and source."""
    w = np.asarray(weight, float) / POUND_FORCE
    length, b = np.asarray(contact_length, float) / INCH, np.asarray(track_width, float) / INCH
    return IndexFactors(
        contact_pressure=w / (2 * length * b),
        weight=np.select([w < 50_000, w < 70_000, w < 100_000], [1.0, 1.2, 1.4], 1.8),
        running_gear=b / 100,
        grouser=np.where(np.asarray(grouser_height, float) > 1.5 * INCH + 1e-9, 1.1, 1.0),
        load=(w / 10) / (np.asarray(road_wheels, float) * np.asarray(shoe_area, float) / INCH**2),
        **_common_factors(clearance, power_per_mass, hydrostatic),
    )


def _common_factors(clearance: ArrayLike, power_per_mass: ArrayLike, hydrostatic: ArrayLike) -> dict[str, Array]:
    low_power = np.asarray(power_per_mass, float) / HP_PER_SHORT_TON < 10
    return {
        "clearance": np.asarray(clearance, float) / INCH / 10,
        "engine": np.where(low_power, 1.05, 1.0),
        "transmission": np.where(hydrostatic, 1.0, 1.05),
    }


def mobility_index_wheeled(
    axle_load: ArrayLike,
    tyres_per_axle: ArrayLike,
    tyre_diameter: ArrayLike,
    tyre_width: ArrayLike,
    clearance: ArrayLike,
    power_per_mass: ArrayLike,
    hydrostatic: ArrayLike = True,
    chains: ArrayLike = False,
) -> Array:
    """Mobility index of a wheeled machine with all axles driven, from one axle's load; never below 0.

    axle_load: N. tyre_diameter (overall), tyre_width (section), clearance: m. power_per_mass: W/kg.

    MI = [CPF WF / (TEF GF) + WLF - CF] EF TF with, w in lbf: contact pressure factor CPF = w / (0.5 n d b);
    weight factor WF = a w/1000 + c by class of w; tyre factor TEF = (10 + b)/100; grouser factor GF = 1.05 with
    chains; wheel load factor WLF = w/2000; clearance factor CF = clearance/10; engine factor EF = 1.05 below
    10 hp/ton; transmission factor TF = 1.05 when not hydrostatic or automatic.

    Priddy (1999), TR GL-99-8, p. 42, for self-propelled, all-wheel-drive vehicles; the often copied 0.533 in the
    lightest weight class is a misprint of 0.553 (the classes join only with the latter). Fine-grained soil only.
    """
    return wheeled_factors(
        axle_load, tyres_per_axle, tyre_diameter, tyre_width, clearance, power_per_mass, hydrostatic, chains
    ).mobility_index


def mobility_index_tracked(
    weight: ArrayLike,
    contact_length: ArrayLike,
    track_width: ArrayLike,
    road_wheels: ArrayLike,
    shoe_area: ArrayLike,
    clearance: ArrayLike,
    power_per_mass: ArrayLike,
    hydrostatic: ArrayLike = True,
    grouser_height: ArrayLike = 0.025,
) -> Array:
    """Mobility index of a tracked machine; never below 0.

    weight: gross, N. contact_length, track_width: m. road_wheels: on the ground, both tracks. shoe_area: m2, one
    shoe, or drive-lug pitch x belt width of a rubber belt. clearance, grouser_height: m. power_per_mass: W/kg.

    MI = [CPF WF / (TF GF) + BF - CF] EF TF with CPF = W / (2 L b); WF = 1.0 below 50,000 lbf, then 1.2, 1.4, 1.8;
    track factor b/100; GF = 1.1 for grousers over 1.5 in; bogie factor BF = (W/10) / (road wheels x shoe area);
    CF, EF and TF as for wheels.

    US Army FM 5-430-00-1 (1994) ch. 7, and Wong et al. (2020), J. Terramechanics 87:11-20; coefficients read
    second-hand. Fitted to steel-linked military tracks on fine-grained soil; rubber belts are an extension of ours.
    """
    return tracked_factors(
        weight,
        contact_length,
        track_width,
        road_wheels,
        shoe_area,
        clearance,
        power_per_mass,
        hydrostatic,
        grouser_height,
    ).mobility_index


def vehicle_cone_index_wheeled(mobility_index: ArrayLike, passes: float, deflection_ratio: ArrayLike = 0.15) -> Array:
    """Rating cone index a wheeled machine needs for so many straight, level passes, Pa.

    passes: one or more; for others than 1 and 50 see `between_passes`. deflection_ratio: tyre deflection over section
    height on a hard surface.

    One pass: 11.48 + 0.2 MI - 39.2/(MI + 3.74), or 4.1 MI^0.446 above MI 115, times (0.15/ratio)^0.25: Priddy &
    Willoughby (2006), J. Terramechanics 43:85-96, p. 7. Fifty passes: 28.23 + 0.43 MI - 92.67/(MI + 3.67), or
    9 MI^0.446: Ciobotaru (2009), Leonardo El. J. 15:19-30. psi. The deflection factor was fitted on one pass; used
    here for fifty as well, by analogy.
    """
    index = np.asarray(mobility_index, float)

    def psi(curve: Curve) -> Array:
        assert curve.upper is not None
        return np.where(index > MOBILITY_INDEX_JOINT, curve.upper * np.power(index, 0.446), _lower(curve, index))

    factor: Array = np.power(0.15 / np.asarray(deflection_ratio, float), 0.25)
    return between_passes(psi(VCI_CURVES["wheeled", 1]), psi(VCI_CURVES["wheeled", 50]), passes) * factor * PSI


def vehicle_cone_index_tracked(mobility_index: ArrayLike, passes: float) -> Array:
    """Rating cone index a tracked machine needs for so many straight, level passes, Pa.

    passes: one or more; for others than 1 and 50 see `between_passes`.

    One pass: 7.0 + 0.2 MI - 39.2/(MI + 5.6): Wong et al. (2020), J. Terramechanics 87:11-20, read second-hand.
    Fifty passes: 19.27 + 0.43 MI - 125.79/(MI + 7.08): from memory; reproduces the published pairs of one-pass and
    fifty-pass values at MI 70-92. psi.
    """
    one, fifty = (_lower(VCI_CURVES["tracked", n], np.asarray(mobility_index, float)) for n in (1, 50))
    return between_passes(one, fifty, passes) * PSI


def between_passes(one: ArrayLike, fifty: ArrayLike, passes: ArrayLike) -> Array:
    """Strength needed for n passes, from that for one and for fifty: VCI1 (VCI50/VCI1)^(ln n/ln 50), exact at both.

    Any unit of strength. No rule between the two is published. The power is ours; Rowland's factors for repeated passes
    (from memory) lie on n^0.26, and ruts that grow with n^(1/3) ask for the same. Raises ValueError below one pass.
    """
    n = np.asarray(passes, float)
    if np.any(n < 1):
        raise ValueError("passes must be one or more")
    share = np.log(n) / np.log(50.0)
    return np.asarray(np.power(np.asarray(one, float), 1 - share) * np.power(np.asarray(fifty, float), share))


class PullCurve(NamedTuple):
    """Pull over weight by excess strength X, psi: y = A + B X - sqrt((A + B X)^2 - C X)."""

    a: float
    b: float
    c: float


PULL_CURVES = {
    ("tracked", "light"): PullCurve(0.544, 0.0463, 0.0702),
    ("tracked", "heavy"): PullCurve(0.4554, 0.0392, 0.0526),
    ("wheeled", "light"): PullCurve(0.3885, 0.0265, 0.0358),
    ("wheeled", "heavy"): PullCurve(0.379, 0.0219, 0.0257),
}
"""By running gear and whether its contact pressure factor is under 4 psi."""


def excess_for_pull(family: Literal["tracked", "wheeled"], contact_pressure: ArrayLike, pull: ArrayLike) -> Array:
    """Strength over the vehicle cone index that a pull asks for, Pa; infinite where no ground gives it.

    contact_pressure: the factor of the mobility index, psi. pull: over the weight and net of rolling; on a slope its
    rise over run.

    The army mobility model's y = A + B X - sqrt((A + B X)^2 - C X), X in psi, solved for X: (2 A y - y^2)/(C - 2 B y)
    below y = C/2B. Curves from memory.
    """
    light, y = np.asarray(contact_pressure, float) < 4.0, np.asarray(pull, float)
    a, b, c = (
        np.where(light, under, over)
        for under, over in zip(PULL_CURVES[family, "light"], PULL_CURVES[family, "heavy"], strict=True)
    )
    left = c - 2 * b * y
    excess = (2 * a * y - y**2) / np.where(left > 0, left, 1.0)
    return np.asarray(np.where(left > 0, excess, np.inf) * PSI)


def _lower(curve: Curve, index: Array) -> Array:
    return np.asarray(curve.a + curve.b * index - curve.c / (index + curve.d))


# c1 and c2 of exp(c1 - c2 ln w), psi and % of dry weight: cone index, then rating cone index. ERDC/CRREL SR-04-1 (2004)
# Table 5.2.1, after Sullivan et al. (1997). Two entries differ from the print: the CH cone index is printed with
# c2 = 5.583, which puts it below its own rating cone index (0.006 psi at 30 %), and sand is printed with +0.815,
# where the only reading that gives damp sand any strength is the minus used by Sullivan & Anderson (2000).
_STRENGTH_COEFFICIENTS = {
    "SW": ((3.987, -0.815), (3.987, -0.815)),
    "SP": ((3.987, -0.815), (3.987, -0.815)),
    "SM": ((8.749, 1.1949), (12.542, 2.955)),
    "SC": ((9.056, 1.3566), (12.542, 2.955)),
    "SM-SC": ((9.056, 1.3566), (12.542, 2.955)),
    "ML": ((10.225, 1.565), (11.936, 2.407)),
    "CL-ML": ((9.454, 1.3850), (14.236, 3.137)),
    "CL": ((10.998, 1.848), (15.506, 3.530)),
    "OL": ((10.977, 1.754), (17.399, 3.584)),
    "CH": ((13.816, 2.583), (13.686, 2.705)),
    "MH": ((12.321, 2.044), (23.641, 5.191)),
    "OH": ((13.046, 2.172), (12.189, 1.942)),
}


def cone_index(soil_class: str, moisture: ArrayLike) -> Array:
    """Cone index of undisturbed ground from USCS group and moisture (kg water per kg dry soil), Pa; at most 300 psi.

    CI = exp(c1 - c2 ln w), psi, w in % of dry weight: ERDC/CRREL SR-04-1 (2004) Table 5.2.1 with the two mends noted
    above the table. No moisture range is published; sensible from the plastic limit to saturation. Raises ValueError
    for a group without published coefficients (GW, GP, GM, GC, Pt).
    """
    return np.minimum(_strength(soil_class, 0, moisture), FULL_SCALE)


STRENGTH_GROUPS = dict.fromkeys(_STRENGTH_COEFFICIENTS)
"""The USCS groups of which a strength is published."""


def rating_cone_index(soil_class: str, moisture: ArrayLike) -> Array:
    """Rating cone index (strength under traffic) from USCS group and moisture (kg water per kg dry soil), Pa.

    RCI = exp(c1 - c2 ln w), psi, w in % of dry weight, capped at the cone index of the same row and at 300 psi:
    ERDC/CRREL SR-04-1 (2004) Table 5.2.1 with the two mends noted above the table. Sand (SW, SP) has no remoulding
    index: its cone index is returned, sensible for damp sand only. Raises ValueError as `cone_index` does.
    """
    return np.minimum(_strength(soil_class, 1, moisture), cone_index(soil_class, moisture))


def _strength(soil_class: str, column: int, moisture: ArrayLike) -> Array:
    if soil_class not in _STRENGTH_COEFFICIENTS:
        raise ValueError(f"no strength-moisture equation is published for soil group {soil_class!r}")
    c1, c2 = _STRENGTH_COEFFICIENTS[soil_class][column]
    return np.exp(c1 - c2 * np.log(100 * np.asarray(moisture, float))) * PSI


def rating_cone_index_clay(clay: ArrayLike, moisture: ArrayLike) -> Array:
    """Rating cone index from clay fraction and moisture (kg water per kg dry soil), Pa: the second opinion.

    ln RCI = 4.605 + (2.123 + 0.008 C - 0.693 ln M) / (0.149 + 0.002 C), psi, C and M in %: Collins (1971), WES
    TM 3-331 Rpt 10, as quoted in Anderson (1983), Applied Geography 3:239-253, eq. 1. Not capped. It commonly gives
    two to three times the value of `rating_cone_index` for the same wet clay; neither is known to be right.
    """
    c, m = 100 * np.asarray(clay, float), 100 * np.asarray(moisture, float)
    return np.exp(4.605 + (2.123 + 0.008 * c - 0.693 * np.log(m)) / (0.149 + 0.002 * c)) * PSI


def critical_layer_wheeled(wheel_load: ArrayLike) -> tuple[Array, Array]:
    """Depth of the layer whose strength decides, top and bottom, m: 3-9 in below 2,000 lbf a wheel, else 6-12 in.

    Stevens et al. (2013), ERDC/GSL SR-13-2, Table 3, read second-hand; wheels over 15,000 lbf are not covered.
    """
    return _layer(np.asarray(wheel_load, float) < 2000 * POUND_FORCE)


def critical_layer_tracked(mean_pressure: ArrayLike) -> tuple[Array, Array]:
    """Depth of the layer whose strength decides, top and bottom, m: 3-9 in below 4 psi, else 6-12 in.

    Stevens et al. (2013), ERDC/GSL SR-13-2, Table 3, read second-hand; below 100,000 lbf.
    """
    return _layer(np.asarray(mean_pressure, float) < 4 * PSI)


def _layer(shallow: NDArray[np.bool_]) -> tuple[Array, Array]:
    return np.where(shallow, 3 * INCH, 6 * INCH), np.where(shallow, 9 * INCH, 12 * INCH)


def undrained_strength(cone_index: ArrayLike, cone_factor: ArrayLike) -> Array:
    """Undrained shear strength of a fine-grained soil from its cone index, Pa: cu = CI / Nk.

    Civil Engineering Handbook, 2nd ed., ch. 28, eq. 28.1, overburden neglected (3 kPa at 150 mm). Published cone
    factors Nk run from 10 to 20: one conversion, good to a factor of about two.
    """
    return np.asarray(cone_index, float) / np.asarray(cone_factor, float)
