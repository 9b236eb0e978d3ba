"""The random numbers of a run, drawn before anything is known: a change of input moves nothing else."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Three = tuple[float, float, float]
Gear = Literal["tracks", "tyres"]

_UNIFORM = ("group", "moisture", "equation", "clay", "cone_factor", "band", "rut", "mud")
_SURFACE = ("grip", "drag", "push", "density", "crush", "slides", "edge", "reach", "pavement", "chains", "box", "pace")
_FROST = ("freezing", "thawing", "ice", "alone", "bank")
_WATER = ("wilting", "saturation", "evaporation", "roots")
_NORMAL = ("scatter", "reading", "residual", "capacity", "drainage", "forecast", "tyres", "tracks")


@dataclass(frozen=True)
class Luck:
    """One number a draw for each thing that is uncertain: uniform in 0 to 1, or standard normal."""

    uniform: dict[str, Array]
    normal: dict[str, Array]
    seed: int = 0
    drawn: dict[tuple[str, Three], Array] = field(default_factory=dict, compare=False, repr=False)

    def draw(self, name: str, spread: Three) -> Array:
        """Low, likeliest and high as a triangle over one of the uniform numbers; the same draws for every machine."""
        if (name, spread) not in self.drawn:
            self.drawn[name, spread] = triangle(self.uniform[name], *spread)
        return self.drawn[name, spread]

    def along(self, steps: int) -> Iterator[Array]:
        """Standard normal numbers for each step of a route; a longer route begins as a shorter one."""
        rng = np.random.default_rng([self.seed, 5])
        return (rng.standard_normal(self.draws) for _ in range(steps))

    def own(self, name: str) -> Array:
        """Standard normal numbers of one machine's own, by its name."""
        return np.random.default_rng([self.seed, 6, *name.encode()]).standard_normal(self.draws)

    @property
    def draws(self) -> int:
        return len(self.uniform["group"])


def draw_luck(draws: int, seed: int) -> Luck:
    """The same seed and number of draws give the same luck."""
    rng = np.random.default_rng(seed)
    uniform = dict(zip(_UNIFORM, rng.random((len(_UNIFORM), draws)), strict=True))
    uniform["rain"] = np.random.default_rng([seed, 7]).random(draws)
    normal = rng.standard_normal((len(_NORMAL), draws))
    later = np.random.default_rng([seed, 2]).random(
        (len(_SURFACE), draws)
    )  # so that the soil's own luck stays as it was
    uniform |= dict(zip(_SURFACE, later, strict=True))
    uniform |= dict(zip(_FROST, np.random.default_rng([seed, 4]).random((len(_FROST), draws)), strict=True))
    water = np.random.default_rng([seed, 3]).standard_normal((len(_WATER), draws))
    named = dict(zip(_NORMAL, normal, strict=True)) | dict(zip(_WATER, water, strict=True))
    return Luck(uniform, named, seed)


def evenly(u: Array, low: float, _best: float, high: float) -> Array:
    """Evenly between the ends, from uniform draws."""
    return low + (high - low) * u


def triangle(u: Array, low: float, best: float, high: float) -> Array:
    """Triangular distribution by its inverse, from uniform draws."""
    if high <= low:
        return np.full_like(u, best)
    split = (best - low) / (high - low)
    rising = low + np.sqrt(u * (high - low) * (best - low))
    falling = high - np.sqrt((1 - u) * (high - low) * (high - best))
    return np.where(u < split, rising, falling)
