"""The desk's folder: job and fleet files, and answers not yet saved. Nothing outside it is read or written."""

import hashlib
import json
import re
import secrets
import tomllib
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from threading import Lock

from pickrig.errors import InputError
from pickrig.guide.questions import Answers
from pickrig.inputs.reading import read_text
from pickrig.report.writing import make_folder, write_whole
from pickrig.rulebook import shipped

EXAMPLE = "(example)"  # the shipped fleet, to be used but never written
_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9 ._-]{0,79}\.toml")
_TOKEN = re.compile(r"[0-9a-f]{16}")
_DRAFTS, _MOST_DRAFTS = ".pickrig-desk", 100


@dataclass(frozen=True)
class Entry:
    """A file in the folder and its title."""

    name: str
    title: str


@dataclass(frozen=True)
class Draft:
    """Answers of one open page that no file holds yet."""

    token: str
    file: str
    version: str
    fleet: str
    answers: Answers


class Store:
    """Reads and writes the desk's files; one writer at a time."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder.resolve()
        self._lock = Lock()

    def jobs(self) -> list[Entry]:
        """Job files, by name."""
        return self._with("task")

    def fleets(self) -> list[Entry]:
        """Fleet files, by name."""
        return self._with("machine")

    def _with(self, table: str) -> list[Entry]:
        found = []
        for path in sorted(self.folder.glob("*.toml")):
            if not _NAME.fullmatch(path.name):
                continue
            with suppress(InputError, tomllib.TOMLDecodeError, RecursionError, ValueError):
                data = tomllib.loads(read_text(path, "job"))
                if table in data:
                    found.append(Entry(path.name, str(data.get("title", path.stem))[:200]))
        return found

    def path(self, name: str) -> Path:
        """The path of a file of the folder. Raises InputError for any other name."""
        if name == EXAMPLE:
            return shipped("examples") / "fleet.toml"
        path = self.folder / name
        if not _NAME.fullmatch(name) or path.is_symlink():
            raise InputError([f"“{name[:60]}” is not the name of a job or fleet file in this folder"])
        return path

    def read(self, name: str) -> str:
        """The text of a file. Raises InputError."""
        return read_text(self.path(name), "job")

    def version(self, name: str) -> str:
        """A mark of what stands in the file now; empty where it does not exist."""
        try:
            return hashlib.sha256(self.path(name).read_bytes()).hexdigest()[:16]
        except OSError:
            return ""

    def save(self, name: str, text: str, version: str) -> str:
        """Write a text and give the name it stands under: a name beside it where the file is no longer the version
        that was opened, so that neither tab's work is lost. Raises InputError and OutputError."""
        if name == EXAMPLE:
            raise InputError(["The shipped example is not written to; make a fleet of your own"])
        with self._lock:
            free = name
            number = 2
            while self.version(free) not in ("", version if free == name else ""):
                free = f"{Path(name).stem[:70]} {number}.toml"
                number += 1
            write_whole(self.path(free), text)
        return free

    def keep(self, draft: Draft) -> None:
        """Keep what a page holds that no file does."""
        folder = self.folder / _DRAFTS
        with self._lock:
            make_folder(folder)
            kept = {"file": draft.file, "version": draft.version, "fleet": draft.fleet, "answers": draft.answers}
            write_whole(self._draft_path(draft.token), json.dumps(kept, ensure_ascii=False) + "\n")
            for old in sorted(folder.glob("*.json"), key=lambda path: -path.stat().st_mtime)[_MOST_DRAFTS:]:
                old.unlink(missing_ok=True)

    def drafts(self) -> list[Draft]:
        """What was left unsaved, newest first."""
        paths = sorted((self.folder / _DRAFTS).glob("*.json"), key=lambda path: -path.stat().st_mtime)
        return [draft for path in paths if (draft := self.draft(path.stem))]

    def draft(self, token: str) -> Draft | None:
        """One page's answers; None where there are none that can be read."""
        if not _TOKEN.fullmatch(token):
            return None
        try:
            kept = json.loads(self._draft_path(token).read_text(encoding="utf-8"))
            answers = {str(key): str(value) for key, value in kept["answers"].items()}
            return Draft(token, str(kept["file"]), str(kept["version"]), str(kept["fleet"]), answers)
        except (OSError, ValueError, KeyError, AttributeError, TypeError):
            return None

    def drop(self, token: str) -> None:
        """The answers stand in a file now, or are thrown away."""
        if _TOKEN.fullmatch(token):
            with suppress(OSError):
                self._draft_path(token).unlink()

    def _draft_path(self, token: str) -> Path:
        if not _TOKEN.fullmatch(token):
            raise InputError(["This page's mark is not one of ours; open the job again"])
        return self.folder / _DRAFTS / f"{token}.json"


def new_token() -> str:
    """A mark for one open page."""
    return secrets.token_hex(8)
