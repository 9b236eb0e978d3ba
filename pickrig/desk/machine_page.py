"""The page of a fleet: its machines, and the form of one."""

from typing import Any

from pickrig.desk.job_page import plain, shown_choices
from pickrig.desk.store import EXAMPLE, Store
from pickrig.errors import InputError
from pickrig.guide.fleet_text import machines_of, plate_questions, with_machine, without_machine
from pickrig.guide.questions import Answers, applies
from pickrig.inputs.fleet import fleet_of
from pickrig.inputs.reading import parse_toml
from pickrig.rulebook import Rules

_NEW = "new"


def shown(store: Store, rules: Rules, fields: dict[str, str]) -> dict[str, Any]:
    """What the page shows: all machines, and the one that is being changed, if any. Raises InputError."""
    file = fields.get("file", "") or "yard.toml"
    machines = machines_of(store.read(file)) if store.version(file) else []
    number = _number(fields.get("machine", ""))
    wanted = fields.get("machine", "") == _NEW or not machines
    answers = machines[number] if number is not None and number < len(machines) else {}
    return _told(store, rules, file, machines, number if answers else None, answers, wanted or bool(answers), fields)


def posted(store: Store, rules: Rules, fields: dict[str, str]) -> tuple[str, dict[str, Any]]:
    """Save the change and give the file's name; or what to show where it does not read well, nothing written.

    Raises InputError for a file that is no longer there, OutputError where it cannot be written.
    """
    file = fields.get("file", "")
    old = store.read(file) if store.version(file) else None
    number = _number(fields.get("machine", ""))
    answers = {q.id: fields.get(f"a.{q.id}", "").strip()[:200] for q in plate_questions(rules)}
    answers = {key: answer for key, answer in answers.items() if answer}
    problems = (
        [f"{q.asks}: needs an answer" for q in plate_questions(rules) if q.needed and not answers.get(q.id)]
        if fields.get("do") != "remove"
        else []
    )
    try:
        text = _changed(fields.get("do", ""), old, number, answers, rules)
        if not problems:
            fleet_of(parse_toml(store.path(file), text, "fleet"), rules)
    except InputError as error:
        problems += error.problems
    if problems:
        machines = machines_of(old) if old is not None else []
        told = _told(store, rules, file, machines, number, answers, True, fields)
        return file, told | {"problems": [plain(problem, store) for problem in problems]}
    return store.save(file, text, fields.get("version", "")), {}


def _changed(do: str, old: str | None, number: int | None, answers: Answers, rules: Rules) -> str:
    if do == "remove" and old is not None and number is not None:
        return without_machine(old, number)
    return with_machine(old, number, answers, rules)


def _number(text: str) -> int | None:
    return int(text) if text.isascii() and text.isdigit() and len(text) < 5 else None


def _told(
    store: Store,
    rules: Rules,
    file: str,
    machines: list[Answers],
    number: int | None,
    answers: Answers,
    wanted: bool,
    fields: dict[str, str],
) -> dict[str, Any]:
    return {
        "file": file,
        "version": fields.get("version", "") or store.version(file),
        "writable": file != EXAMPLE,
        "machines": machines,
        "number": number,
        "answers": answers,
        "questions": plate_questions(rules),
        "asked": {q.id for q in plate_questions(rules) if applies(q, answers)},
        "wanted": wanted and file != EXAMPLE,
        "said": fields.get("said", ""),
        "problems": [],
        "choices": shown_choices,
    }
