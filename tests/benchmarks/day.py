"""The dispatcher's board at size: 500 x 500 one to one, and 200 x 60 with people, trucks and trailers to share.

Run: python tests/benchmarks/day.py
"""

import time
from functools import partial
from pathlib import Path

import numpy as np
from scipy.optimize import linear_sum_assignment

from pickrig.inputs import Fleet, read_fleet
from pickrig.inputs.board import read_board
from pickrig.plans.day.answer import day
from pickrig.plans.day.assignment import NONE, Problem, solve
from pickrig.rulebook import load_rules

EXAMPLES = Path(__file__).parents[2] / "examples"


def one_to_one(size: int) -> Problem:
    worth = np.random.default_rng(0).uniform(0, 1000, (size, size))
    job, machine = (axis.ravel() for axis in np.indices(worth.shape))
    none = np.full(worth.size, NONE)
    return Problem(
        job=job, machine=machine, day=np.zeros(worth.size, int), tool=none,
        hours=np.ones(worth.size), worth=worth.ravel(), allowed=np.ones(worth.size, bool),
        hire=np.full(size, np.nan), undone=np.zeros(size), must=np.zeros(size, bool), length=1.0,
        tools=np.zeros(0, int),
    )  # fmt: skip


def timed(run) -> tuple[float, object]:
    started = time.perf_counter()
    got = run()
    return time.perf_counter() - started, got


def main() -> None:
    problem = one_to_one(500)
    took, _choice = timed(lambda: solve(problem))
    bare, _ = timed(lambda: linear_sum_assignment(problem.worth.reshape(500, 500), maximize=True))
    print(
        f"500 x 500 one to one, choice alone: {took:.2f} s, {took / bare:.0f} times SciPy's assignment ({bare:.3f} s)"
    )

    rules = load_rules()
    board, fleet = read_board(EXAMPLES / "tuesday.toml", rules), read_fleet(EXAMPLES / "fleet.toml", rules)
    luck = np.random.default_rng(1)
    calls = tuple(
        board.calls[i % len(board.calls)].model_copy(
            update={"name": f"Call {i:03d}", "pays": float(luck.uniform(400, 1500)), "there": (), "must": False}
        )
        for i in range(200)
    )
    big = board.model_copy(update={"calls": calls})
    for people in (0, 30):
        whole = yard(fleet, people)
        took, plan = timed(partial(day, big, whole, rules))
        print(
            f"200 x 60 with ten trucks, ten trailers and {people or 'no'} people: {took:.1f} s, gap {plan.gap:.2%}, "
            f"{len(plan.lines)} jobs go out"
        )


def yard(fleet: Fleet, people: int) -> Fleet:
    """The shipped yard many times over."""
    more = {
        key: tuple(own[i % len(own)].model_copy(update={"name": f"{own[i % len(own)].name} {i:03d}"}) for i in range(n))
        for key, n in (("machines", 60), ("trucks", 10), ("trailers", 10), ("people", people))
        if (own := getattr(fleet, key)) or n
    }
    return fleet.model_copy(update=more)


if __name__ == "__main__":
    main()
