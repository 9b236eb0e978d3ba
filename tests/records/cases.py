"""The cases and their recorded answers, as files; and what has moved between two answers."""

import json
import math
import tempfile
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

from pickrig.rulebook import load_rules
from tests.records.draw import Case, write
from tests.records.facts import Facts, facts_of, plain

HERE = Path(__file__).parent
WANTED = [
    (f"{kind}-{number:03d}", kind, 1000 * place + number)
    for place, (kind, count) in enumerate((("job", 340), ("day", 38), ("year", 32)))
    for number in range(count)
]
_CLOSE = 1e-9  # processors and libraries differ in the last digits of a power or a logarithm


@cache
def drawn() -> dict[str, Case]:
    """The drawn cases by name."""
    return _lines(HERE / "drawn.jsonl")


@cache
def recorded() -> dict[str, Facts]:
    """The recorded facts by name."""
    return _lines(HERE / "recorded.jsonl")


def _lines(path: Path) -> dict[str, Any]:
    if not path.exists():
        return {}
    rows = [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]
    return {row.pop("case"): row for row in rows}


def keep_drawn(cases: dict[str, Case]) -> None:
    _keep(HERE / "drawn.jsonl", cases)


def keep_recorded(facts: dict[str, Facts]) -> None:
    _keep(HERE / "recorded.jsonl", facts)


def _keep(path: Path, rows: dict[str, Any]) -> None:
    text = [json.dumps({"case": name, **row}, ensure_ascii=False, default=str) for name, row in sorted(rows.items())]
    path.write_text("\n".join(text) + "\n", encoding="utf-8")


def facts(name: str) -> Facts:
    """Today's facts of a case."""
    with tempfile.TemporaryDirectory() as folder:
        files = write(drawn()[name], Path(folder))
        told: Facts = plain(facts_of(drawn()[name]["kind"], files, load_rules()))
    return told


def words_of(name: str) -> str:
    """Everything that is said of a case."""
    with tempfile.TemporaryDirectory() as folder:
        files = write(drawn()[name], Path(folder))
        told = plain(facts_of(drawn()[name]["kind"], files, load_rules(), words=True))
    return json.dumps(told, ensure_ascii=False, indent=1).replace("\\n", "\n")


def moved(old: Any, new: Any, where: str = "") -> Iterator[str]:
    """What differs, a line each: where it stands, what it was, what it is."""
    if isinstance(old, dict) and isinstance(new, dict):
        for key in [*old, *(key for key in new if key not in old)]:
            yield from moved(old.get(key), new.get(key), f"{where}.{key}" if where else str(key))
    elif isinstance(old, list) and isinstance(new, list) and len(old) == len(new):
        for number, (before, after) in enumerate(zip(old, new, strict=True)):
            yield from moved(before, after, f"{where}[{number}]")
    elif not _same(old, new):
        yield f"{where}: {old} -> {new}"


def _same(old: Any, new: Any) -> bool:
    if isinstance(old, int | float) and isinstance(new, int | float) and not isinstance(old, bool):
        return math.isclose(old, new, rel_tol=_CLOSE, abs_tol=_CLOSE)
    return bool(old == new) and type(old) is type(new)
