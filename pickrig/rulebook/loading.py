"""Find rules/ and read it; lay a second folder over it, checked as closely as a job file."""

import copy
from collections import Counter
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any, get_args, get_origin

from pydantic import BaseModel

from pickrig.errors import InputError, RulesError
from pickrig.facts import Said
from pickrig.files import note_read, read_text
from pickrig.physics.cone_index import STRENGTH_GROUPS
from pickrig.reading import Document, Location, check_parts, nearest, parse_toml
from pickrig.rulebook.audit import lost_apart
from pickrig.rulebook.tables import TAGS, Cited, Rules, Value

Tables = dict[str, Document]
_FAR = 100.0  # times; a price in another currency or a rate twice as high is meant, a slip of units is not
_DEEPEST = 20  # tables within tables; ours go five deep


def shipped(folder: str) -> Path:
    """The folder `rules` or `examples` that ships with pickrig: inside the package once installed, else beside it."""
    package = Path(__file__).parents[1]
    installed = package / folder
    return installed if installed.is_dir() else package.parent / folder


def load_rules(overlay: Path | None = None) -> Rules:
    """The shipped tables, with the rows of a second folder laid over them key by key.

    Raises RulesError, one sentence for each fault with file, line, key and mend: a file cannot be read, a table or a
    key is unknown, a row is incomplete, a number is out of its range or order, a name points nowhere.
    """
    for folder in (shipped("rules"), *([overlay] if overlay else [])):
        for path in folder.glob("*.toml"):
            note_read(path)
    return _shipped_rules() if overlay is None else _checked(_own_tables(overlay))


def read_tables(overlay: Path | None = None) -> dict[str, dict[str, Any]]:
    """The tables as they stand in the files, by name, a second folder laid over the shipped one. Raises RulesError."""
    return copy.deepcopy(_merged(_own_tables(overlay) if overlay else {}))  # the shipped ones are kept between calls


@cache
def _shipped_rules() -> Rules:
    return _checked({})


@cache
def _shipped_tables() -> Tables:
    return _read_folder(shipped("rules"))


def _own_tables(folder: Path) -> Tables:
    """The files of a folder of one's own, each under the name of a table."""
    if not folder.is_dir():
        raise RulesError([Said("fault.rules_no_folder", file=str(folder))])
    odd = [path.name for path in folder.iterdir() if path.suffix.lower() == ".toml" and path.suffix != ".toml"]
    if odd:
        raise RulesError([Said("fault.rules_capital", file=str(folder / odd[0]))])
    names, known = sorted(path.stem for path in folder.glob("*.toml")), list(_shipped_tables())
    if not names:
        raise RulesError([Said("fault.rules_empty", file=str(folder))])
    strange = [
        Said("fault.no_such_table", file=f"{folder / name}.toml", near=nearest(name, known, "known.tables"))
        for name in names
        if name not in known
    ]
    if strange:
        raise RulesError(strange)
    return _read_folder(folder)


def _read_folder(folder: Path) -> Tables:
    tables = {}
    for path in sorted(folder.glob("*.toml")):
        try:
            document = parse_toml(path, read_text(path, "rules"), "rules")
        except InputError as error:
            raise RulesError(error.problems) from error
        if _too_deep(document.data):
            raise RulesError([Said("fault.rules_deep", file=str(path))])
        tables[path.stem] = document
    return tables


def _too_deep(data: dict[str, Any]) -> bool:
    level: list[Any] = [data]
    for _ in range(_DEEPEST):
        held = [list(node.values()) if isinstance(node, dict) else node for node in level]
        level = [item for items in held for item in items if isinstance(item, dict | list)]
    return bool(level)


def _merged(own: Tables) -> dict[str, dict[str, Any]]:
    tables = {name: document.data for name, document in _shipped_tables().items()}
    return tables | {name: _laid_over(tables[name], document.data) for name, document in own.items()}


def _laid_over(below: dict[str, Any], above: dict[str, Any]) -> dict[str, Any]:
    merged = dict(below)
    for key, value in above.items():
        old = merged.get(key)
        merged[key] = _laid_over(old, value) if isinstance(old, dict) and isinstance(value, dict) else value
    return merged


