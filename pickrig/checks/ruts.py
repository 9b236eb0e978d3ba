"""How deep a job's passes press into finished turf: it is ruined by ruts long before anything bogs."""

from collections.abc import Callable
from dataclasses import dataclass
from math import log

import numpy as np

from pickrig.checks.carrying import Carry
from pickrig.checks.case import Case, need
from pickrig.checks.ground.demand import states
from pickrig.checks.ground.draws import Array
from pickrig.checks.ground.frozen import carried_by_frost
from pickrig.checks.passes import passes
from pickrig.checks.pressing import heaviest_wheel
from pickrig.checks.tyres import deflection
from pickrig.facts import Quantity, Ruled, Said, Step, Value, number, small
from pickrig.physics import rut


@dataclass(frozen=True)
class Rut:
    """index: depth over what still rolls out."""

    index: float
    says: Said
    working: Callable[[], Step]


@dataclass(frozen=True)
class _Pressed:
    """Depth of the rut, m, a draw each, and the step that shows it."""

    depth: Array
    key: str
    given: dict[str, Value]


def rut_in_turf(case: Case, loading: Carry, surface: str) -> Rut | None:
    """How deep the job's passes press into finished turf; None where boards or deep frost keep it off soft soil, or
    there is none."""
    strength = case.site.everywhere
    if strength is None or case.job.task.on_boards or carried_by_frost(case):
        return None
    values, count, pressed = case.rules.care.values, passes(case), _pressed_in(case, loading, strength)
    belly = need(case.machine.clearance, "clearance")  # no rut is deeper: it hangs up
    middle, worst = (min(float(q), belly) for q in np.quantile(pressed.depth, (0.5, 0.9)))
    index = middle / values["rut_shows"].value
    key = "belly" if middle >= belly else "deep" if index >= 2 else "shows" if index >= 1 else "rolls_out"
    traffic = (
        Said("traffic.day")
        if count >= case.rules.strength["most_passes"].value
        else Said("traffic.passes", passes=round(count))
    )
    says = Said(f"spares.rut_{key}", surface=Ruled(surface), depth=small(middle), worst=small(worst), traffic=traffic)

    def step() -> Step:
        middling = Quantity(float(np.median(strength)), "strength")
        return Step(pressed.key, RCI=middling, **pressed.given, n=number(count, 0), z=small(middle))

    return Rut(index, says, step)


def _pressed_in(case: Case, loading: Carry, strength: Array) -> _Pressed:
    """After the job's passes, empty or loaded, whichever presses more."""
    machine, count = case.machine, passes(case)
    low, best, high = case.rules.care.values["rut_error"].three
    off = np.exp(case.luck.draw("rut", (log(low), log(best), log(high))))
    grows = _growth(case, strength)
    shown = number(float(np.median(grows)), 1)
    if machine.tracks:
        day = case.rules.strength["most_passes"].value  # which the curve for tracks is made for
        fifty = max(state.on_level for state in states(case, loading, loading.payload, count=day))
        width = need(machine.tracks.width, "tracks.width")
        once = off * rut.track_rut(width, fifty, strength)
        given: dict[str, Value] = {"b": small(width), "VCI50": Quantity(fifty, "strength"), "a": shown}
        return _Pressed(rut.after_passes(once, count / day, grows), "spares.rut_tracks", given)
    tyres, wheel = machine.tyres, max(heaviest_wheel(loading, payload) for payload in (0.0, loading.payload))
    assert tyres is not None
    diameter, width = need(tyres.diameter, "tyres.diameter"), need(tyres.width, "tyres.width")
    gives = deflection(case, wheel)
    once = off * rut.wheel_rut(wheel, diameter, width, gives, strength)
    given = {"W": Quantity(wheel, "force"), "d": small(diameter), "b": small(width), "δ": small(float(gives))}
    return _Pressed(rut.after_passes(once, count, grows), "spares.rut_tyres", given | {"a": shown})


def _growth(case: Case, strength: Array) -> Array:
    """How slowly ruts grow with passes: a of n^(1/a), from soft ground to hard."""
    values = case.rules.care.values
    ends = [values["rut_soft"].value, values["rut_hard"].value]
    return np.interp(strength, ends, [values["rut_growth"].value, values["rut_growth_hard"].value])
