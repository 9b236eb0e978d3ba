"""Fine soil: moisture through both published strength equations, day by day, narrowed by whatever was tested."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import log
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from pickrig.checks.cited import source
from pickrig.checks.ground.draws import Array, Luck, evenly, triangle
from pickrig.checks.ground.evidence import Evidence, believe, is_tested
from pickrig.checks.ground.learned import by_log
from pickrig.checks.ground.levels import Levels, levels
from pickrig.checks.ground.moisture import Moist, by_weather, by_word
from pickrig.checks.ground.route import weakest
from pickrig.checks.ground.soils import Candidate, candidates, soil_notes
from pickrig.facts import Chance, Key, Quantity, Ruled, Said, Statements
from pickrig.inputs import Job
from pickrig.physics import cone_index, traction
from pickrig.rulebook import Rules
from pickrig.rulebook.tables import Soil

Wet = Literal["dry", "moist", "wet"]
_WORDS: tuple[Wet, ...] = ("dry", "moist", "wet")


@dataclass(frozen=True)
class FineDay:
    """A day's strengths, one number a draw, Pa, and how they came about. steady: for machines that do not churn, by the
    layer that decides, "shallow" or "deep". voices: strength by each of the two equations alone, where there are two
    and nobody tested the ground. packs: where it sticks to the lugs of tracks. everywhere: strength of the lot, not of
    its weakest spot. wetness: the word for the upper layer."""

    moist: Moist
    strength: Array
    undisturbed: Array
    undrained: Array
    steady: dict[str, Array]
    voices: tuple[Array, Array] | None
    water: Said | None
    packs: NDArray[np.bool_]
    everywhere: Array
    wetness: Wet
    notes: Statements
    sources: Statements


@dataclass(frozen=True)
class _Strengths:
    """Undisturbed cone index, and rating cone index by the two equations, Pa."""

    undisturbed: Array
    by_group: Array
    by_clay: Array

    def times(self, factor: float) -> "_Strengths":
        """The same so many times as strong, within what a cone can read."""
        if factor == 1:
            return self
        all_ = (self.undisturbed, self.by_group, self.by_clay)
        return _Strengths(*(np.minimum(factor * one, cone_index.FULL_SCALE) for one in all_))


def fine_days(job: Job, rules: Rules, luck: Luck) -> list[FineDay]:
    """The day of the job, then each later day the weather covers."""
    soils = candidates(job, rules)
    waters = [levels(one.soil, rules) for one in soils]
    moist_by_soil = [_moist_days(one, job, rules, luck) for one in soils]
    chosen = _choose([one.weight for one in soils], luck)
    learned = by_log(job)
    n_k = triangle(luck.uniform["cone_factor"], *rules.strength["cone_factor"].three)
    by_day: list[tuple[Moist, NDArray[np.bool_], Wet, dict[str, _Strengths]]] = []
    for days in zip(*moist_by_soil, strict=True):
        both = list(zip(soils, days, strict=True))
        columns = [_strengths(one, moist, rules, luck) for one, moist in both]
        packs = _of_chosen([_packs(one.soil, moist, job, rules) for one, moist in both], chosen)
        words = sorted(map(_word, waters, days), key=_WORDS.index)  # of soils, whatever their weight
        joined = {name: _chosen([c[name] for c in columns], chosen).times(learned) for name in columns[0]}
        by_day.append((days[0], packs, words[len(words) // 2], joined))
    level = _level(rules, luck)
    mixed = [{name: _pooled(strengths, level) for name, strengths in joined.items()} for *_, joined in by_day]
    weak = weakest(job, rules, luck)
    evidence = believe(job, rules, luck, np.maximum(by_day[0][-1][_CHURNED].undisturbed, mixed[0][_CHURNED]), n_k)
    two = any(one.soil.clay is not None for one in soils)
    notes, sources = (*_notes(job, rules), *evidence.notes), (*_sources(job, rules, soils), *evidence.sources)
    out: list[FineDay] = []
    for (moist, packs, word, joined), by_layer in zip(by_day, mixed, strict=True):
        strengths, strength = joined[_CHURNED], by_layer[_CHURNED]
        if job.weather is not None and moist.date is not None and moist.date != job.weather.job_day and not out:
            continue  # the last measured day, where the tests were made, and days up to the job
        undisturbed = np.maximum(strengths.undisturbed, strength)
        correction = _faded(evidence, moist, job, rules)
        record = job.weather is not None and job.weather.record
        strength, undisturbed, undrained = _narrowed(correction, strength, undisturbed, n_k)
        steady = {name: _along(weak, _corrected(s, correction)) for name, s in by_layer.items() if name != _CHURNED}
        told = correction is None and not record  # of thousands of days nobody reads the words
        out.append(
            FineDay(
                moist=moist,
                strength=_along(weak, strength),
                undisturbed=undisturbed,
                undrained=undrained,
                steady=steady,
                voices=(_along(weak, strengths.by_group), _along(weak, strengths.by_clay)) if told and two else None,
                water=None if record else _water(moist),
                packs=packs,
                everywhere=strength,
                wetness=word,
                notes=notes,
                sources=sources,
            )
        )
    return out


def _choose(weights: list[float], luck: Luck) -> NDArray[np.int_]:
    """Which of the soils each draw is of."""
    ends = np.cumsum(weights) / sum(weights)
    return np.minimum(np.searchsorted(ends, luck.uniform["group"], side="right"), len(weights) - 1)


def _of_chosen(columns: Sequence[NDArray[Any]], chosen: NDArray[np.int_]) -> NDArray[Any]:
    """Of each draw what stands for its soil."""
    return np.stack(columns)[chosen, np.arange(len(chosen))]


def _moist_days(one: Candidate, job: Job, rules: Rules, luck: Luck) -> list[Moist]:
    if job.weather is not None and job.ground.moisture is None:
        return by_weather(one.soil, job, rules, luck, below=one.below)
    return [by_word(one.soil, job.ground, rules, luck)]


def _strengths(one: Candidate, moist: Moist, rules: Rules, luck: Luck) -> dict[str, _Strengths]:
    off = np.exp(log(rules.strength["equation_scatter"].value) * luck.normal["residual"])

    # Organic soil is outside what the clay equation was fitted on. The one equation left may be off its level either
    # way by as much as the two are apart where there are two.
    apart = rules.strength["equations_apart"].value

    def layer(key: str, soil: Soil, m: Array) -> tuple[Array, Array, Array]:
        first = cone_index.rating_cone_index(key, m)
        if soil.clay is None:
            alone = apart ** (2 * luck.uniform["alone"] - 1)
            return cone_index.cone_index(key, m), alone * first, alone * first
        low, high = soil.clay
        clay = low + (high - low) * luck.uniform["clay"]
        return cone_index.cone_index(key, m), first, cone_index.rating_cone_index_clay(clay, m)

    keys = ((one.key, one.soil), (one.lower_key, one.lower))
    by_layer = [layer(*of, m) for of, m in zip(keys, moist.layers, strict=False)]
    capped = [[np.minimum(s * off, cone_index.FULL_SCALE) for s in layer] for layer in by_layer]
    if len(capped) == 1:
        return {_CHURNED: _Strengths(*capped[0])}
    return {
        name: _Strengths(*(join(*layers) for layers in zip(*capped, strict=True))) for name, join in _DECIDES.items()
    }


def _packs(soil: Soil, moist: Moist, job: Job, rules: Rules) -> NDArray[np.bool_]:
    """Where the surface stays in the lugs of tracks: as whoever walked on it says, on later days by its moisture."""
    upper, sticks = moist.layers[0], soil.sticks
    later = job.weather is not None and moist.date is not None and moist.date > job.weather.job_day
    if job.ground.sticky is not None and not later:
        return np.full(upper.shape, job.ground.sticky)
    if sticks is None:
        return np.zeros(upper.shape, dtype=bool)
    index = traction.stickiness(upper, sticks.plastic_limit, sticks.liquid_limit, sticks.clings)
    return np.asarray(index > rules.pull.packs.value)


def _between(upper: Array, lower: Array) -> Array:
    """From 3 to 9 in: half of each layer, and the lower alone where it is the weaker."""
    return np.where(lower < upper, lower, np.sqrt(upper * lower))


def _lower(_upper: Array, lower: Array) -> Array:
    return lower


# What counts of the layers 0-6 and 6-12 in: of a machine that churns as it turns, the weaker; of one that does not, its
# own layer, and the lower where that is weaker still (rules/equations.toml, crust).
_CHURNED = "churned"
_DECIDES: dict[str, Callable[[Array, Array], Array]] = {_CHURNED: np.minimum, "shallow": _between, "deep": _lower}


def _chosen(columns: list[_Strengths], chosen: NDArray[np.int_]) -> _Strengths:
    if len(columns) == 1:
        return columns[0]
    return _Strengths(
        *(_of_chosen([getattr(c, name) for c in columns], chosen) for name in ("undisturbed", "by_group", "by_clay"))
    )


def _level(rules: Rules, luck: Luck) -> Array:
    """Weight of the clay equation, a draw each: where the truth lies between the two is one error of the whole run."""
    return evenly(luck.uniform["equation"], *rules.strength["clay_equation"].three)


def _pooled(strengths: _Strengths, level: Array) -> Array:
    """Strength between the two equations, on the scale of its logarithm."""
    return np.asarray(strengths.by_group ** (1 - level) * strengths.by_clay**level)


def _faded(evidence: Evidence, moist: Moist, job: Job, rules: Rules) -> Array | None:
    """The tests' correction, the weaker the longer ago they were made."""
    if evidence.correction is None or job.weather is None or moist.date is None:
        return evidence.correction
    since = (moist.date - job.weather.last_measured).days
    return np.asarray(evidence.correction ** np.exp(-max(since - 1, 0) / rules.strength["test_fades"].value))


