"""The site as every machine meets it: its strength as a distribution, drawn once and shared by all."""

import datetime as dt
from dataclasses import dataclass, field, replace
from functools import cached_property
from math import log
from statistics import NormalDist
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from pickrig.checks.cited import source
from pickrig.checks.ground.draws import Array, Gear, Luck, draw_luck, triangle
from pickrig.checks.ground.evidence import believe
from pickrig.checks.ground.fine_soil import FineDay, Wet, fine_days
from pickrig.checks.ground.freezing import HOURS, WORKING
from pickrig.checks.ground.learned import by_log
from pickrig.checks.ground.moisture import Moist, by_weather
from pickrig.checks.ground.soils import soil_name, soil_notes
from pickrig.facts import Key, Ruled, Said, Statements, Term, Value
from pickrig.inputs import Job, Machine, soft_share
from pickrig.physics import cone_index
from pickrig.rulebook import Rules
from pickrig.rulebook.tables import Soil

PSI = cone_index.PSI
SandState = Literal["dry", "moist", "wet", "flooded"]
_WORDS: tuple[Wet, ...] = ("dry", "moist", "wet")


@dataclass(frozen=True)
class Site:
    """Ground on one day. Arrays hold one number a draw.

    strength: rating cone index (cone index for gravel), Pa. undisturbed: cone index before traffic, Pa. undrained:
    shear strength of fine soil, Pa. steady: strength for machines that do not churn, by the layer that decides.
    cone_index: of clean sand, top 6 in, Pa. error: factor on the strength a machine needs that all machines of a
    running gear share. voices: strength by each of the two published equations alone, Pa. crust: frozen from the
    surface down at the hours of `freezing.HOURS`, m; () without frost. rain: of the day, m. wetness: the word for the
    upper layer. standing: share of the draws with water on it. packs: where fine soil sticks to the lugs of tracks.
    everywhere: strength of the lot, not of the weakest spot of the way, Pa. water: how wet, where it was worked out.
    luck: the run's random numbers.
    """

    name: Value
    family: Literal["fine", "gravel", "sand", "not assessed", "hard"]
    luck: Luck
    error: dict[Gear, Array]
    strength: Array | None = None
    undisturbed: Array | None = None
    undrained: Array | None = None
    steady: dict[str, Array] = field(default_factory=dict)
    cone_index: Array | None = None
    voices: tuple[Array, Array] | None = None
    date: dt.date | None = None
    rain: float = 0.0
    crust: tuple[Array, ...] = ()
    wetness: Wet | None = None
    standing: float = 0.0
    packs: NDArray[np.bool_] | None = None
    everywhere: Array | None = None
    water: Said | None = None
    along: "tuple[Site, ...]" = ()  # stretches of the way, in the order of the job
    assumed: Statements = ()
    sources: Statements = ()
    instead: str = ""  # a text of the rules

    @property
    def frost(self) -> float:
        """What half of the draws have frozen from the surface down when work begins, m."""
        return float(np.median(self.crust[HOURS.index(WORKING[0])])) if self.crust else 0.0

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
    def undrained_tenths(self) -> tuple[float, float, float] | None:
        """Undrained strength of the worst tenth, the middle and the best tenth, Pa; None where the soil is not fine."""
        if self.undrained is None:
            return None
        low, middle, high = np.quantile(self.undrained, (0.1, 0.5, 0.9))
        return float(low), float(middle), float(high)

    def times(self, factor: float) -> "Site":
        """The same site with this many times its strength."""
        if factor == 1 or self.strength is None:
            return self
        return replace(
            self,
            strength=np.minimum(self.strength * factor, cone_index.FULL_SCALE),
            undisturbed=_times(self.undisturbed, factor, cone_index.FULL_SCALE),
            undrained=_times(self.undrained, factor),
            everywhere=_times(self.everywhere, factor, cone_index.FULL_SCALE),
            steady={name: np.minimum(s * factor, cone_index.FULL_SCALE) for name, s in self.steady.items()},
            voices=None,
        )

    def chance(self, gear: Gear, needs: float, own: float = 0.0, layer: str = "") -> float:
        """Chance that the ground is at least as strong as a machine of this running gear needs, Pa.

        own: the machine's own error, the spread of its logarithm, summed out and not drawn: like machines come out
        alike. layer: that decides for a machine which does not churn, "shallow" or "deep"; for any other, the weaker.
        """
        carried = np.sort(self.steady[layer] / self.error[gear]) if layer in self.steady else self._carried[gear]
        return _share_over(carried, needs, own)

    def voice_chances(self, gear: Gear, needs: float, own: float = 0.0) -> tuple[float, float] | None:
        """The same by each of the two published equations alone."""
        if self.voices is None:
            return None
        first, second = (_share_over(np.sort(voice / self.error[gear]), needs, own) for voice in self.voices)
        return first, second

    def holds(self, machine: Machine, needs: float, own: float) -> NDArray[np.bool_]:
        """Draw by draw, whether the ground holds this machine, its own error drawn."""
        assert self.strength is not None
        return np.asarray(self.strength >= needs * self.error[machine.gear] * np.exp(own * self.luck.own(machine.name)))


