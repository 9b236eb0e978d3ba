"""Write a report whole or not at all."""

import contextlib
import os
import tempfile
from pathlib import Path

from pickrig.errors import OutputError


def write_whole(path: Path, text: str) -> None:
    """Write text to a file by way of a temporary one beside it, so that a reader never sees half of it.

    Raises OutputError when the folder is missing, read-only or full; what stood there before is kept.
    """
    scratch = None
    try:
        if path.is_dir():
            raise OutputError(f"{path}: is a folder; give a file name in it")
        if path.exists() and not path.is_file():
            raise OutputError(f"{path}: is not an ordinary file; give another name")
        handle, scratch = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name[:40]}.", suffix=".part")
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())  # else a power cut may leave the new name on an empty file
        umask = os.umask(0)
        os.umask(umask)
        Path(scratch).chmod(0o666 & ~umask)
        Path(scratch).replace(path)
    except (OSError, ValueError) as error:
        if scratch is not None:
            with contextlib.suppress(OSError):
                Path(scratch).unlink()
        reason = error.strerror if isinstance(error, OSError) and error.strerror else error
        raise OutputError(f"{path}: cannot be written ({reason}); choose another place with -o or --json") from error


def make_folder(path: Path) -> None:
    """A folder for reports. Raises OutputError where it cannot be made."""
    try:
        path.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise OutputError(f"{path}: cannot be made a folder ({error.strerror}); choose another place") from error


def refuse_clashes(targets: list[Path], sources: list[Path]) -> None:
    """Raise OutputError where a report would overwrite an input, or two reports each other."""
    seen: dict[Path, Path] = {}
    for target in targets:
        place = _resolved(target)
        if any(place == _resolved(source) for source in sources):
            raise OutputError(f"{target}: is an input file; choose another name for the report")
        if place in seen:
            raise OutputError(f"{target}: is named twice; give each report a name of its own")
        seen[place] = target


def _resolved(path: Path) -> Path:
    try:
        return path.resolve()
    except OSError as error:
        raise OutputError(f"{path}: cannot be a file name ({error.strerror}); choose another") from error
