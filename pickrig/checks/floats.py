"""Does the ground hold it? Cone-index mobility decides; bearing capacity and the code's table stand beside it."""

from collections.abc import Callable

import numpy as np

from pickrig.checks.carrying import GRAVITY, Carry, carry
from pickrig.checks.case import Case, need
from pickrig.checks.finding import Demand, Finding, Verdict
from pickrig.checks.ground import footing
from pickrig.checks.ground.demand import State, capital, most_needed, show_strength, states
from pickrig.checks.ground.draws import Array
from pickrig.checks.ground.frozen import with_frost
from pickrig.physics import cone_index, contact
from pickrig.quantities import percent

PSI = cone_index.PSI


_REAR_EDGE = 0.95  # share of the base behind which an empty machine is about to sit back on its tail
_LEADS = {"go": "Holds", "caution": "May hold", "no-go": "Likelier to bog than not"}


def floats(case: Case) -> Finding:
    """Chance that the site's soil holds the machine for the job's passes, in its worst state. See `Finding`."""
    site = case.site
    if site.family == "hard":
        return _settled(case, "go", 1.0, "All travel is on surfaces that carry it; the soil is not asked.")
    if site.family == "not assessed":
        return _settled(case, "no-go", None, f"Not assessed: {site.instead}")
    loading = carry(case)
    if _tips(loading):
        return _settled(case, "no-go", 0.0, "It would tip over on level ground: check its figures, and see lifting.")
    if site.pull is not None:
        return _on_sand(case, site.pull[case.machine.gear], loading)
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
        f"{_LEADS[verdict]}: {percent(chance, below=limit)} chance that the ground carries it "
        f"for {days}. {capital(worst.name)} it needs {show_strength(case, worst.needs)}"
        f"{_other_state(case, asked, worst)}; the ground has "
        f"{show_strength(case, strength[1])} in the middle, {show_strength(case, strength[0])} in its worst tenth"
        f"{_on_the_dial(case, worst.needs)}."
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
        beside=footing.beside(case, loading),
        sources=(*_sources(case), *case.site.sources),
        depends_on=("ground.soil", "ground.wetness", "task.load", "machine.mass", f"machine.{case.machine.gear}"),
        remedy="" if verdict == "go" or case.brief else _remedy(case, loading),
        demands=_demands(case, asked),
    )


def _on_the_dial(case: Case, needs: float) -> str:
    """What a cone should read before traffic, so that nobody takes a reading for the strength that is left after it."""
    if case.brief or case.site.undisturbed is None or case.site.strength is None:
        return ""
    left = float(np.median(case.site.strength / case.site.undisturbed))
    if left > 0.9:
        return ""
    reading = show_strength(case, min(needs / left, cone_index.FULL_SCALE))
    return f", counted as it is left under traffic; a cone before any traffic should read at least about {reading}"


def _other_state(case: Case, asked: list[State], worst: State) -> str:
    """What it needs in the other state, empty or loaded, so that one can see what the load does."""
    other = most_needed([state for state in asked if state.loaded != worst.loaded])
    return f" ({'loaded' if other.loaded else 'empty'} {show_strength(case, other.needs)})"


def _chance(case: Case, needs: float) -> float:
    return case.site.chance(case.machine.gear, needs)


def _verdict(case: Case, chance: float) -> Verdict:
    limits = case.rules.limits.floats
    return "go" if chance >= limits.go else "caution" if chance >= limits.caution else "no-go"


def _tips(loading: Carry) -> bool:
    """Whether the resultant lies ahead of the front when loaded, or at the very rear when empty, arms low."""
    behind = loading.mass * loading.rear_share * loading.base
    forward = loading.payload * loading.low_reach >= behind
    return forward or loading.rear_share >= _REAR_EDGE


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
    if case.job.ground.tested:
        line += "; a test tells how the ground lies, the passes of the job work it down to this"
    return (line, case.site.water) if case.site.water else (line,)


def _layer_line(case: Case, loading: Carry) -> tuple[str, ...]:
    machine = case.machine
    if machine.tracks:
        total = (loading.mass + loading.payload) * GRAVITY
        mean, _ = contact.track_pressure(total, loading.base, need(machine.tracks.width, "tracks.width"))
        top, bottom = cone_index.critical_layer_tracked(mean)
    else:
        axles = contact.axle_loads(loading.mass, loading.base, loading.rear_share, loading.payload, loading.low_reach)
        top, bottom = cone_index.critical_layer_wheeled(max(axles) * GRAVITY / 2)
    edges = " to ".join(case.show(float(edge), "small length") for edge in (top, bottom))
    return (f"the layer that decides lies {edges} down",)


def _remedy(case: Case, loading: Carry) -> str:
    """The load it could carry at even odds, if any; what drying would do is a matter of running the job again."""
    limit = case.rules.limits.floats.caution

    def holds(payload: float) -> bool:
        return _chance(case, most_needed(states(case, loading, payload)).needs) >= limit

    if holds(loading.payload):
        test = "" if case.job.ground.tested else " A thumb test or a cone reading tonight would tell."
        return f"Mats or stone under the route would carry it.{test}"
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


def _on_sand(case: Case, pull: Array, loading: Carry) -> Finding:
    """Clean sand: the spare pull must leave something to turn and start with. Standing water may make it quick."""
    reserve, limit = case.rules.strength["sand_reserve"].value, case.rules.limits.floats.caution
    chance = float(np.mean(pull >= reserve))
    quick = case.job.ground.standing_water
    verdict: Verdict = "caution" if quick and _verdict(case, chance) == "go" else _verdict(case, chance)
    gear, spare = case.machine.gear, float(np.median(pull))
    lead = {"go": "Gets about", "caution": "May get about", "no-go": "Digs in"}[verdict]
    says = (
        f"{lead} on {case.site.name}: {percent(chance, below=limit)} chance that its {gear} keep enough pull. They "
        f"have {percent(spare)} of its weight to spare over rolling resistance; turning and starting with a load "
        f"takes {percent(reserve)}. Published figures part tracks from tyres here, not machine from machine."
    )
    if quick:
        says += " Water stands on it: where water rises through sand it may be quick; probe it first."
    if case.job.ground.frost:
        says += " Frost is not counted on clean sand."
    soft = case.machine.tyres is not None and case.machine.tyres.kind == "pneumatic"
    lower = "Let tyre pressure down as far as the maker allows, " if soft else ""
    return Finding(
        check="floats",
        verdict=verdict,
        unit="chance",
        value=chance,
        limit=limit,
        margin=spare / reserve,
        chance=chance,
        says=says,
        working=(
            "clean sand has no valid cone-index curve: traction less rolling resistance, as shares of weight, is set "
            f"against a reserve of {reserve:.2f}; spare pull in the middle {spare:.3f}, worst tenth "
            f"{float(np.quantile(pull, 0.1)):.3f}",
        ),
        beside=footing.beside(case, loading),
        sources=case.site.sources,
        depends_on=("ground.soil", "ground.wetness", f"machine.{gear}"),
        remedy="" if verdict == "go" else f"{lower}{'keep' if lower else 'Keep'} straight, lay mats.",
    )


def _sources(case: Case) -> tuple[str, ...]:
    family = "tracked" if case.machine.tracks else "wheeled"
    passes = "one pass" if case.passes == 1 else "fifty passes"
    names = [f"{family} mobility index", f"{family} VCI, {passes}", "critical layer", "statics"]
    names += ["tyre deflection"] if family == "wheeled" else []
    return case.cite(*names)
