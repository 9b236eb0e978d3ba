"""Does the ground hold it? Cone-index mobility decides; bearing capacity and the code's table stand beside it."""

import numpy as np

from pickrig.checks.carrying import GRAVITY, Carry, carry
from pickrig.checks.case import Case, need
from pickrig.checks.finding import Account, Demand, Finding, Verdict
from pickrig.checks.ground import footing
from pickrig.checks.ground.demand import State, most_needed, needed, own_error, states
from pickrig.checks.ground.draws import Array
from pickrig.checks.ground.frozen import with_frost
from pickrig.checks.ground.sand import let_down, spare_pull
from pickrig.checks.passes import passes
from pickrig.checks.pressing import heaviest_wheel
from pickrig.facts import Chance, Quantity, Ruled, Said, Statements, Step, Term, number, small
from pickrig.halving import halve
from pickrig.physics import cone_index, contact, wetness

_LEADS = {"go": "holds", "caution": "may", "no-go": "bogs"}
_HALVINGS = 12


def floats(case: Case) -> Finding:
    """Chance that the site's soil holds the machine for the job's passes, in its worst state. See `Finding`."""
    site = case.site
    if site.family == "hard":
        return _settled(case, "go", 1.0, Said("floats.hard"))
    if site.family == "not assessed":
        return _settled(case, "no-go", None, Said("floats.not_assessed", instead=Ruled(site.instead)))
    loading = carry(case)
    if _tips(case, loading):
        return _settled(case, "no-go", 0.0, Said("floats.tips"))
    if site.cone_index is not None and case.job.task.on_boards:
        return _settled(case, "go", 1.0, Said("floats.sand_boards", boards=_boards(case)))
    if site.cone_index is not None:
        return _on_sand(case, spare_pull(case), loading)
    return with_frost(case, loading, _on_soil(case, loading))


def _boards(case: Case) -> Ruled:
    """What lies under the way, where the job has boards laid."""
    return Ruled(case.rules.helps["plywood"].says)


def _settled(case: Case, verdict: Verdict, chance: float | None, says: Said) -> Finding:
    """A finding that needs no numbers of the machine."""
    instead = (Said("ruled", text=Ruled(case.site.instead)),) if verdict == "no-go" and case.site.instead else ()
    return Finding(
        check="floats",
        verdict=verdict,
        unit="chance",
        value=chance,
        chance=chance,
        depends_on=("ground.soil", "ground.travel"),
        account=lambda: Account((says,), instead, sources=case.site.sources),
    )


def _on_soil(case: Case, loading: Carry) -> Finding:
    asked = states(case, loading, loading.payload)
    worst = most_needed(asked)
    chance = _chance(case, worst.needs)
    verdict = _verdict(case, chance)
    return Finding(
        check="floats",
        verdict=verdict,
        unit="chance",
        value=chance,
        limit=case.rules.limits.floats.caution,
        margin=case.site.tenths[1] / worst.needs,
        chance=chance,
        depends_on=("ground.soil", "ground.wetness", "task.load", "machine.mass", f"machine.{case.machine.gear}"),
        demands=_demands(case, asked),
        account=lambda: Account(
            says=_says(case, asked, verdict, chance),
            remedy=() if verdict == "go" else _remedy(case, loading),
            working=(*worst.working(), *_ground_lines(case), _layer(case, loading)),
            beside=footing.beside(case, loading),
            sources=(*_sources(case), *case.site.sources),
        ),
    )


def _says(case: Case, asked: list[State], verdict: Verdict, chance: float) -> Statements:
    """The verdict; what the machine needs in its worst state and in the other, empty or loaded; what the ground has."""
    worst = most_needed(asked)
    other = most_needed([state for state in asked if state.loaded != worst.loaded])
    low, middle, _ = (Quantity(q, "strength") for q in case.site.tenths)
    holds = Chance(chance, case.rules.limits.floats.caution)
    return (
        Said(f"floats.{_LEADS[verdict]}", chance=holds, passes=round(passes(case))),
        *((Said("floats.on_boards", boards=_boards(case)),) if case.job.task.on_boards else ()),
        *_voices_part(case, worst.needs),
        _needs(worst, other),
        Said(
            "floats.ground" if case.site.family == "fine" else "floats.ground_spot",
            middle=middle,
            low=low,
            passes=round(passes(case)),
        ),
        *_on_the_dial(case, worst.needs),
    )


