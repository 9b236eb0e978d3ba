"""The rules with one number moved: to see what hangs on it."""

from typing import Any

from pydantic import BaseModel

from pickrig.rulebook.tables import Cited, Rules, Status

Path_ = tuple[str | int, ...]
_ABOUT = set(Cited.model_fields)


def at(rules: Rules, path: Path_) -> Any:
    """What stands at a path of the rules."""
    node: Any = rules
    for key in path:
        node = _child(node, key)
    return node


def moved_rules(node: Any, path: Path_, times: float) -> Any:
    """A copy of the rules, or of a part of them, with every number under a path this many times itself."""
    if path:
        head, rest = path[0], path[1:]
        inner = moved_rules(_child(node, head), rest, times)
        return _with(node, head, inner)
    if isinstance(node, bool | str) or node is None:
        return node
    if isinstance(node, int | float):
        return node * times
    for key in keys(node):
        node = _with(node, key, moved_rules(_child(node, key), (), times))
    return node


def sound(rules: Rules, path: Path_) -> bool:
    """Whether a number of the rules is still one that its row may hold: no share over one, no ends out of order."""
    row = _row_of(rules, path)[0] or rules
    try:
        type(row).model_validate(row.model_dump(by_alias=True))
    except ValueError:
        return False
    return True


def _row_of(rules: Rules, path: Path_) -> tuple[Cited | None, Path_]:
    """The innermost row that a path leads through, and what of the path lies within it."""
    node: Any = rules
    found: tuple[Cited | None, Path_] = (None, path)
    for depth, key in enumerate(path):
        node = _child(node, key)
        if isinstance(node, Cited):
            found = (node, path[depth + 1 :])
    return found


def keys(node: Any) -> list[str | int]:
    """What a part of the rules is made of; [] for a number or a word."""
    if isinstance(node, BaseModel):
        return [name for name in type(node).model_fields if name not in _ABOUT]
    if isinstance(node, dict):
        return list(node)
    return list(range(len(node))) if isinstance(node, list | tuple) else []


def _child(node: Any, key: str | int) -> Any:
    return getattr(node, str(key)) if isinstance(node, BaseModel) else node[key]


def _with(node: Any, key: str | int, value: Any) -> Any:
    if isinstance(node, BaseModel):
        return node.model_copy(update={str(key): value})
    if isinstance(node, dict):
        return {**node, key: value}
    return type(node)(value if index == key else item for index, item in enumerate(node))


def status_of(rules: Rules, path: Path_) -> Status:
    """Of a number of the rules: its row's, or its own where it stands apart."""
    row, below = _row_of(rules, path)
    if row is None:
        return "our judgment"
    names = [str(key) for key in below if isinstance(key, str)]
    parts = (" / ".join(names[:count]) for count in range(len(names), 0, -1))
    return next((row.apart[part] for part in parts if part in row.apart), row.status)