def _narrowed(correction: Array | None, strength: Array, undisturbed: Array, n_k: Array) -> tuple[Array, Array, Array]:
    """Strength worked over, undisturbed, and undrained, after the tests.

    A test tells how the ground lies; what traffic leaves of that is the soil's own ratio, which a test does not touch.
    Only one equation is published for undisturbed ground; worked over, no ground gets stronger than that.
    """
    strength, undisturbed = _corrected(strength, correction), _corrected(undisturbed, correction)
    return strength, undisturbed, cone_index.undrained_strength(undisturbed, n_k)


def _along(weak: Array, strength: Array) -> Array:
    """What the weakest spot of the way counts as, within what a cone can read."""
    return np.minimum(weak * strength, cone_index.FULL_SCALE)


def _corrected(strength: Array, correction: Array | None) -> Array:
    """After the tests, within what a cone can read."""
    return strength if correction is None else np.minimum(strength * correction, cone_index.FULL_SCALE)


def _word(water: Levels, moist: Moist) -> Wet:
    """Dry, moist or wet, by the middle of the upper layer."""
    upper = float(np.median(moist.layers[0]))
    if upper < water.dry_moist:
        return "dry"
    return "moist" if upper < water.moist_wet else "wet"


def _water(moist: Moist) -> Said | None:
    """How wet, beside field capacity and saturation, so that a practitioner can argue with it."""
    if moist.capacity is None or moist.saturation is None:
        return None
    upper, lower = (Quantity(float(np.median(layer)), "share") for layer in moist.layers)
    return Said(
        "ground.water",
        upper=upper,
        lower=lower,
        capacity=Quantity(moist.capacity, "share"),
        saturated=Quantity(moist.saturation, "share"),
        stands=Chance(moist.standing),
    )