def _needs(worst: State, other: State) -> Said:
    """What it needs of the ground; on a slope that no ground gives it the pull for, that."""
    if worst.needs > cone_index.FULL_SCALE:
        return Said("floats.no_pull")
    return Said(
        "floats.needs",
        state=Term(f"{'loaded' if worst.loaded else 'empty'}_{worst.end}"),
        needs=Quantity(worst.needs, "strength"),
        other=Quantity(other.needs, "strength"),
    )


def _voices_part(case: Case, needs: float) -> Statements:
    """Where one published equation would keep the machine home, and the other, far from it, would not."""
    chances = case.site.voice_chances(case.machine.gear, needs, own_error(case))
    limit, apart = case.rules.limits.floats.caution, case.rules.strength["voices_part"].value
    if chances is None or not min(chances) < limit <= max(chances) or max(chances) - min(chances) < apart:
        return ()
    return (Said("floats.voices", first=Chance(min(chances)), second=Chance(max(chances))),)


def _on_the_dial(case: Case, needs: float) -> Statements:
    """What a cone should read before traffic, so that nobody takes a reading for the strength that is left after it;
    nothing where this ground never reads that."""
    if case.site.undisturbed is None or case.site.strength is None:
        return ()
    left = float(np.median(case.site.strength / case.site.undisturbed))
    reading, most = needs / left, min(float(np.max(case.site.undisturbed)), cone_index.FULL_SCALE)
    if left > case.rules.strength["untouched"].value or reading > most:
        return ()
    return (Said("floats.dial", reading=Quantity(reading, "strength")),)


def _chance(case: Case, needs: float) -> float:
    return case.site.chance(case.machine.gear, needs, own_error(case), _steady_layer(case))


def _steady_layer(case: Case) -> str:
    """The layer that decides for a machine that does not churn as it turns; empty for one that does."""
    if case.machine.kind != "articulated loader":
        return ""
    top, _ = _critical_layer(case, carry(case))
    return "shallow" if top < wetness.LAYER else "deep"


def _verdict(case: Case, chance: float) -> Verdict:
    limits = case.rules.limits.floats
    return "go" if chance >= limits.go else "caution" if chance >= limits.caution else "no-go"


def _tips(case: Case, loading: Carry) -> bool:
    """Whether the resultant lies ahead of the front when loaded, or at the very rear when empty, arms low."""
    behind = loading.mass * loading.rear_share * loading.base
    forward = loading.payload * loading.low_reach >= behind
    return forward or loading.rear_share >= case.rules.strength["rear_edge"].value


def _demands(case: Case, asked: list[State]) -> tuple[Demand, ...]:
    """The worst state empty and the worst loaded, for the picture."""
    most = {loaded: max(s.needs for s in asked if s.loaded == loaded) for loaded in (False, True)}
    return tuple(Demand(loaded, needs, _chance(case, needs)) for loaded, needs in most.items())


def _ground_lines(case: Case) -> Statements:
    """The ground's strength, how the two equations part, and how wet it is where that was worked out."""
    low, middle, high = (Quantity(q, "strength") for q in case.site.tenths)
    told = [Said("floats.tenths", ground=case.site.name, low=low, middle=middle, high=high)]
    if case.site.voices is not None:
        first, second = (Quantity(float(np.median(voice)), "strength") for voice in case.site.voices)
        told.append(Said("floats.equations", first=first, second=second))
    if case.job.ground.tested:
        told.append(Said("floats.tested"))
    return (*told, case.site.water) if case.site.water else tuple(told)


def _layer(case: Case, loading: Carry) -> Said:
    """Depth of the layer whose strength decides for this machine."""
    top, bottom = _critical_layer(case, loading)
    return Said("floats.layer", top=small(top), bottom=small(bottom))


