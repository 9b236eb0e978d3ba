"""Read a TOML file and check it against a model; every fault becomes one sentence with file, line, key and mend."""

import difflib
import re
import tomllib
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from types import UnionType
from typing import Annotated, Any, TypeVar, Union, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from pickrig.errors import InputError
from pickrig.files import read_text

Model = TypeVar("Model", bound=BaseModel)
Location = tuple[int | str, ...]


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


def check(model: type[Model], document: Document, mends: dict[str, str] | None = None) -> Model:
    """Validate a document. Raises InputError with one sentence a fault. `mends`: advice for certain unknown keys."""
    try:
        return model.model_validate(document.data)
    except ValidationError as error:
        told = [fault_in(model, document, fault["loc"], fault, mends) for fault in error.errors()]
        raise InputError(list(dict.fromkeys(told))) from error


def check_parts(
    model: type[Model], data: dict[str, Any], document_of: Callable[[Location], tuple[Document, Location]]
) -> Model:
    """The same for data put together from several documents; `document_of` gives a key's own, and its place there."""
    try:
        return model.model_validate(data)
    except ValidationError as error:
        told = [fault_in(model, *document_of(fault["loc"]), fault) for fault in error.errors()]
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
    "finite_number": "should be a number with an end",
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
    "too_short": "holds too few; at least {min_length} is needed",
    "too_long": "holds too many; at most {max_length} are accepted",
    "string_too_short": "is blank; give it a name",
    "string_too_long": "is too long; at most {max_length} characters are accepted",
}


_A_TYPE = re.compile(r"^\[key\]$|^constrained-|^literal\[|^ByCountry$|^(?:str|float|int|bool|list|tuple)$")
"""A step that pydantic puts into a place to say which of several types it tried."""


def fault_in(
    model: type[BaseModel],
    document: Document,
    place: Location,
    fault: ErrorDetails,
    mends: dict[str, str] | None = None,
) -> str:
    """One fault in a sentence. place: of the key in this document, where that is not its place in the model."""
    location, kind, mends = fault["loc"], fault["type"], mends or {}
    place = tuple(step for step in place if not isinstance(step, str) or not _A_TYPE.search(step))
    head = document.at(place)
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
        return f"{head}: {read}should be a table of its own, {_table_header(place)}"
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


def _at(model: type[BaseModel], location: Location) -> Any:
    """What a model says may stand at a place; None where it says nothing."""
    here: Any = model
    for step in location:
        here = next((found for arm in _arms(here) if (found := _under(arm, step)) is not None), None)
    return here


def _arms(annotation: Any) -> list[Any]:
    """The types an annotation allows, unwrapped."""
    if get_origin(annotation) is Annotated:
        return _arms(get_args(annotation)[0])
    if get_origin(annotation) in (Union, UnionType):
        return [arm for one in get_args(annotation) for arm in _arms(one)]
    return [annotation]


def _under(arm: Any, step: int | str) -> Any:
    if isinstance(arm, type) and issubclass(arm, BaseModel):
        named = {field.alias or name: field for name, field in arm.model_fields.items()}
        return named[str(step)].annotation if str(step) in named else None
    held = get_args(arm)
    if get_origin(arm) is dict:
        return held[1]
    return held[0] if get_origin(arm) in (list, tuple) and held else None


def _keys_at(model: type[BaseModel], location: Location) -> list[str]:
    models = [arm for arm in _arms(_at(model, location)) if isinstance(arm, type) and issubclass(arm, BaseModel)]
    return [field.alias or name for one in models for name, field in one.model_fields.items()]


def _example(model: type[BaseModel], location: Location) -> str:
    models = [arm for arm in _arms(_at(model, location[:-1])) if isinstance(arm, type) and issubclass(arm, BaseModel)]
    examples = [one.model_fields[str(location[-1])].examples for one in models if str(location[-1]) in one.model_fields]
    return str(examples[0][0]) if examples and examples[0] else ""


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
