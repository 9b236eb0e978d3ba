"""Fine soil: moisture through both published strength equations, day by day, narrowed by whatever was tested."""

from collections.abc import Callable
from dataclasses import dataclass
from math import log

import numpy as np
from numpy.typing import NDArray

from pickrig.checks.cited import source
from pickrig.checks.ground.draws import Array, Luck, triangle
from pickrig.checks.ground.evidence import Evidence, believe, is_tested
from pickrig.checks.ground.moisture import Moist, by_weather, by_word
from pickrig.facts import Chance, Key, Quantity, Ruled, Said, Statements
from pickrig.inputs import Job
from pickrig.physics import cone_index
from pickrig.rulebook import Rules
from pickrig.rulebook.tables import Soil


@dataclass(frozen=True)
class FineDay:
    """A day's strengths, one number a draw, Pa, and how they came about. steady: for machines that do not churn, by the
    layer that decides, "shallow" or "deep"."""

    moist: Moist
    strength: Array
    undisturbed: Array
    undrained: Array
    steady: dict[str, Array]
    equations: tuple[float, float]
    water: Said | None
    notes: Statements
    sources: Statements


@dataclass(frozen=True)
class _Strengths:
    """Undisturbed cone index, and rating cone index by the two equations, Pa."""

    undisturbed: Array
    by_group: Array
    by_clay: Array


def fine_days(job: Job, rules: Rules, luck: Luck) -> list[FineDay]:
    """The day of the job, then each later day the weather covers."""
    groups = _groups(job, rules)
    moist_by_group = [_moist_days(rules.soils[key], job, rules, luck) for key in groups]
    chosen = (luck.uniform["group"] * len(groups)).astype(int)
    factor = rules.strength["cone_factor"]
    n_k = triangle(luck.uniform["cone_factor"], factor.low or factor.value, factor.value, factor.high or factor.value)
    by_day = []
    for days in zip(*moist_by_group, strict=True):
        columns = [
            _strengths(key, rules.soils[key], moist, rules, luck) for key, moist in zip(groups, days, strict=True)
        ]
        by_day.append((days[0], {name: _chosen([c[name] for c in columns], chosen) for name in columns[0]}))
    mixed = [{name: _mixed(strengths, luck) for name, strengths in joined.items()} for _, joined in by_day]
    evidence = believe(job, rules, luck, np.maximum(by_day[0][1][_CHURNED].undisturbed, mixed[0][_CHURNED]), n_k)
    notes, sources = (*_notes(job), *evidence.notes), (*_sources(job, rules, groups), *evidence.sources)
    out: list[FineDay] = []
    for (moist, joined), by_layer in zip(by_day, mixed, strict=True):
        strengths, strength = joined[_CHURNED], by_layer[_CHURNED]
        if job.weather is not None and moist.date is not None and moist.date != job.weather.job_day and not out:
            continue  # the last measured day, where the tests were made, and days up to the job
        undisturbed = np.maximum(strengths.undisturbed, strength)
        correction = _faded(evidence, moist, job, rules)
        record = job.weather is not None and job.weather.record
        narrowed = _narrowed(correction, strength, undisturbed, n_k)
        steady = {name: _corrected(s, correction) for name, s in by_layer.items() if name != _CHURNED}
        out.append(_day(moist, strengths, narrowed, steady, notes, sources, record))
    return out


def _groups(job: Job, rules: Rules) -> list[str]:
    """The soil's group, or all it may be: what a ribbon says, else any fine soil."""
    if job.ground.soil:
        return [job.ground.soil]
    if job.ground.ribbon:
        return rules.field_tests["ribbon"].groups[job.ground.ribbon]
    return [key for key, soil in rules.soils.items() if soil.family == "fine"]


def _moist_days(soil: Soil, job: Job, rules: Rules, luck: Luck) -> list[Moist]:
    if job.weather is not None and job.ground.moisture is None:
        return by_weather(soil, job, rules, luck)
    return [by_word(soil, job.ground, rules, luck)]


