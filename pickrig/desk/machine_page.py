"""The page of a fleet: its machines, and the form of one."""

from typing import Any

from pickrig.desk.job_page import plain
from pickrig.desk.store import EXAMPLE, Store
from pickrig.errors import InputError
from pickrig.facts import Said
from pickrig.guide.fleet_text import machines_of, marks_of, plate_questions, with_machine, without_machine
from pickrig.guide.questions import Answers, applies
from pickrig.guide.wording import asks
from pickrig.inputs.fleet import fleet_of
from pickrig.reading import parse_toml
from pickrig.report.words.voice import Voice
from pickrig.rulebook import Rules

_NEW = "new"


def shown(store: Store, rules: Rules, fields: dict[str, str]) -> dict[str, Any]:
    """What the page shows: all machines, and the one that is being changed, if any. Raises InputError."""
    store.must_be_there()
    file = fields.get("file", "") or "yard.toml"
    machines = machines_of(store.read(file)) if store.version(file) else []
    number = _number(fields.get("machine", ""))
    wanted = fields.get("machine", "") == _NEW or not machines
    answers = machines[number] if number is not None and number < len(machines) else {}
    told = _told(store, rules, file, machines, number if answers else None, answers, wanted or bool(answers))
    return told | {"said": fields.get("said", "")}


def posted(store: Store, rules: Rules, fields: dict[str, str], voice: Voice) -> tuple[str, dict[str, Any]]:
    """Save the change and give the file's name; or what to show where it does not read well, nothing written.

    Raises InputError for a file that is no longer there, OutputError where it cannot be written.
    """
    file, version = fields.get("file", ""), store.version(fields.get("file", ""))
    old = store.read(file) if version else None
    answers = {q.id: fields.get(f"a.{q.id}", "").strip()[:200] for q in plate_questions(rules)}
    answers = {key: answer for key, answer in answers.items() if answer}
    problems = [
        voice.text("desk_needs_answer", question=asks(q, voice))
        for q in plate_questions(rules)
        if q.needed and not answers.get(q.id) and fields.get("do") != "remove"
    ]
    number = None
    try:
        number = _meant(fields, old, version)
        text = _changed(fields.get("do", ""), old, number, answers, rules, voice)
        if not problems:
            fleet_of(parse_toml(store.path(file), text, "fleet"), rules)
    except InputError as error:
        problems += [voice.say(problem) for problem in error.problems]
    if problems:
        machines = machines_of(old) if old is not None else []
        told = _told(store, rules, file, machines, number, answers, True)
        if number is None and _number(fields.get("machine", "")) is not None:  # whichever it was opened on is not there
            kept = {"number": fields["machine"], "version": fields.get("version", ""), "mark": fields.get("mark", "")}
            told |= kept
        return file, told | {"problems": [plain(problem, store) for problem in problems]}
    return store.save(file, text, version), {}


def _meant(fields: dict[str, str], old: str | None, version: str) -> int | None:
    """Which machine the page was opened on, as the file now stands; None for a new one. Raises InputError.

    Another tab may have added machines or taken them out since, and the same place may hold another one.
    """
    number = _number(fields.get("machine", ""))
    if number is None:
        return None
    if old is None:
        raise InputError([Said("fault.gone", file=fields.get("file", ""))])
    if fields.get("version") == version:
        return number
    marks = marks_of(old)
    if fields.get("mark", "") in marks:
        return marks.index(fields["mark"])
    raise InputError(Said("fault.changed_elsewhere"))


def _changed(do: str, old: str | None, number: int | None, answers: Answers, rules: Rules, voice: Voice) -> str:
    if do == "remove" and old is not None and number is not None:
        return without_machine(old, number)
    return with_machine(old, number, answers, rules, voice)


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
) -> dict[str, Any]:
    version = store.version(file)
    marks = marks_of(store.read(file)) if version else []
    return {
        "file": file,
        "version": version,
        "mark": marks[number] if number is not None and number < len(marks) else "",
        "writable": file != EXAMPLE,
        "machines": machines,
        "number": number,
        "answers": answers,
        "questions": plate_questions(rules),
        "asked": {q.id for q in plate_questions(rules) if applies(q, answers)},
        "wanted": wanted and file != EXAMPLE,
        "said": "",
        "problems": [],
    }
