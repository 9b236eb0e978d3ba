"""`pickrig buy` with twenty candidates, ten years of days and a thousand draws, beside bare NumPy on the same arrays.

Run: python tests/benchmarks/buy.py
"""

import resource
import time
from pathlib import Path

import numpy as np

from pickrig.inputs import read_fleet
from pickrig.inputs.year import read_year
from pickrig.plans.buy.answer import DRAWS, buy
from pickrig.rulebook import load_rules

EXAMPLES = Path(__file__).parents[2] / "examples"
CANDIDATES = 20


def main() -> None:
    rules = load_rules()
    year = read_year(EXAMPLES / "year.toml", rules)
    fleet = read_fleet(EXAMPLES / "candidates.toml", rules)
    offered = [m for m in fleet.machines if m.deal is not None]
    many = [
        offered[i % len(offered)].model_copy(update={"name": f"Candidate {i:02d}", "mass": _mass(offered, i)})
        for i in range(CANDIDATES)
    ]
    machines = (*(m for m in fleet.machines if m.name in year.have), *many)
    whole = fleet.model_copy(update={"machines": machines})
    soft = [work for work in year.works if "silt" in work.name]
    for name, works in (("one ground", soft), (f"{len(year.works)} kinds of work", year.works)):
        one = year.model_copy(update={"works": tuple(works)})
        started = time.perf_counter()
        buy(one, whole, rules)
        took = time.perf_counter() - started
        floor = _floor(len(year.days))
        print(f"{name}: {took:.1f} s, {took / floor:.0f} times a bare NumPy pass ({floor:.2f} s)")
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"peak memory: {peak:.0f} MiB")


def _mass(offered: list, i: int) -> float:
    """The same machines a little lighter and heavier, so that no two are alike."""
    return offered[i % len(offered)].mass * (0.94 + 0.006 * i)


def _floor(days: int) -> float:
    """One exponential, one comparison a candidate and one mean over every day's draws."""
    water, needs = np.random.default_rng(0).random(DRAWS), np.linspace(0.2, 0.8, CANDIDATES)
    started = time.perf_counter()
    for _ in range(days):
        strength = np.exp(-water)
        np.mean(strength < needs[:, None], axis=1)
    return time.perf_counter() - started


if __name__ == "__main__":
    main()
