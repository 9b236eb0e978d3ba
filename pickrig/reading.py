"""Read a TOML file and check it against a model; every fault becomes one statement with file, line, key and mend."""

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

from pickrig.errors import InputError, WrongError
from pickrig.facts import Said, Value
from pickrig.files import read_text

SPELLINGS = {"tires": "tyres", "license": "licence", "center_height": "centre_height", "center_at": "centre_at"}
"""Keys that are spelled either way, by the American spelling."""

Model = TypeVar("Model", bound=BaseModel)
Location = tuple[int | str, ...]


@dataclass(frozen=True)
class Document:
    """A parsed TOML file, and its text for finding the line of a key. si: from Python, whose bare numbers are SI."""

    path: Path
    text: str
    data: dict[str, Any]
    si: bool = False

    def fault(self, location: Location, key: str, **values: Value) -> Said:
        """What is wrong at a place of this file."""
        return self.told(location, Said(key, **values))

    def told(self, location: Location, what: Said) -> Said:
        """A statement with the file, the line where it can be told, and the key before it."""
        line, key = line_of(self.text, location), key_path(location)
        if not key:
            return Said("fault.in_file", file=str(self.path), what=what)
        if not line:
            return Said("fault.at_key", file=str(self.path), key=key, what=what)
        return Said("fault.at_line", file=str(self.path), line=str(line), key=key, what=what)


def read_toml(path: Path, what: str) -> Document:
    """Read a TOML file. Raises InputError naming the file, what it should hold and how to mend it."""
    return parse_toml(path, read_text(path, what), what)


def parse_toml(path: Path, text: str, what: str) -> Document:
    """The same for a text that is meant for this file but not yet written to it."""
    try:
        return Document(path, text, tomllib.loads(text))
    except tomllib.TOMLDecodeError as error:
        raise InputError([_no_toml(str(path), str(error))]) from error
    except ValueError as error:  # a number of thousands of digits
        raise InputError([Said("fault.long_number", file=str(path))]) from error
    except RecursionError as error:
        raise InputError([Said("fault.too_deep", file=str(path), kind=Said(f"kind.{what}"))]) from error


def _no_toml(file: str, told: str) -> Said:
    """What is wrong with a text that is no TOML, by what its reader tells: where, and whether a key stands twice."""
    twice = "overwrite" in told or "twice" in told
    place = re.search(r"line (\d+), column (\d+)", told)
    where = {"line": place[1], "column": place[2]} if place else {}
    return Said(f"fault.toml_{'twice' if twice else 'broken'}{'_at' if place else ''}", file=file, **where)


def check(model: type[Model], document: Document, mends: dict[str, str] | None = None) -> Model:
    """Validate a document. Raises InputError with one statement a fault. mends: what is said of certain unknown
    keys."""
    try:
        return model.model_validate(_respelled(document.data), context={"si": document.si})
    except ValidationError as error:
        told = [fault_in(model, document, fault["loc"], fault, mends) for fault in error.errors()]
        raise InputError(list(dict.fromkeys(told))) from error


def _respelled(data: Any) -> Any:
    """The same with every key as the models spell it; a key that stands there in both spellings stays to be told."""
    if isinstance(data, list):
        return [_respelled(item) for item in data]
    if not isinstance(data, dict):
        return data
    told = {key: SPELLINGS.get(key, key) for key in data}
    return {key if told[key] in data else told[key]: _respelled(item) for key, item in data.items()}


def check_parts(
    model: type[Model], data: dict[str, Any], document_of: Callable[[Location], tuple[Document, Location]]
) -> Model:
    """The same for data put together from several documents; `document_of` gives a key's own, and its place there."""
    try:
        return model.model_validate(data)
    except ValidationError as error:
        told = [fault_in(model, *document_of(fault["loc"]), fault) for fault in error.errors()]
        raise InputError(list(dict.fromkeys(told))) from error


# What pydantic finds wrong, by its own names for it.
_FAULTS = {
    "int_parsing": "fault.type_int",
    "int_type": "fault.type_int",
    "int_from_float": "fault.type_int",
    "string_type": "fault.type_string",
    "bool_parsing": "fault.type_bool",
    "bool_type": "fault.type_bool",
    "list_type": "fault.type_list",
    "tuple_type": "fault.type_tuple",
    "float_type": "fault.type_float",
    "float_parsing": "fault.type_float",
    "finite_number": "fault.type_finite",
    "date_type": "fault.type_date",
    "date_parsing": "fault.type_date",
    "date_from_datetime_parsing": "fault.type_date",
    "date_from_datetime_inexact": "fault.type_bare_date",
    "time_parsing": "fault.type_time",
    "time_type": "fault.type_time",
    "greater_than": "fault.type_gt",
    "less_than": "fault.type_lt",
    "greater_than_equal": "fault.type_ge",
    "less_than_equal": "fault.type_le",
    "too_short": "fault.type_short",
    "too_long": "fault.type_long",
    "string_too_short": "fault.blank",
    "string_too_long": "fault.type_text_long",
}


