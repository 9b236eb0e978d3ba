"""The log as CSV, for a spreadsheet or another yard, and back."""

import csv
import datetime as dt
import hashlib
import json
from dataclasses import replace
from io import StringIO
from math import isfinite
from pathlib import Path
from typing import Any

from pickrig.errors import InputError
from pickrig.facts import Said
from pickrig.files import read_text
from pickrig.log.entry import COLUMNS, NAMES, NUMBERS, Entry

_RUNS = ("=", "+", "-", "@", "\t", "\r")  # what a spreadsheet takes for a formula
_LARGEST = 60_000_000


def as_csv(entries: list[Entry], anonymous: bool = False) -> str:
    """A row an entry. anonymous: without names, places and what was written by hand; soil, water, machine figures and
    outcome stay, under a mark by which another yard keeps it apart from its own."""
    out = StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    mark = _mark(entries) if anonymous else ""
    for entry in entries:
        row = _without_names(entry, mark) if anonymous else entry
        writer.writerow([_cell(name, getattr(row, name)) for name in COLUMNS])
    return out.getvalue()


def from_csv(path: Path) -> list[Entry]:
    """Raises InputError: columns that lack, a number that is none."""
    rows = list(csv.DictReader(StringIO(read_text(path, "log", _LARGEST))))
    if not rows or not set(COLUMNS) - {"origin", "on_site"} <= set(rows[0]):  # of an older release
        raise InputError([Said("fault.log_columns", file=str(path))])
    return [_entry(path, number, row) for number, row in enumerate(rows, 2)]


def _mark(entries: list[Entry]) -> str:
    """Of this yard: the same as long as its first entry stands, and telling nothing of it."""
    own = [entry.id for entry in entries if not entry.origin]
    return hashlib.sha256(own[0].encode()).hexdigest()[:8] if own else ""


def _cell(name: str, value: object) -> str:
    text = "" if value is None else str(value)
    return f"'{text}" if name not in NUMBERS and text.startswith(_RUNS) else text


def _entry(path: Path, line: int, row: dict[str, str]) -> Entry:
    told: dict[str, object] = {}
    for name in COLUMNS:
        text = row.get(name) or ""
        if name in NUMBERS:
            try:
                told[name] = _number(text) if text else None
            except ValueError as error:
                raise InputError(
                    [Said("fault.no_number", file=str(path), line=str(line), name=name, read=text)]
                ) from error
        elif name == "day":
            told[name] = _been(path, line, text)
        else:
            told[name] = text[1:] if text[:1] == "'" and text[1:].startswith(_RUNS) else text
    return Entry(**told)  # type: ignore[arg-type]


def _been(path: Path, line: int, text: str) -> str:
    """A day that has been. Raises InputError."""
    try:
        day = dt.date.fromisoformat(text)
    except ValueError:
        day = None
    if day is None or day > dt.datetime.now().astimezone().date():
        raise InputError([Said("fault.log_date", file=str(path), line=str(line), name="day", read=text)])
    return text


def _number(text: str) -> float:
    """Raises ValueError, also for what is no amount."""
    value = float(text)
    if not isfinite(value):
        raise ValueError(text)
    return value


_OF_A_PLACE = ("title", "note", "site", "name", "haul", "driver", "costs", "latitude")


def _without_names(entry: Entry, mark: str) -> Entry:
    """No name of a job, a place, a machine or a person, and nothing written by hand."""
    cleared: dict[str, Any] = dict.fromkeys(NAMES, "")
    cleared["origin"] = entry.origin or mark
    return replace(entry, **cleared, answer=json.dumps(_bare(entry.asked())))


def _bare(node: object) -> object:
    if isinstance(node, dict):
        return {key: _bare(value) for key, value in node.items() if key not in _OF_A_PLACE}
    return [_bare(one) for one in node] if isinstance(node, list) else node
