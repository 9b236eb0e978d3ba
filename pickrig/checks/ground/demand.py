"""What a machine asks of the ground: each end, empty and loaded, by mobility index and vehicle cone index."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import log
from typing import Literal

import numpy as np

from pickrig.checks.carrying import GRAVITY, Carry
from pickrig.checks.case import Case, need
from pickrig.checks.ground.draws import Array
from pickrig.checks.ground.learned import by_log_machine
from pickrig.checks.ground.slope import lean
from pickrig.checks.passes import passes
from pickrig.checks.tyres import deflection, section_height
from pickrig.facts import Quantity, Step, number, small
from pickrig.physics import cone_index, contact

_NO_GROUND = 10 * cone_index.FULL_SCALE  # Pa, more than any ground has


@dataclass(frozen=True)
class State:
    """One end of the machine ("front", "rear", "tracks") in one state: what it needs of the ground, Pa, and how.
    on_level: of that, without what the slope asks for."""

    end: str
    loaded: bool
    needs: float
    on_level: float
    working: Callable[[], tuple[Step, ...]]


def states(case: Case, loading: Carry, payload: float, spread: float = 0.0, count: float | None = None) -> list[State]:
    """Empty and loaded, each end of a wheeled machine on its own.

    spread: m beyond each edge of track or tyre patch at which the load comes out below stone, boards or mats; it widens
    the area the contact pressure is taken over, and nothing else. Boards that the job has laid count without it. count:
    of passes, the job's own where None.
    """
    family = _wheeled_states if case.machine.tyres else _tracked_states
    laid = case.rules.helps["plywood"].spread if case.job.task.on_boards else None
    wider = max(spread, laid or 0.0)
    asked = family(case, loading, np.array([0.0, payload]), wider, passes(case) if count is None else count)
    factor = by_log_machine(case.job, case.machine.name)
    return asked if factor == 1 else [_by_log(state, factor) for state in asked]


def _by_log(state: State, factor: float) -> State:
    """The same after what the log says of this machine."""
    needs = min(factor * state.needs, _NO_GROUND)
    step = Step("floats.by_log", k=number(factor, 2), X=Quantity(needs, "strength"))
    return replace(state, needs=needs, on_level=factor * state.on_level, working=lambda: (*state.working(), step))


def needed(case: Case, loading: Carry, payload: float, spread: float = 0.0, count: float | None = None) -> float:
    """Strength the machine needs in the state that asks most of the ground, Pa; arguments as `states`."""
    return most_needed(states(case, loading, payload, spread, count)).needs


def own_error(case: Case) -> float:
    """Spread of the logarithm of this machine's own error: what the curves leave out of it, wider where it is unlike
    the vehicles they were fitted on (narrow tracks; tyres stiffer than any of theirs)."""
    rows, machine = case.rules.strength, case.machine
    narrow = machine.tracks is not None and (machine.tracks.width or 1.0) < rows["narrow_track"].value
    stiff = machine.tyres is not None and machine.tyres.kind != "pneumatic"
    return log(rows["unlike_error" if narrow or stiff else "own_error"].value)


def most_needed(all_states: list[State]) -> State:
    """The state that asks most of the ground."""
    return max(all_states, key=lambda state: state.needs)


def _wheeled_states(case: Case, loading: Carry, payload: Array, spread: float, count: float) -> list[State]:
    machine, tyres = case.machine, case.machine.tyres
    assert tyres is not None
    axles = np.array(contact.axle_loads(loading.mass, loading.base, loading.rear_share, payload, loading.low_reach))
    leans = lean(case, loading, payload)
    shifted = (loading.mass + payload) * leans.forward / loading.base
    leaning = (axles + np.array([shifted, -shifted])) * leans.downhill
    pressing = np.maximum(axles, leaning)  # parts of the way are level
    wheel = np.maximum(pressing, 1.0) * GRAVITY / 2  # [end, state]; an axle about to lift presses with next to nothing
    ratio = deflection(case, wheel) / section_height(case)
    factors = cone_index.wheeled_factors(
        2 * wheel,
        2,
        need(tyres.diameter, "tyres.diameter"),
        need(tyres.width, "tyres.width"),
        need(machine.clearance, "clearance"),
        need(machine.power, "power") / (loading.mass + payload),
        machine.hydrostatic,
        tyres.chains,
    )
    width = need(tyres.width, "tyres.width")
    patch, _, _ = contact.tyre_patch(wheel, need(tyres.diameter, "tyres.diameter"), width, deflection(case, wheel))
    factors = _spread_out(factors, patch, width, spread)
    index = factors.mobility_index
    # The published curve steps down by 3 % at MI 115; a heavier axle must not need weaker ground.
    below = np.minimum(index, cone_index.MOBILITY_INDEX_JOINT)
    on_level = np.maximum(*(cone_index.vehicle_cone_index_wheeled(i, count, ratio) for i in (index, below)))
    uphill = _for_the_grade(case, "wheeled", factors.contact_pressure)
    needs = np.minimum(on_level + uphill, _NO_GROUND)

    def state(end: int, loaded: int) -> State:
        def working() -> tuple[Step, ...]:
            at = (end, loaded)
            axle, pressed = float(axles[at]), float(factors.contact_pressure[at])
            return (
                _axle_step(loading, float(payload[loaded]), axle, end),
                *leans.working(loaded),
                *_tyre_steps(case, float(wheel[at]), pressed, float(ratio[at])),
                _index_step("wheeled", factors, at),
                *_curve_steps("wheeled", count, float(index[at]), on_level[at], float(ratio[at])),
                *_grade_step(case, float(uphill[at])),
            )

        return State(
            "rear" if end else "front", bool(loaded), float(needs[end, loaded]), float(on_level[end, loaded]), working
        )

    return [state(end, loaded) for loaded in (0, 1) for end in (0, 1)]


def _tracked_states(case: Case, loading: Carry, payload: Array, spread: float, count: float) -> list[State]:
    machine, tracks = case.machine, case.machine.tracks
    assert tracks is not None
    width, length, total = need(tracks.width, "tracks.width"), loading.base, loading.mass + payload
    pitch = tracks.lug_pitch or case.rules.tyres["lug_pitch"].value
    leans = lean(case, loading, payload)
    offset = contact.resultant_offset(loading.mass, length, loading.rear_share, payload, loading.low_reach)
    leaning = offset + leans.forward
    offset = np.where(np.abs(leaning) > np.abs(offset), leaning, offset)  # parts of the way are level
    effective = np.maximum(contact.effective_length(length, offset), case.rules.strength["track_left"].value * length)
    pressing = total * leans.downhill
    factors = cone_index.tracked_factors(
        pressing * GRAVITY,
        effective,
        width,
        need(tracks.road_wheels, "road_wheels"),
        pitch * width,
        need(machine.clearance, "clearance"),
        need(machine.power, "power") / total,
        machine.hydrostatic,
        tracks.lug_height,
    )
    factors = _spread_out(factors, effective, width, spread)
    on_level = cone_index.vehicle_cone_index_tracked(factors.mobility_index, count)
    uphill = _for_the_grade(case, "tracked", factors.contact_pressure)
    needs = np.minimum(on_level + uphill, _NO_GROUND)

    def state(loaded: int) -> State:
        def working() -> tuple[Step, ...]:
            return (
                *leans.working(loaded),
                Step(
                    "floats.track_length",
                    L=small(length),
                    e=small(float(abs(offset[loaded]))),
                    L_e=small(float(effective[loaded])),
                ),
                Step(
                    "floats.track_pressure",
                    W=Quantity(float(pressing[loaded]), "mass"),
                    L_e=small(float(effective[loaded])),
                    b=small(width),
                    CPF=number(factors.contact_pressure[loaded], 2),
                ),
                _index_step("tracked", factors, (loaded,)),
                *_curve_steps("tracked", count, float(factors.mobility_index[loaded]), on_level[loaded]),
                *_grade_step(case, float(uphill[loaded])),
            )

        return State("tracks", bool(loaded), float(needs[loaded]), float(on_level[loaded]), working)

    return [state(loaded) for loaded in (0, 1)]


def _spread_out(
    factors: cone_index.IndexFactors, length: Array, width: float, spread: float
) -> cone_index.IndexFactors:
    """The contact pressure over the wider area below a layer that spreads the load."""
    wider = (length + 2 * spread) * (width + 2 * spread) / (length * width)
    return factors._replace(contact_pressure=factors.contact_pressure / wider)


def _for_the_grade(case: Case, family: Literal["tracked", "wheeled"], pressure: Array) -> Array:
    """Strength that pulling itself up the job's slope, empty and loaded, asks for beside what the level does, Pa."""
    return cone_index.excess_for_pull(family, pressure, case.job.ground.climbed)


