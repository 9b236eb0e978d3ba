"""Change each number in the physics by a twentieth, up and down, one at a time: does a published value notice?

`python -m tests.published.mutate` prints the numbers nobody notices. A number is a constant of a function, or of the
module; shapes of arrays, axes and places after the point are left alone by the list in unwatched.toml, each with why.
"""

import ast
import importlib
import pkgutil
import tomllib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import pickrig.physics
from tests.published.case import Case, load

UNWATCHED = Path(__file__).parent / "unwatched.toml"
BY = 0.05


@dataclass(frozen=True)
class Number:
    """A constant in the source of a physics module: the `nth` in its function (or in the module, outside functions)."""

    module: str
    function: str
    nth: int
    value: float
    line: int

    @property
    def id(self) -> str:
        return f"{self.module}.{self.function} #{self.nth} = {self.value:g}"


def numbers() -> list[Number]:
    """Every constant of every physics module."""
    found = []
    for info in pkgutil.iter_modules(pickrig.physics.__path__):
        for function, nodes in _constants(_tree(info.name)):
            found += [Number(info.name, function, n, node.value, node.lineno) for n, node in enumerate(nodes)]
    return found


def unnoticed(number: Number, cases: list[Case]) -> bool:
    """Whether every case still agrees with the number a twentieth higher, and with it a twentieth lower."""
    return all(_agree(number, step, cases) for step in (BY, -BY))


def _agree(number: Number, step: float, cases: list[Case]) -> bool:
    with _changed(number, step):
        for case in cases:
            try:
                if case.disagreement():
                    return False
            except (ValueError, ZeroDivisionError, TypeError, IndexError, KeyError):
                return False
    return True


def _tree(module: str) -> ast.Module:
    path = Path(pickrig.physics.__path__[0]) / f"{module}.py"
    return ast.parse(path.read_text(encoding="utf-8"))


def _constants(tree: ast.Module) -> Iterator[tuple[str, list[ast.Constant]]]:
    for node in tree.body:
        if isinstance(node, ast.Import | ast.ImportFrom):
            continue
        name = getattr(node, "name", None) or _target(node)
        yield name, [child for child in ast.walk(node) if _is_number(child)]


def _target(node: ast.stmt) -> str:
    if isinstance(node, ast.Assign):
        return ast.unparse(node.targets[0])
    return ast.unparse(node.target) if isinstance(node, ast.AnnAssign) else "text"


def _is_number(node: ast.AST) -> bool:
    return isinstance(node, ast.Constant) and type(node.value) in (int, float)


@contextmanager
def _changed(number: Number, step: float) -> Iterator[None]:
    tree = _tree(number.module)
    node = dict(_constants(tree))[number.function][number.nth]
    node.value = node.value * (1 + step) if node.value else step
    module = importlib.import_module(f"pickrig.physics.{number.module}")
    before = dict(module.__dict__)
    try:
        exec(compile(tree, module.__file__ or "", "exec"), module.__dict__)
        yield
    finally:
        module.__dict__.clear()
        module.__dict__.update(before)


def allowed() -> dict[str, str]:
    """The numbers no case notices, and why that is right or who watches them instead."""
    return tomllib.loads(UNWATCHED.read_text(encoding="utf-8"))


def cases_of(module: str, cases: list[Case]) -> list[Case]:
    """The cases that run anything of a module, libraries left out because they are slow."""
    return [
        case
        for case in cases
        if case.basis != "library" and any(name.startswith(f"{module}.") for name in case.functions)
    ]


def main() -> None:
    cases = load()
    for number in numbers():
        if unnoticed(number, cases_of(number.module, cases)):
            print(f'"{number.id}" = ""  # line {number.line}')


if __name__ == "__main__":
    main()
