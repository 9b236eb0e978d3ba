"""Clean sand: pull to spare over rolling, of this machine with its own tyres or tracks, empty or loaded."""

import numpy as np

from pickrig.checks.carrying import GRAVITY, Carry, carry
from pickrig.checks.case import Case, need
from pickrig.checks.ground.draws import Array
from pickrig.checks.tyres import deflection, section_height
from pickrig.physics import contact, sand


def spare_pull(case: Case) -> Array:
    """Pull to spare over rolling as a share of weight, a draw each: empty or loaded, whichever has less."""
    return case.once("spare_pull", lambda: _least(case, None))


def let_down(case: Case) -> Array:
    """The same with the tires let down until they give as much as they may."""
    return _least(case, case.rules.tyres["let_down"].value)


def _least(case: Case, give: float | None) -> Array:
    """give: deflection over section height; None: as the tires are."""
    loading = carry(case)
    return np.minimum(*(_pull(case, loading, payload, give) for payload in (0.0, loading.payload)))


def _pull(case: Case, loading: Carry, payload: float, give: float | None) -> Array:
    cone_index = case.site.cone_index
    assert cone_index is not None
    gradient = sand.gradient(cone_index)
    off = case.rules.strength["sand_error"].value * case.luck.normal[case.machine.gear]
    if case.machine.tracks:
        width = need(case.machine.tracks.width, "tracks.width")
        offset = contact.resultant_offset(loading.mass, loading.base, loading.rear_share, payload, loading.low_reach)
        length = float(contact.effective_length(loading.base, offset))
        load = (loading.mass + payload) * GRAVITY / 2
        return np.asarray(sand.track_pull(gradient, width, max(length, 0.1), load) + off)
    axles = contact.axle_loads(loading.mass, loading.base, loading.rear_share, payload, loading.low_reach)
    pressed = [max(float(axle), 1.0) for axle in axles]
    pulls = [axle * _wheel(case, axle * GRAVITY / 2, gradient, cone_index, give) for axle in pressed]
    return np.asarray(sum(pulls) / sum(pressed) + off)


def _wheel(case: Case, load: float, gradient: Array, cone_index: Array, give: float | None) -> Array:
    """Between the army's curve and the later fit, a tenth of the load apart or more: one level for the whole run."""
    tyres = case.machine.tyres
    assert tyres is not None
    width, diameter = need(tyres.width, "tyres.width"), need(tyres.diameter, "tyres.diameter")
    height = section_height(case)
    sinks = float(deflection(case, load)) if give is None else max(give * height, float(deflection(case, load)))
    first = sand.wheel_pull(sand.wheel_numeric(gradient, width, diameter, load, sinks / height))
    ratio = sand.contact_pressure(load, width, diameter, sinks, height) / cone_index
    second = sand.wheel_traction(ratio) - sand.wheel_resistance(ratio)
    level = case.luck.uniform["equation"]
    return np.asarray((1 - level) * first + level * second)
