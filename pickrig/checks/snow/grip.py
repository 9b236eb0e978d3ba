"""What grip a machine has behind its pusher: on a film, packed snow, ice, or snow left on unpaved ground."""

from typing import Literal

import numpy as np

from pickrig.checks.case import Case
from pickrig.checks.ground.draws import Array
from pickrig.inputs.snow import Snow
from pickrig.physics import snow, traction
from pickrig.rulebook.tables import UnderSnow

View = Literal["force", "reach", "practice"]
"""How far the answer goes beyond computed force: to who reaches the pavement, to the trade's word on tracks."""


def snow_of(case: Case) -> Snow:
    assert case.job.snow is not None
    return case.job.snow


def air(case: Case) -> float:
    """Temperature of air and snow, degC; snow that is thawing is never colder than zero."""
    given = case.job.ground.temperature
    temperature = given if given is not None else case.rules.snow.values["usual_air"].value
    return max(temperature, 0.0) if case.rules.snow.kinds[kind_of(case)].thawing else temperature


def counted(case: Case) -> View:
    """How far this job's answer goes."""
    return snow_of(case).grip


def kind_of(case: Case) -> str:
    return snow_of(case).kind or "packs into a ball"


def gear_and_tread(case: Case) -> Literal["tyres plain", "tyres snow", "tracks block", "tracks winter"]:
    """Running gear with its tread, as rules/snow.toml names it."""
    if case.machine.tracks:
        return "tracks winter" if case.machine.tracks.tread == "winter" else "tracks block"
    assert case.machine.tyres is not None
    return "tyres snow" if case.machine.tyres.tread == "snow" else "tyres plain"


def drawn(case: Case, key: str, name: str) -> Array:
    """A value of rules/snow.toml with its range, drawn over one of the uniform numbers."""
    return case.luck.draw(name, case.rules.snow.values[key].three)


def grip_on(case: Case, row: UnderSnow, view: View, pressure: float) -> Array:
    """Coefficient of traction behind the pusher."""
    values = case.rules.snow.values
    error = drawn(case, "equation_error", "grip")
    chained = case.machine.tyres is not None and case.machine.tyres.chains
    if row.drives_on == "ice":
        grip = error * _on_ice(case, pressure)
        grip = np.maximum(grip, drawn(case, "chains_ice", "chains")) if chained else grip
    elif row.drives_on == "left":  # loose snow: the lugs fill, and tread makes no difference
        grip = error * float(snow.gross_traction(pressure, 1.0, "loose")) / pressure
    else:
        grip = error * float(snow.gross_traction(pressure, 1.0, "packed")) / pressure * _tread(case)
    if chained and row.drives_on != "ice":
        gained = np.minimum(grip * drawn(case, "chains_packed", "chains"), values["chains_cap"].value)
        grip = np.maximum(gained, grip)
    if row.drives_on == "film" and view != "force":
        share = case.luck.draw("reach", case.rules.snow.reach[gear_and_tread(case)].share)
        grip = traction.mixed_traction(share, drawn(case, "pavement", "pavement"), grip)
    return grip


def practice(case: Case, row: UnderSnow, view: View) -> float:
    """What the trade's word leaves of the pull of block-tread tracks on pavement; 1 where it is not counted."""
    spoken_of = row.practice and gear_and_tread(case) == "tracks block"
    return case.rules.snow.values["practice"].value if view == "practice" and spoken_of else 1.0


def _on_ice(case: Case, pressure: float) -> float:
    """Bare rubber on ice by temperature; by pressure as the army's equation has it, about a tenth less for tracks."""
    values = case.rules.snow.values
    at = [(0.0, "ice_thaw"), (-5.0, "ice_5"), (-10.0, "ice_10"), (-20.0, "ice_20")]
    bare = float(np.interp(-air(case), [-t for t, _ in at], [values[key].value for _, key in at]))
    agree = values["ice_reference"].value
    law = snow.gross_traction(np.array([pressure, agree]), 1.0, "ice") / [pressure, agree]
    return bare * float(law[0] / law[1])


def _tread(case: Case) -> float:
    """Factor of tread and cold on grip on snow."""
    values, winter = case.rules.snow.values, gear_and_tread(case) in ("tyres snow", "tracks winter")
    tread = values["winter_tread"].value if winter else 1.0
    thaw = float(np.interp(air(case), [-3, 0], [1.0, values["near_thaw"].value]))
    cold = 1.0 if winter else float(np.interp(air(case), [-12, -8], [values["cold_block"].value, 1.0]))
    return tread * thaw * cold
