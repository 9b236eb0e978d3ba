"""The site's strength as a distribution: drawn once, shared by every machine, so that comparisons are paired."""

from dataclasses import dataclass, replace
from functools import cached_property
from math import erf, log, sqrt
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from pickrig.inputs import Job
from pickrig.physics import cone_index
from pickrig.rulebook import Rules
from pickrig.rulebook.tables import SandRow, Soil

Array = NDArray[np.float64]
Gear = Literal["tracks", "tyres"]

PSI, KPA = cone_index.PSI, 1e3
FEW_DRAWS = 100
"""With fewer effective draws than this after a test, the test contradicts what the soil and its wetness would give."""


@dataclass(frozen=True)
class Site:
    """The ground as every machine meets it. Arrays hold one number a draw.

    strength: rating cone index (cone index for gravel), Pa. undrained: shear strength of fine soil, Pa. pull: spare
    pull on clean sand as a share of weight, by running gear. error: factor on the strength a machine needs.
    equations: median strength by each of the two published equations, Pa.
    """

    name: str
    family: Literal["fine", "gravel", "sand", "not assessed", "hard"]
    error: dict[Gear, Array]
    strength: Array | None = None
    undrained: Array | None = None
    pull: dict[Gear, Array] | None = None
    equations: tuple[float, float] | None = None
    assumed: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    instead: str = ""

    @cached_property
    def _carried(self) -> dict[Gear, Array]:
        """Strength over the error of the needed strength, sorted: the need each draw can just meet."""
        assert self.strength is not None
        return {gear: np.sort(self.strength / error) for gear, error in self.error.items()}

    @cached_property
    def tenths(self) -> tuple[float, float, float]:
        """Strength of the worst tenth, the middle and the best tenth of the draws, Pa."""
        assert self.strength is not None
        low, middle, high = np.quantile(self.strength, (0.1, 0.5, 0.9))
        return float(low), float(middle), float(high)

    @cached_property
    def undrained_middle(self) -> float | None:
        """Undrained shear strength in the middle of the draws, Pa; None where the soil is not fine."""
        return None if self.undrained is None else float(np.median(self.undrained))

    def chance(self, gear: Gear, needs: float) -> float:
        """Share of draws in which the ground is at least as strong as a machine of this running gear needs, Pa."""
        carried = self._carried[gear]
        return 1 - float(np.searchsorted(carried, needs, side="left")) / len(carried)


@dataclass(frozen=True)
class _Luck:
    """The random numbers of a run, drawn before anything is known: a change of input moves nothing else."""

    group: Array
    moisture: Array
    scatter: Array
    equation: Array
    clay: Array
    cone_factor: Array
    band: Array
    traction: Array
    rolling: Array
    reading: Array
    residual: Array
    resample: float
    machine: dict[Gear, Array]


def _luck(draws: int, seed: int) -> _Luck:
    rng = np.random.default_rng(seed)
    uniform = rng.random((8, draws))
    normal = rng.standard_normal((5, draws))
    return _Luck(
        group=uniform[0],
        moisture=uniform[1],
        equation=uniform[2],
        clay=uniform[3],
        cone_factor=uniform[4],
        band=uniform[5],
        traction=uniform[6],
        rolling=uniform[7],
        scatter=normal[0],
        reading=normal[1],
        residual=normal[4],
        machine={"tyres": normal[2], "tracks": normal[3]},
        resample=float(rng.random()),
    )


def soft_share(job: Job, rules: Rules) -> float:
    """Share of travel on which the site's soil has to hold the machine; all of it when the job does not say."""
    travel = job.ground.travel
    return sum(s for surface, s in travel.items() if rules.surfaces[surface].carries == "soil") if travel else 1.0


def draw_site(job: Job, rules: Rules, draws: int = 10_000, seed: int = 0) -> Site:
    """The site's strength from soil, wetness and tests. The same seed gives the same ground."""
    luck = _luck(draws, seed)
    spread = log(rules.strength["machine_error"].value)
    error = {gear: np.exp(spread * z) for gear, z in luck.machine.items()}
    assumed = () if job.ground.travel else ("all travel is on the site's soil (ground.travel is not given)",)
    if soft_share(job, rules) == 0:
        return Site("hard surface", "hard", error, assumed=assumed)
    soil = rules.soils[job.ground.soil] if job.ground.soil else None
    site = Site(soil.name if soil else "soil of unknown group", "fine", error, assumed=assumed)
    if soil is None or soil.family == "fine":
        return _fine(site, job, rules, luck)
    site = replace(site, family=soil.family)
    if soil.family == "gravel":
        return _gravel(site, soil, job, rules, luck)
    if soil.family == "sand":
        return _sand(site, job, rules, luck)
    return replace(site, instead=soil.instead, sources=(rules.cite(soil),))


