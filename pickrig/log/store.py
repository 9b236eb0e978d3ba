"""The log in one SQLite file: added to, struck out, never overwritten.

Ordinary journal: the file can be copied as one. Its schema has a version; an older one is migrated after a backup, in
one transaction; a newer one is only read.
"""

import contextlib
import sqlite3
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from pickrig.errors import InputError, OutputError
from pickrig.facts import Said
from pickrig.log.entry import COLUMNS, HELPS, HOURS, NUMBERS, OUTCOMES, SENT, Entry
from pickrig.log.reading import READING_COLUMNS, READING_NUMBERS, WORDS, Reading

NAME = "pickrig-log.sqlite"
_MARK = 0x7069636B  # application_id
_BUSY = 5.0  # s that another program may hold it


def _one_of(names: tuple[str, ...], blank: bool = False) -> str:
    listed = ", ".join(f"'{name}'" for name in (("", *names) if blank else names))
    return f"({listed})"


def _columns(names: tuple[str, ...], numbers: tuple[str, ...]) -> str:
    typed = ", ".join(f"{name} {'REAL' if name in numbers else 'TEXT NOT NULL'}" for name in names if name != "id")
    return f"{typed}, id TEXT NOT NULL PRIMARY KEY"


_LATER = ("origin", "on_site")  # columns the first version did not have
_ENTRY = f"""
CREATE TABLE entry (
    {_columns(tuple(name for name in COLUMNS if name not in _LATER), NUMBERS)},
    CHECK (sent IN {_one_of(SENT)}),
    CHECK (outcome IN {_one_of(OUTCOMES, True)}),
    CHECK (would_have IN {_one_of(OUTCOMES, True)}),
    CHECK (helped IN {_one_of(HELPS)}),
    CHECK (hours_kind IN {_one_of(HOURS)}),
    CHECK (hours IS NULL OR hours > 0),
    CHECK (rut IS NULL OR rut >= 0)
) STRICT
"""
_READING = f"""
CREATE TABLE reading (
    {_columns(READING_COLUMNS, READING_NUMBERS)},
    {", ".join(f"CHECK ({name} IN {_one_of(words, True)})" for name, words in WORDS.items())},
    CHECK (meter IS NULL OR meter >= 0),
    CHECK (depth IS NULL OR depth >= 0)
) STRICT
"""
_MIGRATIONS = (  # each leads from its place to the next version
    _ENTRY,
    "ALTER TABLE entry ADD COLUMN origin TEXT NOT NULL DEFAULT ''",
    "ALTER TABLE entry ADD COLUMN on_site REAL",
    _READING,
)


