"""What a survey says of the soil at a place: components with their shares, each with the two layers that count."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

DEPTHS = ((0.0, 0.15), (0.15, 0.30))  # m, the two layers of the water balance


@dataclass(frozen=True)
class Horizon:
    """A soil horizon or a depth of a grid, SI; None where nothing is told. top, bottom: m. sand, clay, organic: parts
    of weight. density: of the dry soil, kg/m3. capacity, wilting, saturation: water by volume at 33 and at 1500 kPa,
    and full. conductivity: m/s. group: of the Unified system, "" where it is not told."""

    top: float
    bottom: float
    sand: float | None = None
    clay: float | None = None
    organic: float | None = None
    density: float | None = None
    capacity: float | None = None
    wilting: float | None = None
    saturation: float | None = None
    conductivity: float | None = None
    group: str = ""


@dataclass(frozen=True)
class Component:
    """A soil of the map unit. share: of the unit's area. drainage: the survey's class. layers: the two that count;
    () for what is no soil."""

    name: str
    share: float
    drainage: str = ""
    layers: tuple[Horizon, ...] = ()


@dataclass(frozen=True)
class Survey:
    """source: "survey" of a country's soil survey, or "grid". unit: the map unit. water_table: shallowest in a year, m.
    floods: the survey's word. made: whether it maps urban land, cut or fill."""

    source: str
    unit: str
    components: tuple[Component, ...]
    path: Path
    water_table: float | None = None
    floods: str = ""
    made: bool = False


def layers_of(horizons: Sequence[Horizon]) -> tuple[Horizon, ...]:
    """Both layers as the mean of the horizons in them; () where none reaches so far up."""
    layers = [_layer(horizons, *depths) for depths in DEPTHS]
    upper = layers[0]
    if upper is None:
        return ()
    return (upper, layers[1] or upper)


def _layer(horizons: Sequence[Horizon], top: float, bottom: float) -> Horizon | None:
    """By thickness; conductivity by its harmonic mean, since the tight part rules; the group of the thickest part."""
    parts = [(min(h.bottom, bottom) - max(h.top, top), h) for h in horizons]
    parts = [(thick, h) for thick, h in parts if thick > 1e-6]
    if not any(h.group or (h.sand is not None and h.clay is not None) for _, h in parts):
        return None
    means = {name: _mean([(thick, getattr(h, name)) for thick, h in parts]) for name in _MEANS}
    slow = [(thick, 1 / h.conductivity) for thick, h in parts if h.conductivity]
    tight = _mean(list(slow))
    group = max(parts, key=lambda part: part[0] * bool(part[1].group))[1].group
    return Horizon(top, bottom, **means, conductivity=None if tight is None else 1 / tight, group=group)


_MEANS = ("sand", "clay", "organic", "density", "capacity", "wilting", "saturation")


def _mean(parts: Sequence[tuple[float, float | None]]) -> float | None:
    known = [(thick, value) for thick, value in parts if value is not None]
    total = sum(thick for thick, _ in known)
    return sum(thick * value for thick, value in known) / total if known else None
