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
    return parse_toml(path, read_text(path, what), what)


def parse_toml(path: Path, text: str, what: str) -> Document:
    """The same for a text that is meant for this file but not yet written to it."""
    try:
        return Document(path, text, tomllib.loads(text))
    except tomllib.TOMLDecodeError as error:
        twice = "overwrite" in str(error) or "twice" in str(error)
        mend = "a key or table stands there twice; keep one" if twice else 'texts need quotes, as in gate = "72 in"'
        raise InputError([f"{path}: is not valid TOML: {error}; {mend}"]) from error
    except ValueError as error:  # a number of thousands of digits
        raise InputError([f"{path}: holds a number too long to be meant; mend it"]) from error
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
        told = [_sentence(model, document, fault, mends or {}) for fault in error.errors()]
        raise InputError(list(dict.fromkeys(told))) from error


# What pydantic finds wrong, in words for someone who has never programmed; {…} are its own figures.
_FAULTS = {
    "int_parsing": "should be a whole number, for example 12",
    "int_type": "should be a whole number, for example 12",
    "int_from_float": "should be a whole number, for example 12",
    "string_type": "should be a text in quotes",
    "bool_parsing": "should be true or false",
    "bool_type": "should be true or false",
    "list_type": 'should be a list in brackets, for example ["this", "that"]',
    "tuple_type": "should be a list",
    "float_type": "should be a number",
    "float_parsing": "should be a number",
    "date_type": "should be a date, for example 2026-04-21",
    "date_parsing": "should be a date, for example 2026-04-21",
    "date_from_datetime_inexact": "should be a date without a time, for example 2026-04-21",
    "time_parsing": "should be a time, for example 07:00:00 without quotes",
    "time_type": "should be a time, for example 07:00:00 without quotes",
    "greater_than": "is too small; more than {gt} is accepted",
    "less_than": "is too large; less than {lt} is accepted",
    "date_from_datetime_parsing": "should be a date, for example 2026-04-21",
    "greater_than_equal": "is too small; at least {ge} is accepted",
    "less_than_equal": "is too large; at most {le} is accepted",
    "too_short": "holds none; at least {min_length} is needed",
    "too_long": "holds too many; at most {max_length} are accepted",
    "string_too_short": "is blank; give it a name",
    "string_too_long": "is too long; at most {max_length} characters are accepted",
}


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
    # A fault of a whole table is told without repeating the table.
    read = "" if isinstance(fault["input"], dict) else f"{shorten(fault['input'])} "
    if kind == "literal_error":
        accepted = re.findall(r"'([^']*)'", str(fault.get("ctx", {}).get("expected", "")))
        return f"{head}: {read}is not accepted; {nearest(str(fault['input']), accepted, 'accepted is')}"
    if kind == "value_error":
        return f"{head}: {read}{str(fault['msg']).removeprefix('Value error, ')}"
    if kind in ("model_type", "dict_type", "model_attributes_type"):
        return f"{head}: {read}should be a table of its own, {_table_header(location)}"
    if kind in ("list_type", "tuple_type") and isinstance(fault["input"], dict):
        return f"{head}: should be a list of tables: write [[{key}]] with two brackets before each"
    told = _FAULTS.get(kind, f"is not accepted: {fault['msg'][:1].lower()}{fault['msg'][1:]}")
    return f"{head}: {read}{told.format(**fault.get('ctx', {}))}"


def _table_header(location: Location) -> str:
    """How a table starts in TOML: [machine.tyres] under its [[machine]], not [machine[2].tyres]."""
    names = ".".join(str(step) for step in location if isinstance(step, str))
    return f"[{names}] on a line by itself" if names else "with key = value lines"


def nearest(read: str, accepted: list[str], lead: str) -> str:
    """The nearest correct spelling, if one is near, and all that is accepted, each in quotes."""
    near = difflib.get_close_matches(read.lower(), accepted, n=1, cutoff=0.6)
    hint = f'did you mean "{near[0]}"? ' if near else ""
    quoted = [f'"{name}"' for name in accepted]
    return f"{hint}{lead} {', '.join(quoted)}"


def shorten(value: Any) -> str:
    """What was read, short enough for a sentence and with nothing invisible in it."""
    text = f'"{value}"' if isinstance(value, str) else str(value)
    text = "".join(c if c.isprintable() else "?" for c in text)
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
