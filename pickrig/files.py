"""Files: only ordinary ones are read, reports are written whole or not at all, and nothing read is written over."""

import contextlib
import difflib
import json
import os
import re
import stat
import tempfile
from collections.abc import Iterable, Iterator
from contextvars import ContextVar
from pathlib import Path
from typing import Any

from pickrig.errors import InputError, OutputError
from pickrig.facts import Said, number

try:
    import fcntl
except ImportError:  # Windows, where a file that is open cannot be removed: nobody needs to lock it
    fcntl = None  # type: ignore[assignment]

LARGEST_FILE = 1_000_000  # bytes; a fleet of a thousand machines is a third of it
_SCRATCH = "pickrig-"

_noted: ContextVar[list[Path] | None] = ContextVar("noted", default=None)


@contextlib.contextmanager
def noting_reads() -> Iterator[list[Path]]:
    """Every file that is read inside, to be held against what is about to be written."""
    told: list[Path] = []
    token = _noted.set(told)
    try:
        yield told
    finally:
        _noted.reset(token)


def note_read(path: Path) -> None:
    """For a reader that has a file's text already."""
    told = _noted.get()
    if told is not None:
        told.append(path)


def read_text(path: Path, what: str, most: int = LARGEST_FILE) -> str:
    """The text of a file, line ends made plain. most: bytes. Raises InputError: missing, no ordinary file, too large,
    not UTF-8, empty."""
    note_read(path)
    try:
        text = read_bytes(path, what, most).decode("utf-8-sig").replace("\r\n", "\n")
    except FileNotFoundError as error:
        near = difflib.get_close_matches(path.name, _siblings(path), n=1)
        if near:
            raise InputError([Said("fault.no_file_near", file=str(path), near=str(path.with_name(near[0])))]) from error
        raise InputError([Said("fault.no_file", file=str(path), kind=Said(f"kind.{what}"))]) from error
    except UnicodeDecodeError as error:
        raise InputError([Said("fault.not_utf8", file=str(path), byte=str(error.start))]) from error
    except (OSError, ValueError) as error:
        raise InputError([Said("fault.unreadable", file=str(path), reason=str(_reason(error)))]) from error
    if not text.strip():
        raise InputError(
            [Said(f"fault.empty_{'rules' if what == 'rules' else 'file'}", file=str(path), kind=Said(f"kind.{what}"))]
        )
    return text


def read_bytes(path: Path, what: str, most: int = LARGEST_FILE) -> bytes:
    """What is in an ordinary file. Raises InputError where it is none or too large, OSError where it cannot be read.

    A pipe or a device is refused before it is opened, since reading one may never end.
    """
    how = path.stat()
    if stat.S_ISDIR(how.st_mode):
        raise InputError([Said("fault.folder_not_file", file=str(path), kind=Said(f"kind.{what}"))])
    if not stat.S_ISREG(how.st_mode):
        raise InputError([Said("fault.a_pipe", file=str(path))])
    size = how.st_size
    if size <= most:
        with path.open("rb") as file:
            read = file.read(most + 1)  # some systems' own files say 0 bytes and never end
        size = len(read)
    if size > most:
        raise InputError(
            [Said("fault.too_large", file=str(path), size=number(size / 1e6, 1), most=number(most / 1e6, 0))]
        )
    return read


def read_json(path: Path) -> Any:
    """What a JSON file of our own holds; None where it cannot be read: it only helps to remember."""
    try:
        return json.loads(read_bytes(path, "JSON"))
    except (InputError, OSError, ValueError, RecursionError):
        return None


def _reason(error: Exception) -> object:
    """What the system says of a fault, without its number and the name again."""
    return error.strerror if isinstance(error, OSError) and error.strerror else error


def _siblings(path: Path) -> list[str]:
    try:
        return [p.name for p in path.parent.iterdir() if p.name != path.name]
    except OSError:
        return []


