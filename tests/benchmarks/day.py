"""The dispatcher's board at size: 500 x 500 one to one, and 60 x 40 with trucks and trailers to share.

Run: python tests/benchmarks/day.py
"""

import time
from pathlib import Path

import numpy as np
from scipy.optimize import linear_sum_assignment

from pickrig.inputs import read_fleet
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
        job=job, machine=machine, day=np.zeros(worth.size, int), truck=none, trailer=none, tool=none,
        hours=np.ones(worth.size), hauling=np.zeros(worth.size), worth=worth.ravel(), allowed=np.ones(worth.size, bool),
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
        for i in range(60)
    )
    machines = tuple(
        fleet.machines[i % len(fleet.machines)].model_copy(update={"name": f"Machine {i:03d}"}) for i in range(40)
    )
    rigs = {
        key: tuple(one.model_copy(update={"name": f"{one.name} {i}"}) for i in range(6) for one in getattr(fleet, key))
        for key in ("trucks", "trailers")
    }
    whole = fleet.model_copy(
        update={"machines": machines, "trucks": rigs["trucks"][:6], "trailers": rigs["trailers"][:6]}
    )
    took, plan = timed(lambda: day(board.model_copy(update={"calls": calls}), whole, rules))
    print(f"60 x 40 with six trucks and six trailers: {took:.1f} s, gap {plan.gap:.2%}, {len(plan.lines)} jobs go out")


if __name__ == "__main__":
    main()
