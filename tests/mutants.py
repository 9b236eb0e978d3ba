"""Seed small faults in the code, one at a time, and count how many the tests notice.

    .venv/bin/python -m tests.mutants [HOW MANY] [SEED]         a sample; 200 take about a quarter of an hour

A comparison turned, a number changed, an `and` for an `or`, a loop left out: cosmic-ray's operators, at places of
`checks`, `plans`, `report`, `inputs` and `desk` that the fast tests below run through. Each fault is tried in a
process of its own, forked before anything of pickrig is loaded, so that no file is changed. What survives is printed;
the rate stands in DEVELOPERS.md.
"""

import ast
import contextlib
import importlib
import os
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from importlib.machinery import SourceFileLoader
from pathlib import Path
from random import Random

ROOT = Path(__file__).parents[1]
ROOMS = ("checks", "plans", "report", "inputs", "desk")
FAST = [
    "tests/records",
    *(
        f"tests/behaviour/test_{name}.py"
        for name in (
            "relied_on", "cautions", "bad_input", "checks", "work_and_haul", "hard_ground", "snow", "weather", "day",
            "buy", "decision", "files", "desk", "rules",
        )
    ),
]  # fmt: skip
SKIP = "faults or terminal_text or streams or full or command"  # whole processes
LONGEST = 240  # s; a fault that never ends is noticed too
_KINDS = (
    "NumberReplacer", "ReplaceComparisonOperator", "ReplaceBinaryOperator", "AddNot", "ReplaceAndWithOr",
    "ReplaceOrWithAnd", "ReplaceTrueWithFalse", "ReplaceFalseWithTrue", "ReplaceBreakWithContinue",
    "ReplaceContinueWithBreak", "ReplaceUnaryOperator", "ZeroIterationForLoop",
)  # fmt: skip
# Loaded once, before the forks: they are the same for every fault.
_LIBRARIES = ("numpy", "scipy.optimize", "pydantic", "pint", "tomlkit", "jinja2", "pytest", "hypothesis", "icalendar")
_LIBRARIES += ("starlette.testclient", "uvicorn", "typer.testing", "html5lib", "jsonschema")


@dataclass(frozen=True)
class Fault:
    """One place, and what is put there."""

    path: Path
    line: int
    column: int
    operator: str
    occurrence: int

    def code(self) -> str:
        """The whole file with the fault in it."""
        from cosmic_ray import mutating, plugins

        text = self.path.read_text(encoding="utf-8")
        return str(mutating.mutate_code(text, plugins.get_operator(self.operator)(), self.occurrence))

    def __str__(self) -> str:
        was = self.path.read_text(encoding="utf-8").splitlines()
        now = self.code().splitlines()
        changed = [f"{a.strip()}  ->  {b.strip()}" for a, b in zip(was, now, strict=False) if a != b]
        return f"{self.path.relative_to(ROOT)}:{self.line}: {changed[0] if changed else self.operator}"


def places(path: Path, covered: set[int]) -> dict[tuple[int, int], list[Fault]]:
    """Where a file may be changed, and how, at lines that are run; annotations are no place."""
    from cosmic_ray import plugins
    from cosmic_ray.ast import ast_nodes, get_ast

    tree, spared = get_ast(path.read_text(encoding="utf-8")), _annotations(path)
    found: dict[tuple[int, int], list[Fault]] = {}
    for name in plugins.operator_names():
        if not name.split("/")[1].startswith(_KINDS):
            continue
        operator, occurrence = plugins.get_operator(name)(), 0
        for node in ast_nodes(tree):
            for start, _ in operator.mutation_positions(node):
                if start[0] in covered and not any(a <= start < b for a, b in spared):
                    found.setdefault(start, []).append(Fault(path, *start, name, occurrence))
                occurrence += 1
    return found


def _annotations(path: Path) -> list[tuple[tuple[int, int], tuple[int, int]]]:
    """From where to where a file speaks of types only."""
    spans = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        told = [getattr(node, "annotation", None), getattr(node, "returns", None)]
        if isinstance(node, ast.Assign) and isinstance(node.value, ast.BinOp) and isinstance(node.value.op, ast.BitOr):
            told.append(node.value)
        for part in told:
            if isinstance(part, ast.expr):
                end = (part.end_lineno or part.lineno, part.end_col_offset or 0)
                spans.append(((part.lineno, part.col_offset), end))
    return spans


