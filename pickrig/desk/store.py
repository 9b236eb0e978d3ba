"""The desk's folder: job and fleet files, and answers not yet saved. Nothing outside it is read or written."""

import hashlib
import json
import re
import secrets
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from threading import Lock

from pickrig.errors import InputError, OutputError
from pickrig.facts import Said
from pickrig.files import make_folder, read_bytes, read_json, read_text, write_whole
from pickrig.guide.new_site import sites_in
from pickrig.guide.questions import Answers
from pickrig.inputs.site import read_site
from pickrig.reading import parse_toml
from pickrig.rulebook import shipped

EXAMPLE = "(example)"  # the shipped fleet, to be used but never written
_NAME = re.compile(r"\w[\w .,()&'+-]{0,79}\.toml")  # letters of any alphabet, and nothing that leads elsewhere
_TOKEN = re.compile(r"[0-9a-f]{16}")
_DRAFTS, _MOST_DRAFTS, _FLEETS = ".pickrig-desk", 100, "fleets.json"


@dataclass(frozen=True)
class Entry:
    """A file in the folder and its title; fault: why it cannot be opened here."""

    name: str
    title: str
    fault: Said | None = None


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

    def listing(self) -> tuple[list[Entry], list[Entry], list[Entry]]:
        """Job files, fleet files, and what cannot be opened here, by name, each file read once. Raises InputError where
        the folder is gone."""
        self.must_be_there()
        found = [self._entry(path) for path in sorted(self.folder.glob("*.toml"))]
        jobs, fleets = ([entry for tables, entry in found if table in tables] for table in ("task", "machine"))
        return jobs, fleets, [entry for _, entry in found if entry.fault]

    def fleets(self) -> list[Entry]:
        """Fleet files, by name. Raises InputError where the folder is gone."""
        return self.listing()[1]

    def sites(self) -> list[Entry]:
        """Places that are remembered, by file; one that cannot be read is told."""
        out = []
        for path in sites_in(self.folder):
            try:
                out.append(Entry(path.name, read_site(path)[0].name))
            except InputError as error:
                out.append(Entry(path.name, path.stem, error.problems[0]))
        return out

    def _entry(self, path: Path) -> tuple[set[str], Entry]:
        """A file with the names of its tables; none where it cannot be read."""
        if not _NAME.fullmatch(path.name) or _shown(path.name) != path.name:
            return set(), Entry(_shown(path.name), path.stem, Said("fault.desk_name"))
        try:
            data = parse_toml(path, read_text(self.path(path.name), "job"), "job").data
        except InputError as error:
            return set(), Entry(path.name, path.stem, error.problems[0])
        title = data.get("title")
        return set(data), Entry(path.name, title[:200] if isinstance(title, str) else path.stem)

    def must_be_there(self) -> None:
        """Raises InputError where the folder is gone."""
        if not self.folder.is_dir():
            raise InputError([Said("fault.folder_gone", file=str(self.folder))])

    def path(self, name: str) -> Path:
        """The path of a file of the folder. Raises InputError for any other name."""
        if name == EXAMPLE:
            return shipped("examples") / "fleet.toml"
        path = self.folder / name
        if not _NAME.fullmatch(name):
            raise InputError([Said("fault.not_a_desk_name", name=name[:60])])
        if path.is_symlink():
            raise InputError([Said("fault.a_link", name=name[:60])])
        return path

    def read(self, name: str) -> str:
        """The text of a file. Raises InputError."""
        self.must_be_there()
        return read_text(self.path(name), "job")

    def version(self, name: str) -> str:
        """A mark of what stands in the file now; empty where it does not exist."""
        try:
            return hashlib.sha256(read_bytes(self.path(name), "job")).hexdigest()[:16]
        except OSError:
            return ""

    def save(self, name: str, text: str, version: str) -> str:
        """Write a text and give the name it stands under: a name beside it where the file is no longer the version
        that was opened, so that neither tab's work is lost. Raises InputError and OutputError."""
        if name == EXAMPLE:
            raise InputError([Said("fault.shipped_fleet")])
        self.must_be_there()
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
        self.must_be_there()
        with self._lock:
            make_folder(self.folder / _DRAFTS)
            kept = {"file": draft.file, "version": draft.version, "fleet": draft.fleet, "answers": draft.answers}
            write_whole(self._draft_path(draft.token), json.dumps(kept, ensure_ascii=False) + "\n")
            for old in self._draft_paths()[_MOST_DRAFTS:]:
                old.unlink(missing_ok=True)

    def drafts(self) -> list[Draft]:
        """What was left unsaved, newest first."""
        return [draft for path in self._draft_paths() if (draft := self.draft(path.stem))]

    def _draft_paths(self) -> list[Path]:
        """Newest first; one that another tab drops meanwhile is left out."""
        dated = []
        for path in (self.folder / _DRAFTS).glob("*.json"):
            with suppress(OSError):
                dated.append((path.stat().st_mtime, path))
        return [path for _, path in sorted(dated, reverse=True) if _TOKEN.fullmatch(path.stem)]

    def draft(self, token: str) -> Draft | None:
        """One page's answers; None where there are none that can be read."""
        if not _TOKEN.fullmatch(token):
            return None
        kept = read_json(self._draft_path(token))
        try:
            answers = {str(key): _shown(str(value)) for key, value in kept["answers"].items()}
            return Draft(token, str(kept["file"]), str(kept["version"]), str(kept["fleet"]), answers)
        except (KeyError, AttributeError, TypeError):
            return None

    def drop(self, token: str) -> None:
        """The answers stand in a file now, or are thrown away."""
        if _TOKEN.fullmatch(token):
            with suppress(OSError):
                self._draft_path(token).unlink()

    def remember(self, job: str, fleet: str) -> None:
        """The fleet a saved job was answered with, for when it is opened again; to forget it does no harm."""
        with self._lock, suppress(OutputError):
            make_folder(self.folder / _DRAFTS)
            write_whole(self.folder / _DRAFTS / _FLEETS, json.dumps(self._remembered() | {job: fleet}) + "\n")

    def remembered(self, job: str) -> str:
        """The fleet it was last answered with; empty where none is known."""
        return self._remembered().get(job, "")

    def _remembered(self) -> dict[str, str]:
        told = read_json(self.folder / _DRAFTS / _FLEETS)
        return {str(job): str(fleet) for job, fleet in told.items()} if isinstance(told, dict) else {}

    def _draft_path(self, token: str) -> Path:
        if not _TOKEN.fullmatch(token):
            raise InputError([Said("fault.strange_mark")])
        return self.folder / _DRAFTS / f"{token}.json"


def _shown(text: str) -> str:
    """A text that can be written: a name or an answer may hold bytes that are no letters."""
    return text.encode("utf-8", "replace").decode("utf-8")


def new_token() -> str:
    """A mark for one open page."""
    return secrets.token_hex(8)