def _strengths(key: str, soil: Soil, moist: Moist, rules: Rules, luck: Luck) -> dict[str, _Strengths]:
    low, high = soil.clay or (0.0, 0.0)
    clay = low + (high - low) * luck.uniform["clay"]
    off = np.exp(log(rules.strength["equation_scatter"].value) * luck.normal["residual"])

    def second_opinion(moisture: Array) -> Array:
        # Organic soil is outside what the clay equation was fitted on: there the first equation counts twice.
        if soil.clay is None:
            return cone_index.rating_cone_index(key, moisture)
        return cone_index.rating_cone_index_clay(clay, moisture)

    by_layer = [
        (cone_index.cone_index(key, m), cone_index.rating_cone_index(key, m), second_opinion(m)) for m in moist.layers
    ]
    capped = [[np.minimum(s * off, cone_index.FULL_SCALE) for s in layer] for layer in by_layer]
    if len(capped) == 1:
        return {_CHURNED: _Strengths(*capped[0])}
    return {
        name: _Strengths(*(join(*layers) for layers in zip(*capped, strict=True))) for name, join in _DECIDES.items()
    }


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
        np.choose(chosen, [c.undisturbed for c in columns]),
        np.choose(chosen, [c.by_group for c in columns]),
        np.choose(chosen, [c.by_clay for c in columns]),
    )


def _mixed(strengths: _Strengths, luck: Luck) -> Array:
    """Either equation, with even odds."""
    return np.where(luck.uniform["equation"] < 0.5, strengths.by_group, strengths.by_clay)


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


def _corrected(strength: Array, correction: Array | None) -> Array:
    """After the tests, within what a cone can read."""
    return strength if correction is None else np.minimum(strength * correction, cone_index.FULL_SCALE)


def _day(
    moist: Moist,
    strengths: _Strengths,
    narrowed: tuple[Array, Array, Array],
    steady: dict[str, Array],
    notes: Statements,
    sources: Statements,
    record: bool,
) -> FineDay:
    if record:  # thousands of days, of which nobody reads the words
        return FineDay(moist, *narrowed, steady, (0.0, 0.0), None, notes, sources)
    equations = float(np.median(strengths.by_group)), float(np.median(strengths.by_clay))
    return FineDay(moist, *narrowed, steady, equations, _water(moist), notes, sources)


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


def _notes(job: Job) -> Statements:
    ground = job.ground
    if job.weather is not None and ground.moisture is None:
        lot = [] if ground.drainage else [Said("assumed.drainage", key=Key("ground.drainage"))]
        lot += [] if ground.cover else [Said("assumed.cover", key=Key("ground.cover"))]
        ahead = [day for day in job.weather.days if day.date > job.weather.last_measured and day.rain == 0]
        dry = [Said("assumed.forecast_dry")] if ahead else []
        return (*lot, *dry, *_start_notes(job), *job.weather.notes)
    unused = tuple(Key(f"ground.{key}") for key in ("drainage", "cover") if getattr(ground, key))
    told = [Said("assumed.one_layer")]
    told += [Said("assumed.no_weather", keys=unused)] if unused else []
    if ground.wetness is None and ground.moisture is None and not ground.standing_water:
        key = "assumed.any_wetness" if is_tested(job) else "assumed.soil_wet"
        told.append(Said(key, key=Key("ground.wetness")))
    return tuple(told)


_SHORT_HISTORY = 7  # days of weather before the job under which the start of the water balance still shows


def _start_notes(job: Job) -> Statements:
    """Where the water balance started, where that matters."""
    assert job.weather is not None
    if job.ground.wetness or job.ground.standing_water:
        seen = "standing water" if job.ground.standing_water else job.ground.wetness
        return (Said("assumed.seen_today", seen=Ruled(seen or "")),)
    history = (job.weather.job_day - job.weather.days[0].date).days
    return (Said("assumed.short_history", days=history),) if history < _SHORT_HISTORY else ()


def _sources(job: Job, rules: Rules, groups: list[str]) -> Statements:
    equations = ["strength by soil group", "strength by clay"]
    if job.weather is not None:
        equations += ["evaporation", "runoff", "soil hydraulics", "drainage", "crust"]
    cited = tuple(source(rules, rules.equations[name]) for name in equations)
    return (*cited, source(rules, rules.soils[groups[0]], "source.moisture"))