_A_TYPE = re.compile(r"^\[key\]$|^constrained-|^literal\[|^ByCountry$|^(?:str|float|int|bool|list|tuple)$")
"""A step that pydantic puts into a place to say which of several types it tried."""


def fault_in(
    model: type[BaseModel],
    document: Document,
    place: Location,
    fault: ErrorDetails,
    mends: dict[str, str] | None = None,
) -> Said:
    """One fault as a statement. place: of the key in this document, where that is not its place in the model. mends:
    what is said of certain unknown keys."""
    location, kind, mends = fault["loc"], fault["type"], mends or {}
    place = tuple(step for step in place if not isinstance(step, str) or not _A_TYPE.search(step))
    key = str(location[-1]) if location else ""
    if kind == "extra_forbidden":
        known = sorted(_keys_at(model, location[:-1]))
        mend = Said(mends[key]) if key in mends else nearest(key, known, "known.keys")
        return document.fault(place, "fault.unknown_key", mend=mend)
    if kind == "missing":
        example = _example(model, location)
        shown = {"example": f"{key} = {example}"} if example else {}
        return document.fault(place, "fault.missing_such_as" if example else "fault.missing", **shown)
    if kind in ("list_type", "tuple_type") and isinstance(fault["input"], dict):
        return document.fault(place, "fault.table_list", table=key)
    what = _what(kind, fault, place)
    if isinstance(fault["input"], dict):  # a fault of a whole table is told without repeating the table
        return document.told(place, what)
    return document.fault(place, "fault.read", read=shorten(fault["input"]), what=what)


def _what(kind: str, fault: ErrorDetails, place: Location) -> Said:
    """What is wrong with a value, as a statement that fits behind it."""
    context = fault.get("ctx", {})
    if kind == "literal_error":
        accepted = re.findall(r"'([^']*)'", str(context.get("expected", "")))
        return Said("fault.not_accepted", near=nearest(str(fault["input"]), accepted, "known.accepted"))
    if kind == "value_error" and isinstance(context.get("error"), WrongError):
        found: Said = context["error"].said
        return found
    if kind in ("model_type", "dict_type", "model_attributes_type"):
        names = ".".join(str(step) for step in place if isinstance(step, str))
        return Said("fault.own_table", table=names) if names else Said("fault.lines")
    if kind in _FAULTS:
        return Said(_FAULTS[kind], **{name: str(value) for name, value in context.items() if name != "error"})
    return Said("fault.other", told=f"{fault['msg'][:1].lower()}{fault['msg'][1:]}")


def nearest(read: str, accepted: list[str], lead: str) -> Said:
    """The nearest correct spelling, if one is near, and all that is accepted. lead: the statement that lists it."""
    near = difflib.get_close_matches(read.lower(), accepted, n=1, cutoff=0.6)
    listed = Said(lead, names=tuple(f'"{name}"' for name in accepted))
    return Said("fault.did_you_mean", near=near[0], listed=listed) if near else listed


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
    return path


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
            names = _parts(header[2])
            if header[1] == "[[":
                counts[header[2]] = counts.get(header[2], -1) + 1
            table = _with_index(names, counts)
            path = table
        else:
            assignment = re.match(r"([A-Za-z0-9_.\"' -]+?)\s*=", stripped)
            if not assignment:
                continue
            path = table + _parts(assignment[1])
        if location[: len(path)] == path and len(path) > best[0]:
            best = (len(path), number)
    return best[1]


def _parts(dotted: str) -> tuple[str, ...]:
    """The steps of a dotted key, as the models spell them."""
    bare = (part.strip().strip("\"'") for part in dotted.split("."))
    return tuple(SPELLINGS.get(part, part) for part in bare)


def _with_index(names: tuple[str, ...], counts: dict[str, int]) -> tuple[int | str, ...]:
    path: list[int | str] = []
    for depth, name in enumerate(names, start=1):
        path.append(name)
        dotted = ".".join(names[:depth])
        if dotted in counts:
            path.append(counts[dotted])
    return tuple(path)