def _critical_layer(case: Case, loading: Carry) -> tuple[float, float]:
    """Its top and bottom, m."""
    machine = case.machine
    if machine.tracks:
        total = (loading.mass + loading.payload) * GRAVITY
        mean, _ = contact.track_pressure(total, loading.base, need(machine.tracks.width, "tracks.width"))
        top, bottom = cone_index.critical_layer_tracked(mean)
    else:
        top, bottom = cone_index.critical_layer_wheeled(heaviest_wheel(loading, loading.payload))
    return float(top), float(bottom)


def _remedy(case: Case, loading: Carry) -> Statements:
    """The load it could carry at even odds, if any; what drying would do is a matter of running the job again."""
    limit = case.rules.limits.floats.caution

    def holds(payload: float) -> bool:
        return _chance(case, needed(case, loading, payload)) >= limit

    if holds(loading.payload):
        mats = () if case.job.task.on_boards else (Said("floats.mats"),)
        return (*mats, *(() if case.job.ground.tested else (Said("floats.test"),)))
    if not holds(0.0):
        return (Said("floats.even_empty"),)
    largest, _ = halve(holds, 0.0, loading.payload, _HALVINGS)
    return (Said("floats.at_most", payload=Quantity(largest, "mass")),)


def _on_sand(case: Case, pull: Array, loading: Carry) -> Finding:
    """Clean sand: the spare pull must leave something to turn and start with. Standing water may make it quick."""
    reserve, limit = case.rules.strength["sand_reserve"].value, case.rules.limits.floats.caution
    chance, spare = float(np.mean(pull >= reserve)), float(np.median(pull))
    quick = case.job.ground.standing_water
    verdict: Verdict = "caution" if quick and _verdict(case, chance) == "go" else _verdict(case, chance)
    return Finding(
        check="floats",
        verdict=verdict,
        unit="chance",
        value=chance,
        limit=limit,
        margin=spare / reserve,
        chance=chance,
        depends_on=("ground.soil", "ground.wetness", "task.load", "machine.mass", f"machine.{case.machine.gear}"),
        account=lambda: Account(
            says=_sand_says(case, verdict, Chance(chance, limit), spare, reserve),
            remedy=() if verdict == "go" else _sand_remedy(case),
            working=(
                _firm(case),
                Step(
                    "floats.sand",
                    reserve=number(reserve, 2),
                    spare=number(spare, 3),
                    spare_10=number(float(np.quantile(pull, 0.1)), 3),
                ),
            ),
            beside=footing.beside(case, loading),
            sources=case.site.sources,
        ),
    )


def _sand_says(case: Case, verdict: Verdict, chance: Chance, spare: float, reserve: float) -> Statements:
    told = [
        Said(f"floats.sand_{_LEADS[verdict]}", ground=case.site.name, chance=chance),
        Said(
            "floats.sand_pull",
            gear=Term(case.machine.gear),
            spare=Quantity(spare, "share"),
            reserve=Quantity(reserve, "share"),
        ),
    ]
    told += [Said("floats.sand_quick")] if case.job.ground.standing_water else []
    told += [Said("floats.sand_frost")] if case.job.ground.frost else []
    return tuple(told)


def _firm(case: Case) -> Said:
    """How firm the sand lies."""
    assert case.site.cone_index is not None
    low, middle, high = (Quantity(float(q), "strength") for q in np.quantile(case.site.cone_index, (0.1, 0.5, 0.9)))
    return Said("floats.sand_firm", low=low, middle=middle, high=high)


def _sand_remedy(case: Case) -> Statements:
    """What letting the tires down would do; only air-filled ones can be."""
    if case.machine.tyres is None or case.machine.tyres.kind != "pneumatic":
        return (Said("floats.sand_straight"),)
    chance = float(np.mean(let_down(case) >= case.rules.strength["sand_reserve"].value))
    return (Said("floats.sand_tyres", chance=Chance(chance)),)


def _sources(case: Case) -> Statements:
    family = "tracked" if case.machine.tracks else "wheeled"
    count = passes(case)
    names = [f"{family} mobility index"]
    names += [f"{family} VCI, one pass"] if count < 50 else []
    names += [f"{family} VCI, fifty passes"] if count > 1 else []
    names += ["passes between"] if count not in (1, 50) else []
    names += ["pull uphill"] if case.job.ground.grade else []
    names += ["route", "critical layer", "statics"]
    names += ["tyre deflection"] if family == "wheeled" else []
    return case.cite(*names)
