"""Machines asked about jobs: pairs a second, as a share of the bare NumPy work a pair cannot do without.

Run: python tests/benchmarks/pairs.py. Nothing here passes or fails.
"""

import time
from pathlib import Path

import numpy as np

from pickrig.checks import Case, ask_all
from pickrig.checks.ground.site import draw_site
from pickrig.inputs import read_fleet, read_job
from pickrig.plans.pick.answer import pick
from pickrig.rulebook import load_rules

EXAMPLES = Path(__file__).parents[2] / "examples"
DRAWS = 10_000
PAIRS = 300


def timed(function) -> float:
    function()
    started = time.perf_counter()
    function()
    return time.perf_counter() - started


def main() -> None:
    rules = load_rules()
    fleet, snow = (read_fleet(EXAMPLES / f"{name}.toml", rules) for name in ("fleet", "snow-fleet"))
    print(
        "| job | pairs/s, verdicts | share of the floor | pairs/s, with words | whole pick, s |\n|---|--:|--:|--:|--:|"
    )
    for name in ("muddy-lot", "asphalt-yard", "load-out", "dry-sand", "snow-lot"):
        job = read_job(EXAMPLES / f"{name}.toml", rules).model_copy(update={"haul": None})
        yard = snow if job.snow else fleet
        site = draw_site(job, rules, DRAWS)
        machines = (yard.machines * PAIRS)[:PAIRS]

        def ask(brief, job=job, site=site, machines=machines):
            for machine in machines:
                ask_all(Case(job, machine, site, rules, brief=brief))

        brief, words = timed(lambda: ask(True)), timed(lambda: ask(False))
        whole = timed(lambda job=job, yard=yard: pick(job, yard, rules))
        share = timed(_floor) / brief
        print(f"| {name} | {PAIRS / brief:,.0f} | {share:.0%} | {PAIRS / words:,.0f} | {whole:.2f} |", flush=True)


def _floor() -> None:
    """A strength and a grip set against what a machine needs: two comparisons with a mean and a median, a pair."""
    strength, grip = np.random.default_rng(0).random((2, DRAWS))
    for needs in np.linspace(0.2, 0.8, PAIRS):
        np.mean(strength >= needs)
        ratio = grip / needs
        np.mean(ratio >= 1)
        np.median(ratio)


if __name__ == "__main__":
    main()
