"""Does the ground hold it? Cone-index mobility decides; bearing capacity and the code's table stand beside it."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from pickrig.checks import standing
from pickrig.checks.case import Case, need
from pickrig.checks.finding import Demand, Finding, Verdict
from pickrig.checks.loading import GRAVITY, Carry, carry
from pickrig.checks.luck import Array
from pickrig.checks.tyres import deflection, section_height
from pickrig.physics import cone_index, contact, frost

PSI = cone_index.PSI


@dataclass(frozen=True)
class _State:
    """One end of the machine in one state: what it needs of the ground, Pa, and the lines that show how."""

    name: str
    loaded: bool
    needs: float
    working: Callable[[], tuple[str, ...]]


def floats(case: Case) -> Finding:
    """Chance that the site's soil holds the machine for the job's passes, in its worst state. See `Finding`."""
    site = case.site
    if site.family == "hard":
        return _settled(case, "go", 1.0, "All travel is on surfaces that carry it; the soil is not asked.")
    if site.family == "not assessed":
        return _settled(case, "no-go", None, f"Not assessed: {site.instead}")
    loading = carry(case)
    if _tips(loading):
        return _settled(case, "no-go", 0.0, "With that load it stands on its nose: see lifting.")
    if site.pull is not None:
        return _on_sand(case, site.pull[case.machine.gear])
    return _on_soil(case, loading)


def _settled(case: Case, verdict: Verdict, chance: float | None, says: str) -> Finding:
    """A finding that needs no numbers of the machine."""
    return Finding(
        check="floats",
        verdict=verdict,
        unit="chance",
        value=chance,
        chance=chance,
        says=says,
        sources=case.site.sources,
        depends_on=("ground.soil", "ground.travel"),
        remedy=case.site.instead if verdict == "no-go" else "",
    )


def _on_soil(case: Case, loading: Carry) -> Finding:
    states = _states(case, loading, loading.payload)
    worst = max(states, key=lambda s: s.needs)
    chance = _chance(case, worst.needs)
    verdict, frozen = _with_frost(case, loading, _verdict(case, chance))
    strength = case.site.tenths
    limit = case.rules.limits.floats.caution
    days = "a day's work" if case.passes > 1 else "one crossing"
    says = (
        f"{'Holds' if verdict != 'no-go' else 'Likelier to bog'}: {_percent(chance)} chance that the ground carries it "
        f"for {days}. {_capital(worst.name)} it needs {_psi(case, worst.needs)}; the ground has "
        f"{_psi(case, strength[1])} in the middle, {_psi(case, strength[0])} in its worst tenth."
    )
    return Finding(
        check="floats",
        verdict=verdict,
        unit="chance",
        value=chance,
        limit=limit,
        margin=strength[1] / worst.needs,
        chance=chance,
        says=f"{frozen[0]} {says}" if frozen else says,
        working=()
        if case.brief
        else (*worst.working(), _ground_line(case, strength), *_layer_line(case, loading), *frozen),
        beside=standing.beside(case, loading),
        sources=(*_sources(case), *case.site.sources),
        depends_on=("ground.soil", "ground.wetness", "task.load", "machine.mass", f"machine.{case.machine.gear}"),
        remedy="" if verdict == "go" or case.brief else _remedy(case, loading),
        demands=_demands(case, states),
    )


def _chance(case: Case, needs: float) -> float:
    return case.site.chance(case.machine.gear, needs)


def _verdict(case: Case, chance: float) -> Verdict:
    limits = case.rules.limits.floats
    return "go" if chance >= limits.go else "caution" if chance >= limits.caution else "no-go"


def _states(case: Case, loading: Carry, payload: float) -> list[_State]:
    """Empty and loaded, each end of a wheeled machine on its own."""
    return (_wheeled_states if case.machine.tyres else _tracked_states)(case, loading, np.array([0.0, payload]))


def _wheeled_states(case: Case, loading: Carry, payload: Array) -> list[_State]:
    machine, tyres = case.machine, case.machine.tyres
    assert tyres is not None
    axles = np.array(contact.axle_loads(loading.mass, loading.base, loading.rear_share, payload, loading.low_reach))
    wheel = np.maximum(axles, 1.0) * GRAVITY / 2  # [end, state]; an axle about to lift presses with next to nothing
    ratio = deflection(case, wheel) / section_height(case)
    factors = cone_index.wheeled_factors(
        2 * wheel,
        2,
        need(tyres.diameter, "tyre diameter"),
        need(tyres.width, "tyre width"),
        need(machine.clearance, "clearance"),
        need(machine.power, "power") / (loading.mass + payload),
        machine.hydrostatic,
        tyres.chains,
    )
    index = factors.mobility_index
    # The published curve steps down by 3 % at MI 115; a heavier axle must not need weaker ground.
    below = np.minimum(index, cone_index.MOBILITY_INDEX_JOINT)
    needs = np.maximum(*(cone_index.vehicle_cone_index_wheeled(i, case.passes, ratio) for i in (index, below)))

    def state(end: int, loaded: int) -> _State:
        name = f"{'loaded' if loaded else 'empty'}, on its {'rear' if end else 'front'} axle,"

        def working() -> tuple[str, ...]:
            r, mi = ratio[end, loaded], index[end, loaded]
            return (
                f"{_capital(name)} {case.show(axles[end, loaded], 'mass')}: mobility index "
                f"{_index_form(factors, 'TEF', 'WLF', (end, loaded))}",
                f"tyre deflection over section height {r:.3f}: needs VCI{case.passes} = "
                f"({_vci_form('wheeled', case.passes, mi)}) x (0.15/{r:.3f})^0.25 psi = "
                f"{_psi(case, needs[end, loaded])}",
            )

        return _State(name, bool(loaded), float(needs[end, loaded]), working)

    return [state(end, loaded) for loaded in (0, 1) for end in (0, 1)]


def _tracked_states(case: Case, loading: Carry, payload: Array) -> list[_State]:
    machine, tracks = case.machine, case.machine.tracks
    assert tracks is not None
    width, length, total = need(tracks.width, "track width"), loading.base, loading.mass + payload
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
    needs = cone_index.vehicle_cone_index_tracked(factors.mobility_index, case.passes)

    def state(loaded: int) -> _State:
        name = f"{'loaded' if loaded else 'empty'}, on its tracks,"

        def working() -> tuple[str, ...]:
            side = "ahead of" if offset[loaded] > 0 else "behind"
            return (
                f"{_capital(name)} {case.show(total[loaded], 'mass')}, resultant "
                f"{case.show(abs(offset[loaded]), 'small length')} {side} mid-track, so "
                f"{case.show(effective[loaded], 'small length')} of {case.show(length, 'small length')} carry it: "
                f"mobility index {_index_form(factors, 'TF', 'BF', (loaded,))}",
                f"needs VCI{case.passes} = {_vci_form('tracked', case.passes, factors.mobility_index[loaded])} psi = "
                f"{_psi(case, needs[loaded])}",
            )

        return _State(name, bool(loaded), float(needs[loaded]), working)

    return [state(loaded) for loaded in (0, 1)]


def _index_form(factors: cone_index.IndexFactors, gear: str, load: str, at: tuple[int, ...]) -> str:
    """The mobility index with the numbers of one state put in."""
    f = [np.broadcast_to(part, factors.mobility_index.shape)[at] for part in (*factors, factors.mobility_index)]
    return (
        f"MI = [CPF {f[0]:.2f} x WF {f[1]:.3f} / ({gear} {f[2]:.3f} x GF {f[3]:.2f}) + {load} {f[4]:.2f} - "
        f"CF {f[5]:.2f}] x EF {f[6]:.2f} x transmission {f[7]:.2f} = {f[8]:.1f}"
    )


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


def _tips(loading: Carry) -> bool:
    """Whether the carried load alone lifts the tail, arms low."""
    behind = loading.mass * loading.rear_share * loading.base
    return loading.payload * loading.low_reach >= behind


def _demands(case: Case, states: list[_State]) -> tuple[Demand, ...]:
    """The worst state empty and the worst loaded, for the picture."""
    marks = []
    for loaded, name in ((False, "empty"), (True, "loaded")):
        needs = max(s.needs for s in states if s.loaded == loaded)
        marks.append(Demand(name, needs, _chance(case, needs)))
    return tuple(marks)


def _with_frost(case: Case, loading: Carry, thawed: Verdict) -> tuple[Verdict, tuple[str, ...]]:
    """Frozen ground: the field rule and the plate rule are asked both, and both are shown."""
    depth = case.job.ground.frost
    if depth is None:
        return thawed, ()
    skin = case.rules.strength["frost_skin"].value
    total, carries = loading.mass + loading.payload, float(frost.frozen_capacity(depth)) / GRAVITY
    line = (
        f"Frozen {case.show(depth, 'length')} deep: the field rule wants {case.show(skin, 'length')}; as a plate over "
        f"wet ground that much carries 0.86 z^2 MN = {case.show(carries, 'mass')}, the loaded machine weighs "
        f"{case.show(total, 'mass')}."
    )
    if depth < skin:
        return thawed, (f"{line} Too thin to count; judged as thawed.",)
    if carries >= total:
        return "go", (f"{line} Both rules carry it while it stays frozen.",)
    verdict: Verdict = "go" if thawed == "go" else "caution"
    return verdict, (f"{line} Only the field rule carries it: probe it the same morning.",)


def _ground_line(case: Case, strength: tuple[float, float, float]) -> str:
    low, middle, high = (_psi(case, q) for q in strength)
    line = f"the ground ({case.site.name}): worst tenth {low}, middle {middle}, best tenth {high}"
    if case.site.equations is None:
        return line
    first, second = (_psi(case, e) for e in case.site.equations)
    return f"{line}; before any test one published equation says {first}, the other {second}, drawn with even odds"


def _layer_line(case: Case, loading: Carry) -> tuple[str, ...]:
    machine, total = case.machine, (loading.mass + loading.payload) * GRAVITY
    if machine.tracks:
        mean, _ = contact.track_pressure(total, loading.base, need(machine.tracks.width, "track width"))
        top, bottom = cone_index.critical_layer_tracked(mean)
    else:
        axles = contact.axle_loads(total, loading.base, loading.rear_share)
        top, bottom = cone_index.critical_layer_wheeled(max(axles) / 2)
    edges = " to ".join(case.show(float(edge), "small length") for edge in (top, bottom))
    return (f"the layer that decides lies {edges} down",)


def _remedy(case: Case, loading: Carry) -> str:
    """The load it could carry at even odds, if any; what drying would do is a matter of running the job again."""
    limit = case.rules.limits.floats.caution

    def holds(payload: float) -> bool:
        return _chance(case, max(s.needs for s in _states(case, loading, payload))) >= limit

    if holds(loading.payload):
        return "A thumb test or a cone reading tonight would settle it; mats or stone under the route would carry it."
    if not holds(0.0):
        return "Even empty it is likelier to bog than not: wait for the ground to dry, or lay mats or stone."
    payload = _largest(holds, loading.payload)
    return f"Carrying at most {case.show(payload, 'mass')} a trip it would hold at even odds; or lay mats, or wait."


def _largest(holds: Callable[[float], bool], above: float) -> float:
    """Largest payload that still holds, by halving between nothing and `above`."""
    low, high = 0.0, above
    for _ in range(12):
        middle = (low + high) / 2
        low, high = (middle, high) if holds(middle) else (low, middle)
    return low


def _on_sand(case: Case, pull: Array) -> Finding:
    """Clean sand: the spare pull must leave something to turn and start with."""
    reserve = case.rules.strength["sand_reserve"].value
    chance = float(np.mean(pull >= reserve))
    verdict = _verdict(case, chance)
    gear = "tracks" if case.machine.tracks else "tyres"
    return Finding(
        check="floats",
        verdict=verdict,
        unit="chance",
        value=chance,
        limit=case.rules.limits.floats.caution,
        margin=float(np.median(pull)) / reserve,
        chance=chance,
        says=(
            f"{'Gets about' if verdict != 'no-go' else 'Digs in'} on {case.site.name}: {_percent(chance)} chance that "
            f"its {gear} keep enough pull. They have {_percent(float(np.median(pull)))} of its weight to spare over "
            f"rolling resistance; turning and starting with a load takes {_percent(reserve)}."
        ),
        working=(
            "clean sand has no valid cone-index curve: traction less rolling resistance, as shares of weight, is set "
            f"against a reserve of {reserve:.2f}; spare pull in the middle {float(np.median(pull)):.3f}, worst tenth "
            f"{float(np.quantile(pull, 0.1)):.3f}",
        ),
        beside=standing.beside(case, carry(case)),
        sources=case.site.sources,
        depends_on=("ground.soil", "ground.wetness", "machine.tracks", "machine.tyres"),
        remedy="" if verdict == "go" else "Let tyre pressure down as far as the maker allows, keep straight, lay mats.",
    )


def _sources(case: Case) -> tuple[str, ...]:
    family = "tracked" if case.machine.tracks else "wheeled"
    passes = "one pass" if case.passes == 1 else "fifty passes"
    names = [f"{family} mobility index", f"{family} VCI, {passes}", "critical layer", "statics"]
    names += ["tyre deflection"] if family == "wheeled" else []
    names += ["frozen layer"] if case.job.ground.frost is not None else []
    return case.cite(*names)


def _psi(case: Case, strength: float) -> str:
    """A cone index the way each system prints it; 300 psi and over is the end of the dial."""
    at_end = strength >= cone_index.FULL_SCALE * 0.999
    digits = f"{strength / PSI:.0f} psi" if case.units == "us" else f"{strength / 1e3:.0f} kPa"
    return f"{digits} and over" if at_end else digits


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _percent(share: float) -> str:
    """A chance as people say it: never 0 or 100 % where it is only near."""
    percent = round(100 * share)
    if percent == 100 and share < 1:
        return "over 99 %"
    if percent == 0 and share > 0:
        return "under 1 %"
    return f"{percent} %"