_QUANTILES = np.array([NormalDist().inv_cdf((n + 0.5) / 16) for n in range(16)])


def _share_over(carried: Array, needs: float, own: float) -> float:
    """Share of sorted strengths at or over a need whose logarithm is normal with this spread."""
    needed = needs * np.exp(own * _QUANTILES)
    return 1 - float(np.mean(np.searchsorted(carried, needed, side="left"))) / len(carried)


def _times(strength: Array | None, factor: float, most: float = np.inf) -> Array | None:
    return None if strength is None else np.minimum(strength * factor, most)


def draw_site(job: Job, rules: Rules, draws: int = 10_000, seed: int = 0) -> Site:
    """The site on the day of the job."""
    return draw_sites(job, rules, draws, seed)[0]


def draw_sites(job: Job, rules: Rules, draws: int = 10_000, seed: int = 0) -> tuple[Site, ...]:
    """The site on the day of the job and on each later day the weather covers. The same seed, the same ground."""
    along = [_ground(job.on(stretch), rules, draws, seed) for stretch in job.stretch]
    sites = _ground(job, rules, draws, seed)
    return tuple(
        replace(site, along=tuple(days[min(day, len(days) - 1)] for days in along)) for day, site in enumerate(sites)
    )


def _ground(job: Job, rules: Rules, draws: int, seed: int) -> tuple[Site, ...]:
    """The ground of the job itself, without the stretches of the way."""
    luck = draw_luck(draws, seed)
    spread = log(rules.strength["machine_error"].value)
    error: dict[Gear, Array] = {"tracks": np.exp(spread * luck.normal["tracks"])}
    error["tyres"] = np.exp(spread * luck.normal["tyres"])
    assumed = () if job.ground.travel else (Said("assumed.travel", key=Key("ground.travel")),)
    if soft_share(job.ground, rules) == 0:
        return (Site(Term("hard_surface"), "hard", luck, error, assumed=assumed),)
    soil = rules.soils[job.ground.soil] if job.ground.soil else None
    if soil is not None and job.ground.mapped is not None:
        assumed = (*assumed, *soil_notes(job, rules))
    site = Site(soil_name(job, rules), "fine", luck, error, assumed=assumed)
    if soil is None or soil.family == "fine":
        return tuple(_on_day(site, day) for day in fine_days(job, rules, luck))
    site = replace(site, family=soil.family)
    if soil.family == "sand":
        return _sands(site, soil, job, rules, luck)
    if job.weather is not None:
        unused = Said("assumed.weather_unused", soil=Ruled(soil.name))
        site = replace(site, assumed=(*site.assumed, unused))
    if soil.family == "gravel":
        return (_gravel(site, soil, job, rules, luck),)
    return (replace(site, instead=soil.instead, sources=(source(rules, soil),)),)


