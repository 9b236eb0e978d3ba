"""Read a TOML file and check it against a model; every fault becomes one sentence with file, line, key and mend."""

import difflib
import re
import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from pickrig.errors import InputError

Model = TypeVar("Model", bound=BaseModel)
Location = tuple[int | str, ...]

LARGEST_FILE = 1_000_000  # bytes; a fleet of a thousand machines is a third of it


@dataclass(frozen=True)
class Document:
    """A parsed TOML file, and its text for finding the line of a key."""

    path: Path
    text: str
    data: dict[str, Any]

    def at(self, location: Location) -> str:
        """File, line where it can be told, and key path, for the head of an error sentence."""
        line = line_of(self.text, location)
        return f"{self.path}{f', line {line}' if line else ''}, {key_path(location)}"


def read_toml(path: Path, what: str) -> Document:
    """Read a TOML file. Raises InputError naming the file, what it should hold and how to mend it."""
    text = read_text(path, what)
    try:
        return Document(path, text, tomllib.loads(text))
    except tomllib.TOMLDecodeError as error:
        raise InputError([f'{path}: is not valid TOML: {error}; texts need quotes, as in gate = "72 in"']) from error
    except RecursionError as error:
        raise InputError([f"{path}: is nested too deeply to be a {what} file"]) from error


def read_text(path: Path, what: str) -> str:
    """The text of a file, line ends made plain. Raises InputError: missing, a folder, too large, not UTF-8, empty."""
    try:
        if path.is_dir():
            raise InputError([f"{path}: is a folder; give the {what} file inside it"])
        size = path.stat().st_size
        if size > LARGEST_FILE:
            raise InputError([f"{path}: is {size / 1e6:.1f} MB; a {what} file has at most {LARGEST_FILE / 1e6:.0f} MB"])
        text = path.read_bytes().decode("utf-8-sig").replace("\r\n", "\n")
    except FileNotFoundError as error:
        near = difflib.get_close_matches(path.name, _siblings(path), n=1)
        hint = f"; did you mean {path.with_name(near[0])}?" if near else f"; give the path of a {what} file"
        raise InputError([f"{path}: no such file{hint}"]) from error
    except UnicodeDecodeError as error:
        raise InputError([f"{path}: is not UTF-8 text (byte {error.start}); save the file as UTF-8"]) from error
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else error
        raise InputError([f"{path}: cannot be read ({reason}); check its name and your rights to it"]) from error
    if not text.strip():
        raise InputError([f"{path}: is empty; a {what} file is needed, see the shipped examples"])
    return text


def _siblings(path: Path) -> list[str]:
    try:
        return [p.name for p in path.parent.iterdir()]
    except OSError:
        return []


def check(model: type[Model], document: Document, mends: dict[str, str] | None = None) -> Model:
    """Validate a document. Raises InputError with one sentence a fault. `mends`: advice for certain unknown keys."""
    try:
        return model.model_validate(document.data)
    except ValidationError as error:
        raise InputError([_sentence(model, document, fault, mends or {}) for fault in error.errors()]) from error


def _sentence(model: type[BaseModel], document: Document, fault: ErrorDetails, mends: dict[str, str]) -> str:
    location, kind = fault["loc"], fault["type"]
    head = document.at(location)
    key = str(location[-1]) if location else "the file"
    if kind == "extra_forbidden":
        known = sorted(_keys_at(model, location[:-1]))
        return f"{head}: is not a known key; {mends.get(key) or nearest(key, known, 'the keys here are')}"
    if kind == "missing":
        example = _example(model, location)
        return f"{head}: is missing; add it{f', for example {key} = {example}' if example else ''}"
    read = _shorten(fault["input"])
    if kind == "literal_error":
        accepted = re.findall(r"'([^']*)'", str(fault.get("ctx", {}).get("expected", "")))
        return f"{head}: {read} is not accepted; {nearest(str(fault['input']), accepted, 'accepted is')}"
    if kind == "value_error":
        return f"{head}: {read} {str(fault['msg']).removeprefix('Value error, ')}"
    if kind in ("model_type", "dict_type", "model_attributes_type"):
        return f"{head}: {read} should be a table; start it with [{key_path(location)}]"
    return f"{head}: {read} is not accepted; {fault['msg'][:1].lower()}{fault['msg'][1:]}"


def nearest(read: str, accepted: list[str], lead: str) -> str:
    """The nearest correct spelling, if one is near, and all that is accepted."""
    near = difflib.get_close_matches(read.lower(), accepted, n=1, cutoff=0.6)
    hint = f'did you mean "{near[0]}"? ' if near else ""
    return f"{hint}{lead} {', '.join(accepted)}"


def _shorten(value: Any) -> str:
    text = f'"{value}"' if isinstance(value, str) else str(value)
    return text if len(text) <= 60 else f"{text[:57]}..."


def key_path(location: Location) -> str:
    """("machine", 1, "tracks", "width") as machine[2].tracks.width: people count from one."""
    path = ""
    for step in location:
        path += f"[{step + 1}]" if isinstance(step, int) else f".{step}" if path else str(step)
    return path or "the file"


def _model_at(model: type[BaseModel], location: Location) -> type[BaseModel] | None:
    here: type[BaseModel] | None = model
    for step in location:
        if isinstance(step, int):
            continue
        field = here.model_fields.get(step) if here else None
        here = _inner_model(field.annotation) if field else None
    return here


def _inner_model(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for argument in getattr(annotation, "__args__", ()):
        found = _inner_model(argument)
        if found is not None:
            return found
    return None


def _keys_at(model: type[BaseModel], location: Location) -> list[str]:
    here = _model_at(model, location)
    return list(here.model_fields) if here else []


def _example(model: type[BaseModel], location: Location) -> str:
    here = _model_at(model, location[:-1])
    field = here.model_fields.get(str(location[-1])) if here else None
    return str(field.examples[0]) if field and field.examples else ""


def line_of(text: str, location: Location) -> int | None:
    """Line of a key, or of the nearest table around it that stands in the file; None if none does.

    tomllib keeps no positions, so this walks the headers and keys of the plain style people write.
    """
    best: tuple[int, int | None] = (0, None)
    table: tuple[int | str, ...] = ()
    counts: dict[str, int] = {}
    for number, line in enumerate(text.splitlines(), start=1):
        stripped = line.strip()
        header = re.fullmatch(r"(\[\[?)\s*([^\[\]]+?)\s*\]\]?\s*(#.*)?", stripped)
        if header:
            names = tuple(part.strip().strip("\"'") for part in header[2].split("."))
            if header[1] == "[[":
                counts[header[2]] = counts.get(header[2], -1) + 1
            table = _with_index(names, counts)
            path = table
        else:
            assignment = re.match(r"([A-Za-z0-9_.\"' -]+?)\s*=", stripped)
            if not assignment:
                continue
            path = table + tuple(part.strip().strip("\"'") for part in assignment[1].split("."))
        if location[: len(path)] == path and len(path) > best[0]:
            best = (len(path), number)
    return best[1]


def _with_index(names: tuple[str, ...], counts: dict[str, int]) -> tuple[int | str, ...]:
    path: list[int | str] = []
    for depth, name in enumerate(names, start=1):
        path.append(name)
        dotted = ".".join(names[:depth])
        if dotted in counts:
            path.append(counts[dotted])
    return tuple(path)