def _fine(site: Site, job: Job, rules: Rules, luck: _Luck) -> Site:
    """Moisture times the two strength equations, then whatever a test says."""
    ground = job.ground
    groups = [ground.soil] if ground.soil else [key for key, soil in rules.soils.items() if soil.family == "fine"]
    chosen = (luck.group * len(groups)).astype(int)
    notes: list[str] = []
    if ground.wetness is None and ground.moisture is None and not ground.standing_water:
        tested = ground.thumb or ground.boot or ground.cone
        notes.append("any wetness, narrowed by the test" if tested else "the soil is wet (ground.wetness is not given)")
    columns = [_group_strength(rules.soils[key], key, job, rules, luck) for key in groups]
    cone, by_group, by_clay = (np.choose(chosen, [c[i] for c in columns]) for i in range(3))
    strength = np.where(luck.equation < 0.5, by_group, by_clay)  # either equation, even odds
    factor = rules.strength["cone_factor"]
    n_k = _triangle(luck.cone_factor, factor.low or factor.value, factor.value, factor.high or factor.value)
    # Only one equation is published for undisturbed ground; worked over, no ground gets stronger than that.
    undisturbed = np.maximum(cone, strength)
    site = replace(
        site,
        strength=strength,
        undrained=cone_index.undrained_strength(undisturbed, n_k),
        equations=(float(np.median(by_group)), float(np.median(by_clay))),
        sources=(
            rules.cite(rules.equations["strength by soil group"]),
            rules.cite(rules.equations["strength by clay"]),
            f"moisture behind the word: {rules.cite(rules.soils[groups[0]])}",
        ),
    )
    site = _tested(site, job, rules, luck, undisturbed, n_k, notes)
    return replace(site, assumed=(*site.assumed, *notes))


def _group_strength(soil: Soil, key: str, job: Job, rules: Rules, luck: _Luck) -> tuple[Array, Array, Array]:
    """Cone index, and rating cone index by each equation, of one soil group."""
    assert soil.dry_density is not None  # the rulebook demands it of a fine soil, and clay
    assert soil.clay is not None
    saturated = 1000 / soil.dry_density - 1000 / rules.strength["solids_density"].value
    low, best, high = _moisture_band(soil, job, saturated)
    moisture = _triangle(luck.moisture, low, best, high) + rules.strength["moisture_scatter"].value * luck.scatter
    moisture = np.clip(moisture, 0.3 * best, max(saturated, best))
    clay = soil.clay[0] + (soil.clay[1] - soil.clay[0]) * luck.clay
    off = np.exp(log(rules.strength["equation_scatter"].value) * luck.residual)
    strengths = (
        cone_index.cone_index(key, moisture),
        cone_index.rating_cone_index(key, moisture),
        cone_index.rating_cone_index_clay(clay, moisture),
    )
    undisturbed, by_group, by_clay = (np.minimum(s * off, cone_index.FULL_SCALE) for s in strengths)
    return undisturbed, by_group, by_clay


def _moisture_band(soil: Soil, job: Job, saturated: float) -> tuple[float, float, float]:
    """Low, best and high moisture behind what the job says; a word reaches half-way to its neighbours."""
    ground, levels = job.ground, soil.moisture
    assert levels is not None
    if ground.moisture is not None:
        return ground.moisture
    if ground.standing_water:
        return levels.wet, saturated, saturated
    dry_moist, moist_wet = (levels.dry + levels.moist) / 2, (levels.moist + levels.wet) / 2
    if ground.wetness == "dry":
        return levels.dry - (dry_moist - levels.dry), levels.dry, dry_moist
    if ground.wetness == "moist":
        return dry_moist, levels.moist, moist_wet
    if ground.wetness is None and (ground.thumb or ground.boot or ground.cone):
        return levels.dry, levels.moist, saturated
    return moist_wet, levels.wet, max(levels.wet, saturated)