def _on_day(site: Site, day: FineDay) -> Site:
    return replace(
        site,
        strength=day.strength,
        steady=day.steady,
        undisturbed=day.undisturbed,
        undrained=day.undrained,
        voices=day.voices,
        date=day.moist.date,
        rain=day.moist.rain,
        crust=day.moist.crust,
        wetness=day.wetness,
        standing=day.moist.standing,
        packs=day.packs,
        everywhere=day.everywhere,
        water=day.water,
        assumed=(*site.assumed, *day.notes),
        sources=day.sources,
    )


def _gravel(site: Site, soil: Soil, job: Job, rules: Rules, luck: Luck) -> Site:
    """A cone-index band, every factor in it equally likely; a cone reading moves it."""
    assert soil.cone_index_psi is not None
    notes = site.assumed
    wetness = "wet" if job.ground.standing_water else job.ground.wetness
    if wetness is None:
        wetness, notes = "wet", (*notes, Said("assumed.gravel_wet", key=Key("ground.wetness")))
    low, high = getattr(soil.cone_index_psi, wetness)
    strength = PSI * low * (high / low) ** luck.uniform["band"]
    if job.ground.standing_water and soil.under_water is not None:
        strength *= soil.under_water
    if (learned := by_log(job)) != 1:
        strength = np.minimum(learned * strength, cone_index.FULL_SCALE)
    evidence = believe(job, rules, luck, strength, np.ones_like(strength))
    if evidence.correction is not None:
        strength = np.minimum(strength * evidence.correction, cone_index.FULL_SCALE)
    return replace(site, strength=strength, assumed=notes, sources=(source(rules, soil), *evidence.sources))


def _sands(site: Site, soil: Soil, job: Job, rules: Rules, luck: Luck) -> tuple[Site, ...]:
    """Clean sand on the day of the job and the later days of its weather, as damp as its water balance leaves it."""
    ground = job.ground
    if ground.wetness is None and not ground.standing_water and job.weather is not None:
        course = by_weather(soil, job, rules, luck, worse=np.minimum)
        days = [day for day in course if day.date and day.date >= job.weather.job_day]
        return tuple(_sand_on(site, day, job, rules, luck) for day in days)
    if ground.wetness is None and not ground.standing_water:
        site = replace(site, assumed=(*site.assumed, Said("assumed.sand_dry", key=Key("ground.wetness"))))
    seen: SandState = ground.wetness if ground.wetness is not None else "dry"
    state: SandState = "flooded" if ground.standing_water else seen
    return (_sand(site, {state: np.ones(luck.draws, dtype=bool)}, job, rules, luck),)


def _sand_on(site: Site, day: Moist, job: Job, rules: Rules, luck: Luck) -> Site:
    water, rows = day.layers[0], rules.strength
    wet, moist = water >= rows["wet_sand"].value, water >= rows["damp_sand"].value
    states: dict[SandState, NDArray[np.bool_]] = {"wet": wet, "moist": moist & ~wet, "dry": ~moist}
    most: Wet = max(_WORDS, key=lambda word: float(np.mean(states[word])))
    return replace(_sand(site, states, job, rules, luck), date=day.date, rain=day.rain, wetness=most)


def _sand(site: Site, states: dict[SandState, NDArray[np.bool_]], job: Job, rules: Rules, luck: Luck) -> Site:
    """Cone index by state and draw; a bar pushed in tells where in the range it lies."""
    low, high = rules.field_tests["rebar"].grip[job.ground.rebar] if job.ground.rebar else (0.0, 1.0)
    lies = low + (high - low) * luck.uniform["band"]
    cone_index = np.zeros(luck.draws)
    for state, here in states.items():
        cone_index = np.where(here, PSI * triangle(lies, *rules.sand[state].cone_index_psi), cone_index)
    cited = tuple(source(rules, rules.sand[state]) for state, here in states.items() if here.any())
    equations = tuple(source(rules, rules.equations[name]) for name in ("wheels on sand", "tracks on sand"))
    return replace(site, cone_index=cone_index, sources=(*equations, *dict.fromkeys(cited)))