def covered_lines() -> dict[str, set[int]]:
    """Lines of each file that the fast tests run through."""
    import coverage

    with tempfile.TemporaryDirectory() as folder:
        data = Path(folder) / "data"
        command = [sys.executable, "-m", "coverage", "run", f"--data-file={data}", "--source=pickrig", *_pytest()]
        subprocess.run(command, cwd=ROOT, check=True, stdout=subprocess.DEVNULL)
        read = coverage.CoverageData(str(data))
        read.read()
        return {file: set(read.lines(file) or ()) for file in read.measured_files()}


def _pytest() -> list[str]:
    return ["-m", "pytest", "-n", "0", "-x", "-q", "-p", "no:cacheprovider", "-k", f"not ({SKIP})", *FAST]


def sample(count: int, seed: int) -> list[Fault]:
    """Faults at places drawn evenly, one a place."""
    lines = covered_lines()
    files = [path for room in ROOMS for path in sorted((ROOT / "pickrig" / room).rglob("*.py"))]
    spots = [faults for path in files for faults in places(path, lines.get(str(path), set())).values()]
    random = Random(seed)
    chosen = random.sample(spots, min(count, len(spots)))
    print(f"{len(spots)} places in {len(files)} files; {len(chosen)} drawn with seed {seed}", flush=True)
    return [random.choice(faults) for faults in chosen]


def noticed(fault: Fault) -> bool:
    """Whether a test fails, or never ends, with the fault in place."""
    code = fault.code()
    child = os.fork()
    if child == 0:
        os.setsid()
        os._exit(_tried(fault.path, code))
    end = time.monotonic() + LONGEST
    while time.monotonic() < end:
        done, status = os.waitpid(child, os.WNOHANG)
        if done:
            return os.waitstatus_to_exitcode(status) != 0
        time.sleep(0.05)
    with contextlib.suppress(ProcessLookupError):
        os.killpg(child, signal.SIGKILL)
    os.waitpid(child, 0)
    return True


def _tried(path: Path, code: str) -> int:
    """The tests' status in this process, with the code in place of a file's own."""
    with Path(os.devnull).open("w") as nowhere:
        os.dup2(nowhere.fileno(), 1)
        os.dup2(nowhere.fileno(), 2)
    own = SourceFileLoader.get_code

    def get_code(loader: SourceFileLoader, name: str) -> object:
        if Path(loader.path) == path:
            return compile(code, str(path), "exec", dont_inherit=True)
        return own(loader, name)

    SourceFileLoader.get_code = get_code  # type: ignore[method-assign, assignment]
    import pytest

    try:
        return int(pytest.main(_pytest()[2:]))
    except BaseException:  # what a fault does to the run itself
        return 1


def main(count: int, seed: int) -> int:
    """Try a sample; print what survives, and the rate of each room."""
    os.chdir(ROOT)
    faults = sample(count, seed)
    for name in _LIBRARIES:
        importlib.import_module(name)
    with ThreadPoolExecutor(os.cpu_count() or 1) as pool:
        told = dict(zip(faults, _told(faults, pool.map(noticed, faults)), strict=True))
    for room in ROOMS:
        own = [seen for fault, seen in told.items() if fault.path.relative_to(ROOT).parts[1] == room]
        print(f"{room}: {sum(own)} of {len(own)} noticed")
    print(f"all: {sum(told.values())} of {len(told)} noticed, {100 * sum(told.values()) / len(told):.0f} %")
    return 0


def _told(faults: list[Fault], seen: Iterator[bool]) -> Iterator[bool]:
    for number, (fault, was) in enumerate(zip(faults, seen, strict=True), 1):
        print(f"{number:4} {'noticed ' if was else 'SURVIVES'} {fault}", flush=True)
        yield was


if __name__ == "__main__":
    given = [int(text) for text in sys.argv[1:]]
    sys.exit(main(given[0] if given else 200, given[1] if len(given) > 1 else 0))
