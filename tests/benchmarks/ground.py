"""How long the ground takes: 10,000 draws, 50 machines, 14 days; as a ratio to the bare NumPy work of the same size.

Run: python tests/benchmarks/ground.py. Nothing here passes or fails.
"""

import datetime as dt
import time
from pathlib import Path

import numpy as np

from pickrig.checks import Case, ask_all
from pickrig.checks.ground.site import draw_sites
from pickrig.inputs import Day, Weather, read_fleet, read_job
from pickrig.rulebook import load_rules
from tests.conftest import si

EXAMPLES = Path(__file__).parents[2] / "examples"
DRAWS, MACHINES, DAYS = 10_000, 50, 14


def best(function, repeats: int = 5) -> float:
    """Shortest of several runs, s."""
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        function()
        times.append(time.perf_counter() - start)
    return min(times)


def main() -> None:
    rules = load_rules()
    fleet = read_fleet(EXAMPLES / "fleet.toml", rules)
    job = read_job(EXAMPLES / "ponding-silt.toml", rules)
    first = dt.date(2026, 4, 20)
    days = [si(Day, date=first + dt.timedelta(d), rain=0.005, tmin=5, tmax=15) for d in range(DAYS + 1)]
    weather = si(Weather, job_day=first + dt.timedelta(1), today=None, latitude=44.0, days=days)
    job = job.model_copy(update={"weather": weather})
    machines = (fleet.machines * (MACHINES // len(fleet.machines) + 1))[:MACHINES]

    def whole() -> None:
        for site in draw_sites(job, rules, DRAWS):
            for machine in machines:
                ask_all(Case(job, machine, site, rules))

    grid = np.random.default_rng(0).random((2 * DAYS, DRAWS))

    def floor() -> None:
        """The same numbers drawn, put through one power law and sorted, once for wheels and once for tracks."""
        np.sort(np.exp(5 - 3 * np.log(grid)), axis=1)

    took, bare = best(whole), best(floor)
    draw = best(lambda: draw_sites(job, rules, DRAWS))
    print(f"{DRAWS:,} draws x {MACHINES} machines x {DAYS} days, all four questions: {took:.2f} s")
    print(f"  of it drawing the ground: {draw:.2f} s; bare NumPy floor {bare:.3f} s; ratio {took / bare:.0f}")


if __name__ == "__main__":
    main()
