"""Does the ground hold it? Cone-index mobility decides; bearing capacity and the code's table stand beside it."""

from collections.abc import Callable

import numpy as np

from pickrig.checks import standing
from pickrig.checks.case import Case, need
from pickrig.checks.demand import State, capital, most_needed, show_strength, states
from pickrig.checks.finding import Demand, Finding, Verdict
from pickrig.checks.frozen import with_frost
from pickrig.checks.loading import GRAVITY, Carry, carry
from pickrig.checks.luck import Array
from pickrig.physics import cone_index, contact

PSI = cone_index.PSI


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
    return with_frost(case, loading, _on_soil(case, loading))


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
    asked = states(case, loading, loading.payload)
    worst = most_needed(asked)
    chance = _chance(case, worst.needs)
    verdict = _verdict(case, chance)
    strength = case.site.tenths
    limit = case.rules.limits.floats.caution
    days = "a day's work" if case.passes > 1 else "one crossing"
    says = (
        f"{'Holds' if verdict != 'no-go' else 'Likelier to bog'}: {_percent(chance)} chance that the ground carries it "
        f"for {days}. {capital(worst.name)} it needs {show_strength(case, worst.needs)}; the ground has "
        f"{show_strength(case, strength[1])} in the middle, {show_strength(case, strength[0])} in its worst tenth."
    )
    return Finding(
        check="floats",
        verdict=verdict,
        unit="chance",
        value=chance,
        limit=limit,
        margin=strength[1] / worst.needs,
        chance=chance,
        says=says,
        working=() if case.brief else (*worst.working(), *_ground_lines(case), *_layer_line(case, loading)),
        beside=standing.beside(case, loading),
        sources=(*_sources(case), *case.site.sources),
        depends_on=("ground.soil", "ground.wetness", "task.load", "machine.mass", f"machine.{case.machine.gear}"),
        remedy="" if verdict == "go" or case.brief else _remedy(case, loading),
        demands=_demands(case, asked),
    )


def _chance(case: Case, needs: float) -> float:
    return case.site.chance(case.machine.gear, needs)


def _verdict(case: Case, chance: float) -> Verdict:
    limits = case.rules.limits.floats
    return "go" if chance >= limits.go else "caution" if chance >= limits.caution else "no-go"


def _tips(loading: Carry) -> bool:
    """Whether the carried load alone lifts the tail, arms low."""
    behind = loading.mass * loading.rear_share * loading.base
    return loading.payload * loading.low_reach >= behind


def _demands(case: Case, asked: list[State]) -> tuple[Demand, ...]:
    """The worst state empty and the worst loaded, for the picture."""
    marks = []
    for loaded, name in ((False, "empty"), (True, "loaded")):
        needs = max(s.needs for s in asked if s.loaded == loaded)
        marks.append(Demand(name, needs, _chance(case, needs)))
    return tuple(marks)


def _ground_lines(case: Case) -> tuple[str, ...]:
    """The ground's strength, how the two equations part, and how wet it is where that was worked out."""
    low, middle, high = (show_strength(case, q) for q in case.site.tenths)
    line = f"the ground ({case.site.name}): worst tenth {low}, middle {middle}, best tenth {high}"
    if case.site.equations is not None:
        first, second = (show_strength(case, e) for e in case.site.equations)
        line += f"; before any test one published equation says {first}, the other {second}, drawn with even odds"
    return (line, case.site.water) if case.site.water else (line,)


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
        return _chance(case, most_needed(states(case, loading, payload)).needs) >= limit

    if holds(loading.payload):
        return "Mats or stone under the route would carry it; a thumb test or a cone reading would tell."
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
    return case.cite(*names)


def _percent(share: float) -> str:
    """A chance as people say it: never 0 or 100 % where it is only near."""
    percent = round(100 * share)
    if percent == 100 and share < 1:
        return "over 99 %"
    if percent == 0 and share > 0:
        return "under 1 %"
    return f"{percent} %"