def _notes(job: Job, rules: Rules) -> Statements:
    ground = job.ground
    told = [] if ground.soil or ground.ribbon else list(soil_notes(job, rules))
    if ground.route is None and job.task.haul is None:
        usual = Quantity(rules.strength["usual_route"].value, "length")
        told.append(Said("assumed.route", route=usual, key=Key("ground.route")))
    if job.weather is not None and ground.moisture is None:
        lot = [] if ground.drainage else [Said("assumed.drainage", key=Key("ground.drainage"))]
        lot += [] if ground.cover else [Said("assumed.cover", key=Key("ground.cover"))]
        ahead = [day for day in job.weather.days if day.date > job.weather.last_measured and day.rain == 0]
        dry = [Said("assumed.forecast_dry")] if ahead else []
        return (*told, *lot, *dry, *_start_notes(job, rules), *job.weather.notes)
    unused = tuple(Key(f"ground.{key}") for key in ("drainage", "cover") if getattr(ground, key))
    told.append(Said("assumed.one_layer"))
    told += [Said("assumed.no_weather", keys=unused)] if unused else []
    if ground.wetness is None and ground.moisture is None and not ground.standing_water:
        key = "assumed.any_wetness" if is_tested(job) else "assumed.soil_wet"
        told.append(Said(key, key=Key("ground.wetness")))
    return tuple(told)


def _start_notes(job: Job, rules: Rules) -> Statements:
    """Where the water balance started, where that matters."""
    assert job.weather is not None
    if job.ground.wetness or job.ground.standing_water:
        seen = "standing water" if job.ground.standing_water else job.ground.wetness
        return (Said("assumed.seen_today", seen=Ruled(seen or "")),)
    history = (job.weather.job_day - job.weather.days[0].date).days
    return (Said("assumed.short_history", days=history),) if history < rules.strength["short_history"].value else ()


def _sources(job: Job, rules: Rules, soils: list[Candidate]) -> Statements:
    equations = ["strength by soil group", "strength by clay"]
    equations += ["soil hydraulics"] if job.ground.moisture is None else []
    if job.weather is not None:
        equations += ["evaporation", "runoff", "drainage", "crust"]
    cited = tuple(source(rules, rules.equations[name]) for name in equations)
    return (*cited, source(rules, rules.soils[soils[0].key], "source.moisture"))
