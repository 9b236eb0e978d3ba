"""Find rules/ and read it; lay a second folder over it."""

import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

from pydantic import BaseModel, ValidationError

from pickrig.errors import RulesError
from pickrig.rulebook.tables import Cited, Rules


def shipped(folder: str) -> Path:
    """The folder `rules` or `examples` that ships with pickrig: inside the package once installed, else beside it."""
    package = Path(__file__).parents[1]
    installed = package / folder
    return installed if installed.is_dir() else package.parent / folder


def load_rules(overlay: Path | None = None) -> Rules:
    """The shipped tables, with the rows of a second folder laid over them key by key.

    Raises RulesError, one sentence for each fault, when a file cannot be read, a table is unknown, a row is incomplete
    or names a source that sources.toml does not have.
    """
    return _shipped_rules() if overlay is None else _checked(read_tables(overlay), overlay)


def read_tables(overlay: Path | None = None) -> dict[str, dict[str, Any]]:
    """The tables as they stand in the files, by name, a second folder laid over the shipped one. Raises RulesError."""
    tables = _read_folder(shipped("rules"))
    if overlay is None:
        return tables
    if not overlay.is_dir():
        raise RulesError([f"{overlay}: is not a folder; give one that holds files like rules/limits.toml"])
    known = set(tables)
    for name, table in _read_folder(overlay).items():
        if name not in known:
            names = ", ".join(sorted(known))
            raise RulesError([f"{overlay / name}.toml: no table has that name; the tables are {names}"])
        tables[name] = _laid_over(tables[name], table)
    return tables


@cache
def _shipped_rules() -> Rules:
    return _checked(read_tables(), shipped("rules"))


def _read_folder(folder: Path) -> dict[str, dict[str, Any]]:
    tables = {}
    for path in sorted(folder.glob("*.toml")):
        try:
            tables[path.stem] = tomllib.loads(path.read_text(encoding="utf-8-sig"))
        except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
            raise RulesError([f"{path}: cannot be read as TOML ({error}); mend or remove the file"]) from error
    return tables


def _laid_over(below: dict[str, Any], above: dict[str, Any]) -> dict[str, Any]:
    merged = dict(below)
    for key, value in above.items():
        old = merged.get(key)
        merged[key] = _laid_over(old, value) if isinstance(old, dict) and isinstance(value, dict) else value
    return merged


def _checked(tables: dict[str, dict[str, Any]], folder: Path) -> Rules:
    try:
        rules = Rules.model_validate(tables)
    except ValidationError as error:
        raise RulesError([_sentence(folder, fault["loc"], fault["msg"]) for fault in error.errors()]) from error
    unknown = [
        _sentence(folder, path, f"names the source {row.source!r}, which sources.toml does not have; add it there")
        for path, row in cited_rows(rules)
        if row.source is not None and row.source not in rules.sources
    ]
    if unknown:
        raise RulesError(unknown)
    return rules


def _sentence(folder: Path, path: tuple[int | str, ...], says: str) -> str:
    return f"{folder / str(path[0])}.toml, {'.'.join(str(p) for p in path[1:]) or 'the file'}: {says}"


def cited_rows(rules: Rules) -> Iterator[tuple[tuple[str, ...], Cited]]:
    """Every row that carries a source and a status, with its path (file, then keys)."""
    yield from _walk((), {name: getattr(rules, name) for name in Rules.model_fields})


def _walk(path: tuple[str, ...], node: object) -> Iterator[tuple[tuple[str, ...], Cited]]:
    if isinstance(node, Cited):
        yield path, node
    if isinstance(node, dict):
        for key, child in node.items():
            yield from _walk((*path, str(key)), child)
    elif isinstance(node, BaseModel):
        for name in type(node).model_fields:
            yield from _walk((*path, name), getattr(node, name))
