"""Where every value of the rules comes from, and what is wrong with that.

It reads the tables as they stand in the files, not through the models of tables.py, so that a number the models forgot
to cite is found.
"""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, cast, get_args

from pickrig.facts import Said, Value
from pickrig.rulebook.tables import Cited, Status

_ABOUT = set(Cited.model_fields)


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
    """Every value with its source and status, and a statement for each that lacks what it must have."""

    entries: list[Entry]
    faults: list[Said]
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


@dataclass(frozen=True)
class _Row:
    """The row a value stands in."""

    node: Mapping[str, Any]
    path: tuple[str, ...]

    @property
    def apart(self) -> Mapping[str, str]:
        told = self.node.get("apart")
        return cast(Mapping[str, str], told) if isinstance(told, Mapping) else {}

    @property
    def says(self) -> str:
        return str(self.node.get("says", ""))


_NO_ROW = _Row({}, ())
_NO_NUMBERS = ("sources", "physics")  # where things come from; the places of constants are no numbers of ours


def audit(tables: Mapping[str, Mapping[str, Any]]) -> Audit:
    """Look at every value of every table, `tables` being the files of a rules folder by name, as read from TOML."""
    sources = {key: row if isinstance(row, Mapping) else {} for key, row in tables.get("sources", {}).items()}
    entries = [
        entry for name, table in tables.items() if name not in _NO_NUMBERS for entry in _walk(name, (), table, _NO_ROW)
    ]
    second_hand = frozenset(key for key, source in sources.items() if source.get("read") == "second-hand")
    return Audit(entries, [*_faults(entries, sources), *lost_apart(tables)], second_hand)


def _walk(table: str, path: tuple[str, ...], node: Mapping[str, Any], row: _Row) -> Iterator[Entry]:
    if "status" in node:
        row = _Row(node, path)
        if not any(_numbers(value) for key, value in node.items() if key not in row.apart):
            yield Entry(table, " / ".join(path), "(words)", 0, **_origin(node))
        for part, its_own in row.apart.items():
            if part in row.says:
                yield Entry(table, " / ".join((*path, part)), "(words)", 0, **_origin(node, its_own))
    for key, value in node.items():
        here = (*path, key)
        if isinstance(value, Mapping) and key not in _ABOUT:
            yield from _walk(table, here, value, row)
        elif _numbers(value):
            own = row.apart.get(" / ".join(here[len(row.path) :]))
            yield Entry(table, " / ".join(here), _shown(value), _numbers(value), **_origin(row.node, own))


def _origin(row: Mapping[str, Any], own_status: str | None = None) -> dict[str, Any]:
    """Status, source and place of a row; a value that stands apart has a status of its own and no source."""
    if own_status:
        return {"status": own_status, "source": None, "where": ""}
    return {"status": row.get("status"), "source": row.get("source"), "where": row.get("where", "")}


def _numbers(value: object) -> int:
    if isinstance(value, Mapping):
        return sum(_numbers(item) for item in value.values())
    if isinstance(value, list):
        return sum(_numbers(item) for item in value)
    return isinstance(value, int | float) and not isinstance(value, bool)


def _shown(value: object) -> str:
    if isinstance(value, list):
        return ", ".join(_shown(item) for item in value)
    return f"{value:g}" if _numbers(value) and not isinstance(value, Mapping) else str(value)


def lost_apart(tables: Mapping[str, Any], path: tuple[str, ...] = ()) -> Iterator[Said]:
    """What is told apart and is no number of the row, nor a part of what it says, would leave the real one dressed up
    as published."""
    for key, node in tables.items():
        if not isinstance(node, Mapping):
            continue
        for told in _Row(node, ()).apart:
            value: Any = node
            for part in told.split(" / "):
                value = value.get(part) if isinstance(value, Mapping) else None
            if told not in _Row(node, ()).says and (isinstance(value, Mapping) or not _numbers(value)):
                place = " / ".join((*path, key)[1:])
                file = f"{(*path, key)[0]}.toml"
                yield Said("fault.at_key", file=file, key=place, what=Said("audit.apart", name=told))
        yield from lost_apart(node, (*path, key))


def _faults(entries: list[Entry], sources: Mapping[str, Any]) -> Iterator[Said]:
    def told(table: str, place: str, key: str, **values: Value) -> Said:
        return Said("fault.at_key", file=f"{table}.toml", key=place, what=Said(key, **values))

    for entry in entries:
        place = entry.path if entry.numbers == 0 else f"{entry.path} = {entry.value}"
        if entry.status is None:
            yield told(entry.table, place, "audit.no_status", names=get_args(Status))
        elif entry.status not in get_args(Status):
            yield told(entry.table, place, "audit.odd_status", status=str(entry.status), names=get_args(Status))
        elif entry.status == "published" and entry.source is None:
            yield told(entry.table, place, "audit.no_source")
        if entry.source is not None and entry.source not in sources:
            yield told(entry.table, entry.path, "fault.rules_source", source=str(entry.source))
    used = {entry.source for entry in entries}
    for key, source in sources.items():
        if not str(source.get("citation", "")).strip():
            yield told("sources", key, "audit.no_citation")
        if key not in used:
            yield told("sources", key, "audit.not_used")