def _tested(site: Site, job: Job, rules: Rules, luck: _Luck, undisturbed: Array, n_k: Array, notes: list[str]) -> Site:
    """Weight the draws by how well they explain the tests, and draw again from the weighted lot."""
    assert site.strength is not None
    assert site.undrained is not None
    likelihood = np.ones_like(site.strength)
    for test in ("thumb", "boot"):
        result = getattr(job.ground, test)
        if result:
            row = rules.field_tests[test]
            likelihood *= _band_likelihood(site.undrained, row.results[result].kpa, row.misreading)
    if job.ground.cone is not None:
        spread = log(rules.field_tests["cone"].misreading)
        likelihood *= np.exp(-0.5 * (np.log(undisturbed / job.ground.cone) / spread) ** 2)
    if np.all(likelihood == 1):
        return site
    tests = [rules.cite(rules.field_tests[t]) for t in ("thumb", "boot", "cone") if getattr(job.ground, t) is not None]
    sources = (*site.sources, *tests)
    effective = likelihood.sum() ** 2 / np.sum(likelihood**2) if likelihood.sum() > 0 else 0.0
    if effective < FEW_DRAWS:
        notes.append("the test contradicts what the soil and its wetness would give: the test is believed; do it again")
        measured = _as_tested(job, rules, luck, n_k)
        worked = np.minimum(measured * site.strength / undisturbed, cone_index.FULL_SCALE)
        return replace(site, strength=worked, undrained=measured / n_k, sources=sources)
    ladder = (np.arange(len(likelihood)) + luck.resample) / len(likelihood)
    kept = np.minimum(np.searchsorted(np.cumsum(likelihood / likelihood.sum()), ladder), len(likelihood) - 1)
    return replace(site, strength=site.strength[kept], undrained=site.undrained[kept], sources=sources)


def _as_tested(job: Job, rules: Rules, luck: _Luck, n_k: Array) -> Array:
    """Cone index by the test alone."""
    if job.ground.cone is not None:
        return job.ground.cone * np.exp(log(rules.field_tests["cone"].misreading) * luck.reading)
    test = "thumb" if job.ground.thumb else "boot"
    row = rules.field_tests[test]
    low, high = row.results[getattr(job.ground, test)].kpa
    return n_k * KPA * low * (high / low) ** luck.band * np.exp(log(row.misreading) * luck.reading)


def _band_likelihood(undrained: Array, kpa: tuple[float, float], misreading: float) -> Array:
    """Chance that a person reads the band when the ground has this strength: misreading is lognormal."""
    spread, strength = log(misreading), np.log(undrained)
    low, high = (_normal_cdf((log(edge * KPA) - strength) / spread) for edge in kpa)
    return high - low


def _normal_cdf(z: Array) -> Array:
    return 0.5 * (1 + np.asarray(np.frompyfunc(erf, 1, 1)(z / sqrt(2)), float))


def _gravel(site: Site, soil: Soil, job: Job, rules: Rules, luck: _Luck) -> Site:
    """A cone-index band, every factor in it equally likely; a cone reading replaces it."""
    assert soil.cone_index_psi is not None
    notes = site.assumed
    wetness = "wet" if job.ground.standing_water else job.ground.wetness
    if wetness is None:
        wetness, notes = "wet", (*notes, "the gravel is wet (ground.wetness is not given)")
    low, high = getattr(soil.cone_index_psi, wetness)
    strength = PSI * low * (high / low) ** luck.band
    if job.ground.cone is not None:
        strength = job.ground.cone * np.exp(log(rules.field_tests["cone"].misreading) * luck.reading)
    return replace(site, strength=strength, assumed=notes, sources=(rules.cite(soil),))


def _sand(site: Site, job: Job, rules: Rules, luck: _Luck) -> Site:
    """Spare pull: traction less rolling resistance, as shares of weight."""
    notes = site.assumed
    if job.ground.wetness is None and not job.ground.standing_water:
        notes = (*notes, "the sand is dry, its worst state (ground.wetness is not given)")
    damp = job.ground.wetness in ("moist", "wet") or job.ground.standing_water
    state = rules.sand["damp" if damp else "dry"]
    rows: dict[Gear, SandRow] = {"tyres": state.tyres, "tracks": state.tracks}
    pull: dict[Gear, Array] = {
        gear: _triangle(luck.traction, *row.traction) - _triangle(luck.rolling, *row.rolling)
        for gear, row in rows.items()
    }
    return replace(site, pull=pull, assumed=notes, sources=tuple(f"{g}: {rules.cite(r)}" for g, r in rows.items()))


def _triangle(u: Array, low: float, best: float, high: float) -> Array:
    """Triangular distribution by its inverse, from uniform draws."""
    if high <= low:
        return np.full_like(u, best)
    split = (best - low) / (high - low)
    rising = low + np.sqrt(u * (high - low) * (best - low))
    falling = high - np.sqrt((1 - u) * (high - low) * (high - best))
    return np.where(u < split, rising, falling)