def _grade_step(case: Case, uphill: float) -> tuple[Step, ...]:
    """None on the level, nor where no ground gives the pull."""
    if not 0 < uphill < _NO_GROUND:
        return ()
    return (Step("floats.uphill", y=number(case.job.ground.grade or 0.0, 2), X=Quantity(uphill, "strength")),)


def _axle_step(loading: Carry, payload: float, axle: float, end: int) -> Step:
    """The load on one axle: moments about the other; r with the attachment on."""
    return Step(
        "floats.rear_axle" if end else "floats.front_axle",
        W=Quantity(loading.mass, "mass"),
        r=number(loading.rear_share, 3),
        P=Quantity(payload, "mass"),
        L=small(loading.base),
        a=small(loading.low_reach),
        **{"R" if end else "F": Quantity(axle, "mass")},
    )


def _tyre_steps(case: Case, wheel: float, pressure: float, ratio: float) -> tuple[Step, ...]:
    """Contact pressure factor and deflection of one tyre."""
    tyres = case.machine.tyres
    assert tyres is not None
    diameter, width = need(tyres.diameter, "tyres.diameter"), need(tyres.width, "tyres.width")
    pressed = Step(
        "floats.tyre_pressure", P=Quantity(wheel, "force"), d=small(diameter), b=small(width), CPF=number(pressure, 2)
    )
    height = small(section_height(case))
    if tyres.kind == "solid":
        give = number(case.rules.tyres["solid"].value, 3)
        return pressed, Step("floats.tyre_solid", s=give, d=small(diameter), h=height, ratio=number(ratio, 3))
    inflation = tyres.inflation or case.rules.tyres["inflation"].value
    given = {"p": Quantity(inflation, "pressure"), "P": Quantity(wheel, "force"), "h": height}
    if tyres.kind == "pneumatic":
        return pressed, Step("floats.tyre_pneumatic", **given, ratio=number(ratio, 3))
    stiffer = number(case.rules.tyres["foam-filled"].value, 2)
    return pressed, Step("floats.tyre_foam_filled", k=stiffer, **given, ratio=number(ratio, 3))


