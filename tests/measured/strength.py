"""Which form of strength is nearest to measured ground? `python -m tests.measured.strength` prints the scores.

No pair of moisture and measured rating cone index was found, only cone indexes. They are turned into rating cone
indexes by remoulding indexes over the army's band for lean clay (0.45 to 0.75, from memory), and scored at each.
"""

import tomllib
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from pickrig.physics.cone_index import PSI, rating_cone_index, rating_cone_index_clay
from pickrig.rulebook import load_rules

Array = NDArray[np.float64]

REMOULDING = (0.45, 0.60, 0.75)
_WET_SEASON = (75.0, 0.31)  # psi, and spread of its logarithm: 45 to 125 psi taken for 5 to 95 %, from memory
_DRAWS = 4000


def scores() -> dict[str, list[float]]:
    """Mean continuous ranked probability score of ln RCI by form, for each remoulding index; lower is better."""
    points = tomllib.loads(Path(__file__).with_suffix(".toml").read_text(encoding="utf-8"))["point"]
    told: dict[str, list[float]] = {}
    for remoulding in REMOULDING:
        by_form: dict[str, list[float]] = {}
        for _, _, clay, water, kpa in points:
            truth = np.log(remoulding * kpa * 1000 / PSI)
            for name, drawn in _forms(clay / 100, water / 100).items():
                by_form.setdefault(name, []).append(crps(drawn, truth))
        for name, each in by_form.items():
            told.setdefault(name, []).append(float(np.mean(each)))
    return told


def _forms(clay: float, water: float) -> dict[str, Array]:
    rows = load_rules().strength
    rng = np.random.default_rng(0)
    u, pick = rng.random((2, _DRAWS))
    own = np.log(rows["equation_scatter"].value) * rng.standard_normal(_DRAWS)
    by_group = np.log(rating_cone_index("CL", water) / PSI) + own
    by_clay = np.log(rating_cone_index_clay(clay, water) / PSI) + own
    low, high = rows["clay_equation"].low, rows["clay_equation"].high
    assert low is not None
    assert high is not None
    weight = low + (high - low) * u
    season = np.log(_WET_SEASON[0]) + _WET_SEASON[1] * rng.standard_normal(_DRAWS)
    return {
        "by soil group": by_group,
        "by clay": by_clay,
        "a coin": np.where(u < 0.5, by_group, by_clay),
        "between the two (ours)": (1 - weight) * by_group + weight * by_clay,
        "three voices": np.select([pick < 1 / 3, pick < 2 / 3], [by_group, by_clay], season),
        "the wet-season band alone": season,
    }


def crps(drawn: Array, truth: float) -> float:
    """Continuous ranked probability score: E|Y - y| - E|Y - Y'|/2 (Gneiting & Raftery 2007, JASA 102:359-378)."""
    ordered = np.sort(drawn)
    n = len(ordered)
    apart = np.sum((2 * np.arange(1, n + 1) - n - 1) * ordered) / n**2
    return float(np.mean(np.abs(ordered - truth)) - apart)


if __name__ == "__main__":
    print("remoulding index:", *REMOULDING)
    for form, each in scores().items():
        print(f"{form:28}", *(f"{score:.3f}" for score in each))
