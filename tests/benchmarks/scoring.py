"""How long the scoring takes, side by side with decision libraries and with bare NumPy on the same numbers.

Run: pip install -e '.[bench]' && python tests/benchmarks/scoring.py. It prints the table of
tests/benchmarks/README.md; nothing here passes or fails. The libraries are never used by pickrig itself.
"""

import time
import warnings
from collections.abc import Callable

import numpy as np
import pymcdm
from pyrepo_mcda import normalizations
from pyrepo_mcda.mcda_methods import SAW
from pysensmcda.smaa import smaa2

from pickrig import scoring

CRITERIA = 8
SIZES = (100, 10_000, 1_000_000)
FIVE_POINTS = (np.linspace(0.0, 100.0, 5), np.array([0.0, 0.4, 0.7, 0.9, 1.0]))


def best(function: Callable[[], object], repeats: int) -> float:
    """Shortest of several runs, s, after one to warm up."""
    function()
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        function()
        times.append(time.perf_counter() - start)
    return min(times)


def say(seconds: float) -> str:
    if seconds < 1e-3:
        return f"{seconds * 1e6:.0f} us"
    return f"{seconds * 1e3:.1f} ms" if seconds < 1 else f"{seconds:.2f} s"


def scores_of(size: int) -> list[tuple[str, float]]:
    """Ours and theirs on one matrix of alternatives by criteria."""
    rng = np.random.default_rng(0)
    matrix = rng.uniform(1.0, 99.0, (size, CRITERIA))
    weights = scoring.rank_order_centroid(CRITERIA)
    types = np.ones(CRITERIA, dtype=int)
    slopes, offset = scoring.fold(np.zeros(CRITERIA), np.full(CRITERIA, 100.0), weights)
    few = 3 if size > 100_000 else 30
    many = 15 if size > 100_000 else 300

    points, worths = [FIVE_POINTS[0]] * CRITERIA, [FIVE_POINTS[1]] * CRITERIA

    def five_point() -> scoring.Array:
        return scoring.curved_scores(matrix, points, worths, weights)

    return [
        ("bare NumPy: X @ k + c", best(lambda: matrix @ slopes + offset, many)),
        ("pickrig, straight curves folded", best(lambda: scoring.folded_scores(matrix, slopes, offset), many)),
        ("pickrig, five-point curves", best(five_point, many // 5)),
        ("pymcdm WSM", best(lambda: pymcdm.methods.WSM()(matrix, weights, types), few)),
        ("pymcdm TOPSIS", best(lambda: pymcdm.methods.TOPSIS()(matrix, weights, types), few)),
        ("pyrepo-mcda SAW", best(lambda: SAW(normalizations.minmax_normalization)(matrix, weights, types), few)),
    ]


def weightings() -> list[tuple[str, float]]:
    """10,000 weightings of 50 machines on 8 questions: shares of first place, all ranks, central weights."""
    values = np.random.default_rng(1).random((50, CRITERIA))
    return [
        ("pickrig: first place", best(lambda: scoring.first_shares(values), 20)),
        ("pickrig: all ranks and central weights", best(lambda: scoring.rank_shares(values), 20)),
        ("pysensmcda smaa2 on pymcdm's weighted sum", best(lambda: _theirs(values, pymcdm.methods.WSM()), 1)),
        ("pysensmcda smaa2 on a bare NumPy product", best(lambda: _theirs(values, _product), 3)),
    ]


def _theirs(values: scoring.Array, method: Callable[..., object]) -> object:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # that confidence factors mean nothing without noise: they are not compared
        return smaa2(method, values, np.ones(CRITERIA, dtype=int), num_samples=10_000)


def _product(matrix: scoring.Array, weights: scoring.Array, _: object) -> scoring.Array:
    """The quickest a sampled method can be."""
    return matrix @ weights


def main() -> None:
    tables = {f"{size:,} x {CRITERIA}": scores_of(size) for size in SIZES}
    names = [name for name, _ in next(iter(tables.values()))]
    print(f"| | {' | '.join(tables)} |")
    print(f"|---|{'---|' * len(tables)}")
    for row, name in enumerate(names):
        cells = []
        for table in tables.values():
            took, floor = table[row][1], table[0][1]
            cells.append(f"{say(took)} ({took / floor:.1f})")
        print(f"| {name} | {' | '.join(cells)} |")
    print("\nIn brackets: times the bare floor of the same column.\n")
    print("| 10,000 weightings x 50 machines x 8 questions | | times pickrig |\n|---|---|---|")
    rows = weightings()
    ours = rows[1][1]
    for name, took in rows:
        print(f"| {name} | {say(took)} | {took / ours:.1f} |")


if __name__ == "__main__":
    main()
