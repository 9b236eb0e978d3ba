"""What a machine asks of the ground: each end, empty and loaded, by mobility index and vehicle cone index."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from pickrig.checks.carrying import GRAVITY, Carry
from pickrig.checks.case import Case, need
from pickrig.checks.ground.draws import Array
from pickrig.checks.tyres import deflection, section_height
from pickrig.physics import cone_index, contact


@dataclass(frozen=True)
class State:
    """One end of the machine in one state: what it needs of the ground, Pa, and the lines that show how."""

    name: str
    loaded: bool
    needs: float
    working: Callable[[], tuple[str, ...]]


def states(case: Case, loading: Carry, payload: float, spread: float = 0.0) -> list[State]:
    """Empty and loaded, each end of a wheeled machine on its own.

    spread: m beyond each edge of track or tyre patch at which the load comes out below stone, boards or mats; it widens
    the area the contact pressure is taken over, and nothing else.
    """
    family = _wheeled_states if case.machine.tyres else _tracked_states
    return family(case, loading, np.array([0.0, payload]), spread)


def most_needed(all_states: list[State]) -> State:
    """The state that asks most of the ground."""
    return max(all_states, key=lambda state: state.needs)


def _wheeled_states(case: Case, loading: Carry, payload: Array, spread: float) -> list[State]:
    machine, tyres = case.machine, case.machine.tyres
    assert tyres is not None
    axles = np.array(contact.axle_loads(loading.mass, loading.base, loading.rear_share, payload, loading.low_reach))
    wheel = np.maximum(axles, 1.0) * GRAVITY / 2  # [end, state]; an axle about to lift presses with next to nothing
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
    needs = np.maximum(*(cone_index.vehicle_cone_index_wheeled(i, case.passes, ratio) for i in (index, below)))

    def state(end: int, loaded: int) -> State:
        name = f"{'loaded' if loaded else 'empty'}, on its {'rear' if end else 'front'} axle,"

        def working() -> tuple[str, ...]:
            r, mi = ratio[end, loaded], index[end, loaded]
            return (
                _axle_line(case, loading, float(payload[loaded]), float(axles[end, loaded]), end),
                f"{capital(name)} {case.show(axles[end, loaded], 'mass')}: mobility index "
                f"{_index_form(factors, 'TEF', 'WLF', (end, loaded))}",
                _tyre_line(case, float(wheel[end, loaded]), float(factors.contact_pressure[end, loaded]), r),
                f"needs VCI{case.passes} = "
                f"({_vci_form('wheeled', case.passes, mi)}) x (0.15/{r:.3f})^0.25 psi = "
                f"{show_strength(case, needs[end, loaded])}",
            )

        return State(name, bool(loaded), float(needs[end, loaded]), working)

    return [state(end, loaded) for loaded in (0, 1) for end in (0, 1)]


def _tracked_states(case: Case, loading: Carry, payload: Array, spread: float) -> list[State]:
    machine, tracks = case.machine, case.machine.tracks
    assert tracks is not None
    width, length, total = need(tracks.width, "tracks.width"), loading.base, loading.mass + payload
    pitch = tracks.lug_pitch or case.rules.tyres["lug_pitch"].value
    offset = contact.resultant_offset(loading.mass, length, loading.rear_share, payload, loading.low_reach)
    effective = contact.effective_length(length, offset)
    factors = cone_index.tracked_factors(
        total * GRAVITY,
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
    needs = cone_index.vehicle_cone_index_tracked(factors.mobility_index, case.passes)

    def state(loaded: int) -> State:
        name = f"{'loaded' if loaded else 'empty'}, on its tracks,"

        def working() -> tuple[str, ...]:
            side = "ahead of" if offset[loaded] > 0 else "behind"
            return (
                f"{capital(name)} {case.show(total[loaded], 'mass')}, resultant "
                f"{case.show(abs(offset[loaded]), 'small length')} {side} mid-track, so "
                f"{case.show(effective[loaded], 'small length')} of {case.show(length, 'small length')} carry it: "
                f"mobility index {_index_form(factors, 'TF', 'BF', (loaded,))}, CPF over two tracks "
                f"{case.show(width, 'small length')} wide",
                f"needs VCI{case.passes} = {_vci_form('tracked', case.passes, factors.mobility_index[loaded])} psi = "
                f"{show_strength(case, needs[loaded])}",
            )

        return State(name, bool(loaded), float(needs[loaded]), working)

    return [state(loaded) for loaded in (0, 1)]


def _spread_out(
    factors: cone_index.IndexFactors, length: Array, width: float, spread: float
) -> cone_index.IndexFactors:
    """The contact pressure over the wider area below a layer that spreads the load."""
    wider = (length + 2 * spread) * (width + 2 * spread) / (length * width)
    return factors._replace(contact_pressure=factors.contact_pressure / wider)


def _axle_line(case: Case, loading: Carry, payload: float, axle: float, end: int) -> str:
    """The load on one axle with the numbers put in: moments about the other."""
    show = case.show
    front = (
        f"{show(loading.mass, 'mass')} x (1 - {loading.rear_share:.3f}) + {show(payload, 'mass')} x "
        f"({show(loading.base, 'small length')} + {show(loading.low_reach, 'small length')}) / "
        f"{show(loading.base, 'small length')}"
    )
    if end == 0:
        return f"front axle: F = W (1 - r) + P (L + a) / L = {front} = {show(axle, 'mass')} (r with the attachment on)"
    return f"rear axle: R = W + P - F, F = W (1 - r) + P (L + a) / L = {front}; R = {show(axle, 'mass')}"


def _tyre_line(case: Case, wheel: float, pressure: float, ratio: float) -> str:
    """Contact pressure factor and deflection of one tyre."""
    tyres = case.machine.tyres
    assert tyres is not None
    diameter, width = need(tyres.diameter, "tyres.diameter"), need(tyres.width, "tyres.width")
    line = (
        f"CPF = axle load / (0.5 x 2 tyres x {case.show(diameter, 'small length')} x "
        f"{case.show(width, 'small length')}) = {pressure:.2f} psi; deflection of a {tyres.kind} tyre over its section "
        f"height = {ratio:.3f}"
    )
    if tyres.kind == "solid":
        return line
    inflation = tyres.inflation or case.rules.tyres["inflation"].value
    return (
        f"{line}, from 0.008 + 0.001 x (0.365 + 170/{inflation / 1e3:.0f} kPa) x {wheel / 1e3:.2f} kN a tyre, in m, "
        f"over {1e3 * section_height(case):.0f} mm"
    )


def _index_form(factors: cone_index.IndexFactors, gear: str, load: str, at: tuple[int, ...]) -> str:
    """The mobility index with the numbers of one state put in."""
    f = [np.broadcast_to(part, factors.mobility_index.shape)[at] for part in (*factors, factors.mobility_index)]
    return (
        f"MI = [CPF {f[0]:.2f} x WF {f[1]:.3f} / ({gear} {f[2]:.3f} x GF {f[3]:.2f}) + {load} {f[4]:.2f} - "
        f"CF {f[5]:.2f}] x EF {f[6]:.2f} x transmission {f[7]:.2f} = {f[8]:.1f}{_out_of_range(float(f[8]))}"
    )


def _out_of_range(index: float) -> str:
    """A word where the published curves were not measured."""
    if index <= 0:
        return " (lighter than anything the curves were measured on)"
    return " (upper branch of the curves)" if index > cone_index.MOBILITY_INDEX_JOINT else ""


def _vci_form(family: str, passes: int, index: float) -> str:
    if family == "wheeled" and index > cone_index.MOBILITY_INDEX_JOINT:
        return f"{'4.1' if passes == 1 else '9'} x {index:.1f}^0.446"
    a, b, c, d = {
        ("wheeled", 1): ("11.48", "0.2", "39.2", "3.74"),
        ("wheeled", 50): ("28.23", "0.43", "92.67", "3.67"),
        ("tracked", 1): ("7.0", "0.2", "39.2", "5.6"),
        ("tracked", 50): ("19.27", "0.43", "125.79", "7.08"),
    }[family, passes]
    return f"{a} + {b} x {index:.1f} - {c}/({index:.1f} + {d})"


def show_strength(case: Case, strength: float) -> str:
    """A cone index the way each system prints it; 300 psi and over is the end of the dial."""
    at_end = strength >= cone_index.FULL_SCALE * 0.999
    digits = f"{strength / cone_index.PSI:.0f} psi" if case.units == "us" else f"{strength / 1e3:.0f} kPa"
    return f"{digits} and over" if at_end else digits


def capital(text: str) -> str:
    """The text with a capital first letter."""
    return text[:1].upper() + text[1:]
