"""How time grows with machines, draws, jobs, candidates and years: time = c n^e, e fitted on the logarithms.

Run: python tests/benchmarks/growth.py. Nothing here passes or fails.
"""

import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

from pickrig.inputs import read_fleet, read_job
from pickrig.inputs.board import read_board
from pickrig.inputs.year import read_year
from pickrig.plans.buy.answer import buy
from pickrig.plans.day.answer import day
from pickrig.plans.pick.answer import pick
from pickrig.rulebook import load_rules

EXAMPLES = Path(__file__).parents[2] / "examples"


def curve(name: str, sizes: list[int], run: Callable[[int], object]) -> None:
    """One row: the times, and the exponent they fit; the last two alone beside it, where a fixed part weighs least."""
    run(sizes[0])
    times = []
    for size in sizes:
        started = time.perf_counter()
        run(size)
        times.append(time.perf_counter() - started)
    whole = np.polyfit(np.log(sizes), np.log(times), 1)[0]
    last = np.log(times[-1] / times[-2]) / np.log(sizes[-1] / sizes[-2])
    told = ", ".join(f"{size:,}: {took:.2f}" for size, took in zip(sizes, times, strict=True))
    print(f"| {name} | {told} | {whole:.2f} | {last:.2f} |", flush=True)


def main() -> None:
    rules = load_rules()
    fleet = read_fleet(EXAMPLES / "fleet.toml", rules)
    job = read_job(EXAMPLES / "muddy-lot.toml", rules)
    print("| what grows | n: s | exponent | at the end |\n|---|---|--:|--:|")

    def yard(size: int):
        many = (fleet.machines * size)[:size]
        named = tuple(m.model_copy(update={"name": f"{m.name} {n}"}) for n, m in enumerate(many))
        return fleet.model_copy(update={"machines": named})

    curve("machines in a pick", [6, 12, 24, 48], lambda size: pick(job, yard(size), rules))
    curve("draws in a pick", [2_500, 5_000, 10_000, 20_000, 40_000], lambda size: pick(job, fleet, rules, draws=size))

    board = read_board(EXAMPLES / "tuesday.toml", rules)

    def calls(size: int):
        many = (board.calls * size)[:size]
        return board.model_copy(
            update={
                "calls": tuple(
                    c.model_copy(update={"name": f"Call {n}", "there": (), "must": False}) for n, c in enumerate(many)
                )
            }
        )

    curve("jobs on a board, 6 machines", [4, 8, 16, 32], lambda size: day(calls(size), fleet, rules))

    year = read_year(EXAMPLES / "year.toml", rules)
    offered = read_fleet(EXAMPLES / "candidates.toml", rules)
    deals = [m for m in offered.machines if m.deal is not None]
    here = tuple(m for m in offered.machines if m.name in year.have)
    soft = year.model_copy(update={"works": tuple(work for work in year.works if "silt" in work.name)})

    def market(size: int):
        many = (deals * size)[:size]
        named = tuple(m.model_copy(update={"name": f"{m.name} {n}"}) for n, m in enumerate(many))
        return offered.model_copy(update={"machines": (*here, *named)})

    curve("candidates in a year", [3, 6, 12, 24], lambda size: buy(soft, market(size), rules))
    first = min(d.date for d in year.days).year

    def record(size: int):
        days = tuple(d for d in soft.days if d.date.year < first + size)
        return soft.model_copy(update={"days": days, "years": tuple(y for y in soft.years if y < first + size)})

    curve("years of weather", [2, 4, 8], lambda size: buy(record(size), market(3), rules))


if __name__ == "__main__":
    main()
