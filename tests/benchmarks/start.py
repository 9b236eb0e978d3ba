"""Cold starts: a whole process from nothing to its answer, beside a bare Python and one that only imports NumPy.

Run: python tests/benchmarks/start.py. Nothing here passes or fails.
"""

import subprocess
import sys
import tempfile
import time
from pathlib import Path

EXAMPLES = Path(__file__).parents[2] / "examples"
RUNS = 5


def cold(*arguments: str) -> float:
    """Shortest of several whole processes, s."""
    times = []
    with tempfile.TemporaryDirectory() as folder:
        for _ in range(RUNS):
            started = time.perf_counter()
            subprocess.run([sys.executable, *arguments], cwd=folder, capture_output=True, check=False)
            times.append(time.perf_counter() - started)
    return min(times)


def main() -> None:
    bare, numpy = cold("-c", ""), cold("-c", "import numpy")
    print("| whole process | s | times a bare Python |\n|---|--:|--:|")
    print(f"| bare Python | {bare:.3f} | 1 |\n| import numpy | {numpy:.3f} | {numpy / bare:.0f} |")
    rows = {
        "--help": ["--help"],
        "rules soils": ["rules", "soils"],
        "check a job": ["check", str(EXAMPLES / "muddy-lot.toml")],
        "pick, wetness in a word": ["pick"],
        "pick, snow": _pick("snow-lot.toml", "snow-fleet.toml"),
        "pick, weather": _pick("ponding-silt.toml", "fleet.toml"),
    }
    for name, arguments in rows.items():
        took = cold("-m", "pickrig", *arguments)
        print(f"| {name} | {took:.2f} | {took / bare:.0f} |", flush=True)


def _pick(job: str, fleet: str) -> list[str]:
    return ["pick", str(EXAMPLES / job), "--fleet", str(EXAMPLES / fleet), "-o", "page.html"]


if __name__ == "__main__":
    main()
