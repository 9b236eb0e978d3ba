"""Every number of the physics, with what is known of it, and a way to change it."""

import ast
import importlib
import pkgutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType
from typing import Any

import pickrig.physics
from pickrig.rulebook import Rules
from pickrig.rulebook.tables import Constants, Status


@dataclass(frozen=True)
class Constant:
    """A number in the source of a physics module: the `nth` in its function, or in the module outside functions."""

    module: str
    function: str
    nth: int
    value: float
    line: int


def constants() -> list[Constant]:
    """Every number of every physics module."""
    found = []
    for info in pkgutil.iter_modules(pickrig.physics.__path__):
        for function, nodes in _nodes(_tree(info.name)):
            found += [
                Constant(info.name, function, n, float(node.value), node.lineno)  # type: ignore[arg-type]
                for n, node in enumerate(nodes)
            ]
    return found


@contextmanager
def changed(constant: Constant, to: float) -> Iterator[None]:
    """The physics with one number changed."""
    tree = _tree(constant.module)
    dict(_nodes(tree))[constant.function][constant.nth].value = to
    module = importlib.import_module(f"pickrig.physics.{constant.module}")
    before = dict(module.__dict__)
    try:
        exec(compile(tree, module.__file__ or "", "exec"), module.__dict__)
        yield
    finally:
        _restored(module, before)


def _restored(module: ModuleType, before: dict[str, Any]) -> None:
    module.__dict__.clear()
    module.__dict__.update(before)


def _tree(module: str) -> ast.Module:
    path = Path(pickrig.physics.__path__[0]) / f"{module}.py"
    return ast.parse(path.read_text(encoding="utf-8"))


def _nodes(tree: ast.Module) -> Iterator[tuple[str, list[ast.Constant]]]:
    for node in tree.body:
        if isinstance(node, ast.Import | ast.ImportFrom):
            continue
        name = getattr(node, "name", None) or _target(node)
        yield name, [child for child in ast.walk(node) if _is_number(child)]  # type: ignore[misc]


def _target(node: ast.stmt) -> str:
    if isinstance(node, ast.Assign):
        return ast.unparse(node.targets[0])
    return ast.unparse(node.target) if isinstance(node, ast.AnnAssign) else "text"


def _is_number(node: ast.AST) -> bool:
    return isinstance(node, ast.Constant) and type(node.value) in (int, float)


def status_of_constant(rules: Rules, constant: Constant) -> Status | None:
    """Of a number in the physics; None for units, guards and definitions, and where no verdict can hang on it."""
    row: Constants | None = rules.physics.get(f"{constant.module}.{constant.function}")
    if row is None or row.equation == "definition" or constant.nth in row.fixed or constant.value in (0, 1):
        return None
    if row.levels and constant.nth not in row.levels:
        return None
    return "from memory" if constant.nth in row.from_memory else rules.equations[row.equation].status