def _index_step(family: str, factors: cone_index.IndexFactors, at: tuple[int, ...]) -> Step:
    """The mobility index with the numbers of one state put in."""
    f = [np.broadcast_to(part, factors.mobility_index.shape)[at] for part in (*factors, factors.mobility_index)]
    names = ("CPF", "WF", "TEF" if family == "wheeled" else "TF", "GF", "WLF" if family == "wheeled" else "BF", "CF")
    digits = (2, 3, 3, 2, 2, 2)
    given = {name: number(value, places) for name, value, places in zip(names, f, digits, strict=False)}
    key = f"floats.index_{family}"
    return Step(key, **given, EF=number(f[6], 2), TX=number(f[7], 2), MI=number(f[8], 1))


def _curve_steps(family: str, count: float, index: float, needs: float, ratio: float | None = None) -> tuple[Step, ...]:
    """The curve for this count of passes, or the two it lies between."""
    given = {} if ratio is None else {"ratio": ratio}
    if (family, int(count)) in cone_index.VCI_CURVES and count == int(count):
        return (_curve_step(family, int(count), index, needs, **given),)
    ends = {n: _on_curve(index, n, ratio) for n in (1, 50)}
    between = {f"VCI{n}": Quantity(end, "strength") for n, end in ends.items()}
    last = Step("floats.curve_between", n=number(count, 0), **between, VCIn=Quantity(float(needs), "strength"))
    return (*(_curve_step(family, n, index, end, **given) for n, end in ends.items()), last)


def _on_curve(index: float, count: int, ratio: float | None) -> float:
    if ratio is None:
        return float(cone_index.vehicle_cone_index_tracked(index, count))
    return float(cone_index.vehicle_cone_index_wheeled(index, count, ratio))


def _curve_step(family: str, passes: int, index: float, needs: float, **ratio: float) -> Step:
    """The curve the index goes into, told where it lies outside what the curves were measured on."""
    curve, one = cone_index.VCI_CURVES[family, passes], "once" if passes == 1 else "day"
    last = {name: number(value, 3) for name, value in ratio.items()}
    last[f"VCI{passes}"] = Quantity(float(needs), "strength")
    if curve.upper is not None and index > cone_index.MOBILITY_INDEX_JOINT:
        return Step(f"floats.curve_upper_{one}", k=number(curve.upper, 1), MI=number(index, 1), **last)
    key = f"floats.curve_{family}_{one}" if index > 0 else f"floats.curve_light_{family}_{one}"
    coefficients = {name: number(getattr(curve, name), 2) for name in "abcd"}
    return Step(key, **coefficients, MI=number(index, 1), **last)
