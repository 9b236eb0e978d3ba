"""Change single keys of a TOML text and leave everything else, comments too, as it was."""

from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import Table

from pickrig.errors import InputError
from pickrig.facts import Said
from pickrig.guide.questions import Question
from pickrig.reading import SPELLINGS


def parsed(text: str, name: str) -> tomlkit.TOMLDocument:
    """The text, ready to be changed. Raises InputError where it is not TOML."""
    try:
        return tomlkit.parse(text)
    except TOMLKitError as error:
        raise InputError(Said("fault.parsed_broken", file=name)) from error


def at(data: Any, key: str) -> Any:
    """What stands under a dotted key; None if nothing does."""
    here = data
    for step in key.split("."):
        here = here.get(as_written(here, step)) if isinstance(here, dict) else None
    return here


def as_written(table: Any, name: str) -> str:
    """The key as it stands in a table, which takes either spelling."""
    others = (key for key, known in SPELLINGS.items() if known == name and key in table)
    return name if name in table else next(others, name)


def put(table: Any, question: Question, answer: str, remark: str = "") -> None:
    """Write an answer under its question's key, with a remark; an empty one takes the key out."""
    *tables, name = question.key.split(".")
    if not answer:
        take_out(table, tables, name)
        return
    item = tomlkit.item(_value(question, answer))
    if remark:
        item.comment(remark)
    here = table_in(table, tables)
    here[as_written(here, name)] = item


def _value(question: Question, answer: str) -> Any:
    if question.kind == "count" and answer.isdigit():
        return int(answer)
    if question.kind == "yes":
        return answer == "yes"
    return answer


def table_in(table: Any, names: list[str]) -> Any:
    """A table under this one, made where it is not there. Raises InputError where something else stands there."""
    here = table
    for name in names:
        key = as_written(here, name)
        if key not in here:
            here[key] = tomlkit.table()
        here = here[key]
        if not isinstance(here, dict):
            raise InputError([Said("fault.own_table_at", file=name, table=".".join(names))])
    return here


def take_out(table: Any, tables: list[str], name: str) -> None:
    """Remove a key, and the table that held nothing else."""
    here = at(table, ".".join(tables)) if tables else table
    if not isinstance(here, dict) or as_written(here, name) not in here:
        return
    del here[as_written(here, name)]
    if tables and not here and isinstance(here, Table):
        take_out(table, tables[:-1], tables[-1])