def write_whole(path: Path, text: str) -> None:
    """Write text to a file by way of a temporary one beside it, so that a reader never sees half of it.

    Raises OutputError when the folder is missing, read-only or full; what stood there before is kept.
    """
    scratch = None
    try:
        _refuse_no_place(path)
        _sweep(path)
        handle, scratch = _scratch_beside(path)
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())  # else a power cut may leave the new name on an empty file
            umask = os.umask(0)
            os.umask(umask)
            Path(scratch).chmod(0o666 & ~umask)
            if fcntl is not None:  # renamed while it is locked, so that nobody takes it for a leftover
                Path(scratch).replace(path)
        if fcntl is None:
            Path(scratch).replace(path)
    except (OSError, ValueError) as error:
        if scratch is not None:
            with contextlib.suppress(OSError):
                Path(scratch).unlink()
        raise OutputError(Said("fault.unwritable", file=str(path), reason=str(_reason(error)))) from error


def _scratch_beside(path: Path) -> tuple[int, str]:
    """A new temporary file, open and held as in use; another where a run that sweeps got hold of it first."""
    while True:
        handle, scratch = tempfile.mkstemp(dir=path.parent, prefix=f".{_SCRATCH}", suffix=".part")
        if _lock(handle) and Path(scratch).exists():
            return handle, scratch
        os.close(handle)


def _lock(handle: int) -> bool:
    """Hold an open file as in use; False where another run does. It is let go when the file is closed or the run
    dies."""
    if fcntl is None:
        return True
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True


def _sweep(path: Path) -> None:
    """Remove the temporary files that killed runs left beside a report, those of version 0.1 too."""
    ours = re.compile(rf"\.({_SCRATCH}|{re.escape(path.name[:40])}\.)[a-z0-9_]{{8}}\.part")
    for left in (path.with_name(name) for name in _siblings(path) if ours.fullmatch(name)):
        with contextlib.suppress(OSError):
            if stat.S_ISREG(left.lstat().st_mode) and _nobody_writes(left):
                left.unlink()


def _nobody_writes(path: Path) -> bool:
    with path.open("rb") as left:
        return _lock(left.fileno())


def make_folder(path: Path) -> None:
    """A folder for reports. Raises OutputError where it cannot be made."""
    try:
        path.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise OutputError(Said("fault.no_new_folder", file=str(path), reason=str(error.strerror))) from error


def refuse_clashes(targets: Iterable[Path], sources: Iterable[Path]) -> None:
    """Raise OutputError where a report would overwrite what was read, or two reports each other, or cannot be written
    at all: before anything is worked out."""
    read = [(resolved(source), source) for source in sources]
    seen: set[Path] = set()
    for target in targets:
        place = resolved(target)
        if any(place == known or _same_file(target, source) for known, source in read):
            raise OutputError(Said("fault.is_input", file=str(target)))
        if place in seen:
            raise OutputError(Said("fault.named_twice", file=str(target)))
        seen.add(place)
        _refuse_no_place(target)


def _refuse_no_place(path: Path) -> None:
    """Raise OutputError where a file of this name cannot be written."""
    for place in (path.parent, path):
        try:
            place.stat()  # a name too long, or links that lead round in a circle
        except (FileNotFoundError, NotADirectoryError):
            continue
        except (OSError, ValueError) as error:
            raise OutputError(Said("fault.no_file_name", file=str(path), reason=str(_reason(error)))) from error
    if path.is_dir():
        raise OutputError(Said("fault.is_folder", file=str(path)))
    if path.exists() and not path.is_file():
        raise OutputError(Said("fault.not_ordinary", file=str(path)))
    if not path.parent.is_dir():
        raise OutputError(Said("fault.no_parent", file=str(path), folder=str(path.parent)))


def _same_file(one: Path, other: Path) -> bool:
    """Whether two names are one file, by a link or for want of capitals."""
    try:
        return one.samefile(other)
    except (OSError, ValueError):
        return False


def resolved(path: Path) -> Path:
    """Where a name leads. Raises OutputError where it leads nowhere, as round in a circle."""
    try:
        return path.resolve()
    except (OSError, RuntimeError, ValueError) as error:
        raise OutputError(Said("fault.no_file_name", file=str(path), reason=str(_reason(error)))) from error