def _checked(own: Tables) -> Rules:
    """The tables as rules. Raises RulesError."""

    def document_of(location: Location) -> tuple[Document, Location]:
        """The file that says most of a key: one's own, where it says as much as the shipped one."""
        table, keys = str(location[0]), location[1:]
        documents = [tables[table] for tables in (own, _shipped_tables()) if table in tables]
        if not documents:  # a whole table is missing
            return Document(shipped("rules") / f"{table}.toml", "", {}), keys
        return max(documents, key=lambda document: _reaches(document.data, keys)), keys

    def told(location: Location, what: Said) -> Said:
        document, keys = document_of(location)
        return document.told(keys, what)

    strange = [told(place, Said("fault.unknown_key", mend=known)) for place, known in _strange_keys(own)]
    if strange:
        raise RulesError(strange)
    merged = _merged(own)
    lost = list(lost_apart(merged))
    if lost:
        raise RulesError(lost)
    try:
        rules = check_parts(Rules, merged, document_of)
    except InputError as error:
        raise RulesError(error.problems) from error
    far_off = _far_off(rules, _shipped_rules()) if own else ()
    amiss = [told(place, what) for place, what in (*_amiss(rules), *far_off)]
    if amiss:
        raise RulesError(amiss)
    return rules


def _far_off(rules: Rules, usual: Rules) -> Iterator[tuple[Location, Said]]:
    """Single values that cannot be what they say: zero where ours is not, or more than a hundred times off; and what
    the code knows of a question."""
    theirs = dict(_values(rules))
    for place, ours in _values(usual):
        for end in ("low", "value", "high"):
            given = getattr(theirs[place], end)
            least = 0.0 if ours.unit == "$" else ours.value / _FAR
            if given is not None and ours.value > 0 and not least <= given <= ours.value * _FAR:
                yield (*place, end), Said("fault.rules_far", given=f"{given:g}", ours=f"{ours.value:g}", unit=ours.unit)
    for key, question in usual.questions.items():
        for name in ("dimension", "better"):
            if getattr(rules.questions[key], name) != getattr(question, name):
                yield ("questions", key, name), Said("fault.rules_stays", is_=str(getattr(question, name)))


def _values(rules: Rules) -> Iterator[tuple[tuple[str, ...], Value]]:
    for path, row in cited_rows(rules):
        if isinstance(row, Value):
            yield path, row


def _reaches(data: Any, keys: Location) -> int:
    """How many of the keys, one below the other, a document has."""
    for depth, key in enumerate(keys):
        if not isinstance(data, Mapping) or key not in data:
            return depth
        data = data[key]
    return len(keys)


def _strange_keys(own: Tables) -> Iterator[tuple[Location, Said]]:
    """Keys nobody would ever ask for, where the code asks by name."""
    for place in _named_in_code():
        name, *keys = place
        ours, theirs = (tables[name].data if name in tables else {} for tables in (_shipped_tables(), own))
        for key in keys:
            ours, theirs = (node.get(key, {}) if isinstance(node, dict) else {} for node in (ours, theirs))
        for key in theirs if isinstance(theirs, dict) else ():
            if key not in ours:
                yield (*place, key), nearest(key, sorted(ours), "known.keys")


