"""How deep a job's passes press into finished turf: it is ruined by ruts long before anything bogs."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from pickrig.checks.carrying import Carry
from pickrig.checks.case import Case, need
from pickrig.checks.ground.demand import needed
from pickrig.checks.ground.draws import Array
from pickrig.checks.ground.frozen import frozen_hard
from pickrig.checks.passes import passes
from pickrig.checks.pressing import heaviest_wheel
from pickrig.checks.tyres import deflection
from pickrig.facts import Quantity, Ruled, Said, Step, number, small
from pickrig.physics import rut

_DAY = 50.0  # passes that the curve for tracks is made for


@dataclass(frozen=True)
class Rut:
    """index: depth over what still rolls out."""

    index: float
    says: Said
    working: Callable[[], Step]


def rut_in_turf(case: Case, loading: Carry, surface: str) -> Rut | None:
    """How deep the job's passes press into finished turf; None where it stays on top of soft soil, or is on none."""
    strength = case.site.strength
    if strength is None or case.site.family != "fine" or case.job.task.on_boards or frozen_hard(case):
        return None
    values, count = case.rules.care.values, passes(case)
    off = case.luck.draw("rut", values["rut_error"].three)
    depth = off * _pressed_in(case, loading, strength, count, values["rut_growth"].value)
    middle, worst = (float(q) for q in np.quantile(depth, (0.5, 0.9)))
    index = middle / values["rut_shows"].value
    key = "deep" if index >= 2 else "shows" if index >= 1 else "rolls_out"

    def step() -> Step:
        return Step(
            "spares.rut_tracks" if case.machine.tracks else "spares.rut_tyres",
            RCI=Quantity(case.site.tenths[1], "strength"),
            n=number(count, 0),
            z=small(middle),
        )

    says = Said(
        f"spares.rut_{key}", surface=Ruled(surface), depth=small(middle), worst=small(worst), passes=round(count)
    )
    return Rut(index, says, step)


def _pressed_in(case: Case, loading: Carry, strength: Array, count: float, growth: float) -> Array:
    """Depth of the rut after so many passes of the heavier state, m, a draw each."""
    machine = case.machine
    if machine.tracks:
        fifty = needed(case, loading, loading.payload, count=_DAY)
        after_fifty = rut.track_rut(need(machine.clearance, "clearance"), fifty, strength)
        return rut.after_passes(after_fifty, count / _DAY, growth)
    tyres, wheel = machine.tyres, max(heaviest_wheel(loading, payload) for payload in (0.0, loading.payload))
    assert tyres is not None
    size = need(tyres.diameter, "tyres.diameter"), need(tyres.width, "tyres.width")
    once = rut.wheel_rut(wheel, *size, deflection(case, wheel), strength)
    return rut.after_passes(once, count, growth)
