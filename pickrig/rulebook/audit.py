"""Where every value of the rules comes from, and what is wrong with that.

It reads the tables as they stand in the files, not through the models of tables.py, so that a number the models forgot
to cite is found.
"""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, get_args

from pickrig.rulebook.tables import Status

_ABOUT = {"status", "source", "where", "note"}


@dataclass(frozen=True)
class Entry:
    """One value of a table, or a row that holds words only: where it stands and what its row says of it."""

    table: str
    path: str
    value: str
    numbers: int
    status: str | None
    source: str | None
    where: str


@dataclass(frozen=True)
class Audit:
    """Every value with its source and status, and a sentence for each that lacks what it must have."""

    entries: list[Entry]
    faults: list[str]
    second_hand: frozenset[str]

    def standing(self, entry: Entry) -> str:
        """The status in words; a published value says whether the page itself was read."""
        if entry.status == "published":
            hand = "quoted by another text" if entry.source in self.second_hand else "page read"
            return f"published, {hand}"
        return entry.status or "no status"

    def counts(self) -> list[tuple[str, int, int]]:
        """Status, how many numbers have it, how many rows of words; the best founded first."""
        numbers: Counter[str] = Counter()
        words: Counter[str] = Counter()
        for entry in self.entries:
            numbers[self.standing(entry)] += entry.numbers
            words[self.standing(entry)] += entry.numbers == 0
        order = ["published, page read", "published, quoted by another text", *get_args(Status)[1:], "no status"]
        return [(name, numbers[name], words[name]) for name in order if numbers[name] or words[name]]


def audit(tables: Mapping[str, Mapping[str, Any]]) -> Audit:
    """Look at every value of every table, `tables` being the files of a rules folder by name, as read from TOML."""
    sources = tables.get("sources", {})
    entries = [entry for name, table in tables.items() if name != "sources" for entry in _walk(name, (), table, {})]
    second_hand = frozenset(key for key, source in sources.items() if source.get("read") == "second-hand")
    return Audit(entries, [*_faults(entries, sources)], second_hand)


def _walk(table: str, path: tuple[str, ...], node: Mapping[str, Any], row: Mapping[str, Any]) -> Iterator[Entry]:
    if "status" in node:
        row = node
        if not any(_numbers(value) for key, value in node.items() if f"{key}_status" not in node):
            yield _entry(table, path, "(words)", 0, row)
    for key, value in node.items():
        if isinstance(value, Mapping):
            yield from _walk(table, (*path, key), value, row)
        elif _numbers(value):
            own = node.get(f"{key}_status")  # a value may stand apart from its row
            about = {"status": own} if own else row
            yield _entry(table, (*path, key), _shown(value), _numbers(value), about)


def _entry(table: str, path: tuple[str, ...], value: str, numbers: int, row: Mapping[str, Any]) -> Entry:
    return Entry(table, " / ".join(path), value, numbers, row.get("status"), row.get("source"), row.get("where", ""))


def _numbers(value: object) -> int:
    if isinstance(value, Mapping):
        return sum(_numbers(item) for item in value.values())
    if isinstance(value, list):
        return sum(_numbers(item) for item in value)
    return isinstance(value, int | float) and not isinstance(value, bool)


def _shown(value: object) -> str:
    return ", ".join(_shown(item) for item in value) if isinstance(value, list) else f"{value:g}"


def _faults(entries: list[Entry], sources: Mapping[str, Any]) -> Iterator[str]:
    for entry in entries:
        place = f"{entry.table}.toml, {entry.path}"
        if entry.status is None:
            yield f"{place} = {entry.value}: has no status; give its row one of {', '.join(get_args(Status))}"
        elif entry.status == "published" and entry.source is None:
            yield f"{place} = {entry.value}: says published and names no source; name a key of sources.toml"
        if entry.source is not None and entry.source not in sources:
            yield f"{place}: names the source {entry.source!r}, which sources.toml does not have; add it there"
    used = {entry.source for entry in entries}
    for key, source in sources.items():
        if not str(source.get("citation", "")).strip():
            yield f"sources.toml, {key}: has no citation; say who published what, where and when"
        if key not in used:
            yield f"sources.toml, {key}: no row names it; remove it, or name it where it is used"