@cache
def _named_in_code() -> tuple[tuple[str, ...], ...]:
    """Tables whose rows the code looks up by name: all of single values, and three more."""

    def places(model: type[BaseModel], path: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
        for name, field in model.model_fields.items():
            if get_origin(field.annotation) is dict and get_args(field.annotation)[1] is Value:
                yield (*path, name)
            elif isinstance(field.annotation, type) and issubclass(field.annotation, BaseModel):
                yield from places(field.annotation, (*path, name))

    return (("tipping",), ("questions",), ("field_tests",), *places(Rules, ()))


def _amiss(rules: Rules) -> Iterator[tuple[Location, Said]]:
    """What only shows when the tables are held side by side."""
    for path, row in cited_rows(rules):
        if row.source is not None and row.source not in rules.sources:
            yield (*path, "source"), Said("fault.rules_source", source=row.source)
    for place, name, table, rows in _names_of_rows(rules):
        if name not in rows:
            near = nearest(name, list(rows), "known.it_has")
            yield place, Said("fault.no_such_row", name=name, table=f"{table}.toml", near=near)
    for key, work in rules.work.items():
        if sorted(work.ranking) != sorted(rules.questions):
            yield ("work", key, "ranking"), Said("fault.rules_ranks", names=tuple(rules.questions))
    for surface in set(rules.surfaces) - {"site soil"}:
        for state in (f"{surface} dry", f"{surface} wet"):
            if state not in rules.traction:
                yield ("surfaces", surface), Said("fault.rules_no_grip", state=state)
    months = Counter(month for season in rules.seasons.values() for month in season.months)
    if sorted(months.elements()) != list(range(1, 13)):
        yield ("seasons",), Said("fault.rules_months")
    yield from _dead_tags(rules)
    yield from _shared_names(rules)


def _dead_tags(rules: Rules) -> Iterator[tuple[Location, Said]]:
    """Advice that nobody would ever get."""
    known = TAGS | set(rules.attachments)
    for table in ("cautions", "fitting", "walkaround"):
        for key, row in getattr(rules, table).items():
            for tag in set(row.when) - known:
                near = nearest(tag, sorted(known), "known.tags")
                yield (table, key, "when"), Said("fault.never_true", tag=tag, near=near)


def _names_of_rows(rules: Rules) -> Iterator[tuple[Location, str, str, Mapping[Any, Any]]]:
    """Where one table names a row of another: the place, the name, that table and its rows."""
    for key, work in rules.work.items():
        yield ("work", key, "attachment"), work.attachment, "attachments", rules.attachments
    for key, first in rules.first.items():
        yield ("first", key, "question"), first.question, "questions", rules.questions
        for surface in first.surfaces:
            yield ("first", key, "surfaces"), surface, "surfaces", rules.surfaces
    for key, soil in rules.soils.items():
        yield ("soils", key, "presumptive"), soil.presumptive, "presumptive", {"none": None, **rules.presumptive}
    for key, under in rules.snow.under.items():
        yield ("snow", "under", key, "surface"), under.surface, "surfaces", rules.surfaces
    for key, test in rules.field_tests.items():
        for word, groups in test.groups.items():
            for soil_key in groups:
                yield ("field_tests", key, "groups", word), soil_key, "soils", rules.soils
    for key in rules.care.surfaces:
        yield ("care", "surfaces", key), key, "surfaces", rules.surfaces
    for key in rules.traction:
        surface = key.rsplit(" ", 1)[0]
        yield ("traction", key), surface, "surfaces", {"soil": None, "boards": None, **rules.surfaces}
    for key, constants in rules.physics.items():
        yield ("physics", key, "equation"), constants.equation, "equations", {"definition": None, **rules.equations}
    yield from _equations_of_soils(rules)


def _equations_of_soils(rules: Rules) -> Iterator[tuple[Location, str, str, Mapping[Any, Any]]]:
    for key, soil in rules.soils.items():
        if soil.family == "fine":
            yield ("soils", key), key, "physics/cone_index", STRENGTH_GROUPS
    for key, sizes in rules.attachments.items():
        for frame in ("stand-on", "compact"):
            yield ("attachments", key), frame, "attachments", sizes


def _shared_names(rules: Rules) -> Iterator[tuple[Location, Said]]:
    """A soil, a surface or a kind of work called as another one is."""
    tables: list[tuple[str, Mapping[str, Any]]] = [
        ("soils", rules.soils), ("surfaces", rules.surfaces), ("work", rules.work),
    ]  # fmt: skip
    for table, rows in tables:
        taken: dict[str, str] = {}
        for key, row in rows.items():
            for name in {key.lower(), str(getattr(row, "name", key)).lower(), *(other.lower() for other in row.also)}:
                if taken.setdefault(name, key) != key:
                    yield (table, key), Said("fault.rules_shared", name=name, other=taken[name])


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