class Log:
    """The log of one yard. Raises OutputError where it cannot be written, InputError where the file is none of ours."""

    def __init__(self, path: Path) -> None:
        self.path = path

    def entries(self) -> list[Entry]:
        """What stands, in the order it was entered; () where there is no log."""
        return [entry for entry in self.everything() if not entry.struck]

    def everything(self) -> list[Entry]:
        """Also what was struck out or replaced."""
        if not self.path.exists():
            return []
        with self._open() as log:
            rows = log.execute(f"SELECT {', '.join(COLUMNS)} FROM entry ORDER BY entered, id").fetchall()
        return [Entry(**dict(zip(COLUMNS, row, strict=True))) for row in rows]

    def add(self, *entries: Entry) -> int:
        """Add entries; those that are there already stay as they are. How many are new."""
        names, marks = ", ".join(COLUMNS), ", ".join(f":{name}" for name in COLUMNS)
        with self._open(write=True) as log:
            insert = f"INSERT INTO entry ({names}) VALUES ({marks}) ON CONFLICT (id) DO NOTHING"
            new = sum(log.execute(insert, entry.as_row()).rowcount for entry in entries)
            log.execute(
                "UPDATE entry SET struck = new.entered FROM entry AS new"
                " WHERE new.replaces = entry.id AND new.replaces != '' AND entry.struck = ''"
            )
            return new

    def readings(self) -> list[Reading]:
        """What was read off the machines and stands, by day."""
        if not self.path.exists():
            return []
        with self._open() as log:
            rows = log.execute(
                f"SELECT {', '.join(READING_COLUMNS)} FROM reading WHERE struck = '' ORDER BY day, entered, id"
            ).fetchall()
        return [Reading(**dict(zip(READING_COLUMNS, row, strict=True))) for row in rows]

    def add_reading(self, reading: Reading) -> None:
        """Add one."""
        names, marks = ", ".join(READING_COLUMNS), ", ".join(f":{name}" for name in READING_COLUMNS)
        with self._open(write=True) as log:
            log.execute(f"INSERT INTO reading ({names}) VALUES ({marks})", reading.as_row())

    def strike(self, start: str, when: str) -> Entry | Reading:
        """Strike out the one entry or reading whose id begins so; it stays in the file. Raises InputError where none or
        several do."""
        found = self.find(start, self.readings())
        table = "entry" if isinstance(found, Entry) else "reading"
        with self._open(write=True) as log:
            log.execute(f"UPDATE {table} SET struck = ? WHERE id = ?", (when, found.id))
        return replace(found, struck=when)

    def find(self, start: str, others: Sequence[Reading] = ()) -> Entry | Reading:
        """The one standing entry, or one of the others, whose id begins so. Raises InputError where none or several
        do."""
        every: list[Entry | Reading] = [*self.entries(), *others]
        found = [one for one in every if one.id.startswith(start)] if start else []
        if len(found) != 1:
            raise InputError([Said("fault.log_id", read=start, count=len(found))])
        return found[0]

    @contextlib.contextmanager
    def _open(self, write: bool = False) -> Iterator[sqlite3.Connection]:
        """One transaction, whole or not at all."""
        try:
            log = sqlite3.connect(self.path, timeout=_BUSY, isolation_level=None)
        except sqlite3.Error as error:
            raise OutputError([Said("fault.log_closed", file=str(self.path), reason=str(error))]) from error
        try:
            self._ready(log, write)
            log.execute("BEGIN IMMEDIATE" if write else "BEGIN")
            yield log
            log.execute("COMMIT")
        except sqlite3.Error as error:
            with contextlib.suppress(sqlite3.Error):
                log.execute("ROLLBACK")
            raise self._told(error) from error
        except BaseException:
            with contextlib.suppress(sqlite3.Error):
                log.execute("ROLLBACK")
            raise
        finally:
            log.close()

    def _ready(self, log: sqlite3.Connection, write: bool) -> None:
        """Of this version, made or migrated where it is to be written."""
        mark, version = (log.execute(f"PRAGMA {name}").fetchone()[0] for name in ("application_id", "user_version"))
        tables = log.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]
        if tables and mark != _MARK:
            raise InputError([Said("fault.log_other", file=str(self.path))])
        if version > len(_MIGRATIONS) and write:
            raise OutputError([Said("fault.log_newer", file=str(self.path))])
        if version >= len(_MIGRATIONS):
            return
        if tables:
            self._back_up(log, version)
        log.execute("BEGIN IMMEDIATE")
        for step in _MIGRATIONS[version:]:
            log.execute(step)
        log.execute(f"PRAGMA application_id = {_MARK}")
        log.execute(f"PRAGMA user_version = {len(_MIGRATIONS)}")
        log.execute("COMMIT")

    def _back_up(self, log: sqlite3.Connection, version: int) -> None:
        path = self.path.with_name(f"{self.path.stem}.before-{version + 1}.sqlite")
        copy = sqlite3.connect(path)
        try:
            log.backup(copy)
        finally:
            copy.close()

    def _told(self, error: sqlite3.Error) -> InputError | OutputError:
        name = getattr(error, "sqlite_errorname", "")
        if name == "SQLITE_NOTADB" or (isinstance(error, sqlite3.DatabaseError) and "not a database" in str(error)):
            return InputError([Said("fault.log_other", file=str(self.path))])
        if name.startswith("SQLITE_CONSTRAINT"):
            return InputError([Said("fault.log_row", file=str(self.path), reason=str(error))])
        key = {"SQLITE_BUSY": "fault.log_busy", "SQLITE_FULL": "fault.log_full"}.get(name, "fault.log_closed")
        return OutputError([Said(key, file=str(self.path), reason=str(error))])
