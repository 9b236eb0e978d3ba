"""A fleet file with one machine changed, added or taken out; all that was not asked for stays."""

import hashlib
import json
from typing import Any

import tomlkit

from pickrig.errors import InputError
from pickrig.facts import Said
from pickrig.guide.questions import Answers, Question, applies, written
from pickrig.guide.toml_edit import as_written, at, parsed, put, table_in, take_out
from pickrig.guide.wording import remark
from pickrig.report.words.voice import ENGLISH, Voice
from pickrig.rulebook import Rules

_NEW = 'title = "The yard"\n'


def plate_questions(rules: Rules) -> tuple[Question, ...]:
    """What is asked of a machine."""
    classes = tuple(rules.machine_classes)
    return tuple(
        question.model_copy(update={"choices": classes}) if question.id == "size_class" else question
        for question in written("plate.toml")
    )


def machines_of(text: str) -> list[Answers]:
    """Each machine of a fleet file as answers. Raises InputError where the text holds no machines."""
    return [_answers(machine) for machine in _rows(parsed(text, "the fleet file").unwrap())]


def marks_of(text: str) -> list[str]:
    """A mark of what the file says of each machine, so that one is known again when others come or go. Raises
    InputError."""
    rows = _rows(parsed(text, "the fleet file").unwrap())
    return [hashlib.sha256(json.dumps(row, default=str).encode()).hexdigest()[:16] for row in rows]


def _rows(document: Any) -> Any:
    """The machines of a parsed file. Raises InputError where they are not a list of tables."""
    rows = document.get("machine", [])
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        raise InputError([Said("fault.machine_list")])
    return rows


def _answers(machine: dict[str, object]) -> Answers:
    told = {q.id: at(machine, q.key) for q in written("plate.toml")}
    told["gear"] = next((gear for gear in ("tracks", "tyres") if as_written(machine, gear) in machine), "")
    return {key: str(value) for key, value in told.items() if value is not None}


def with_machine(text: str | None, number: int | None, answers: Answers, rules: Rules, voice: Voice = ENGLISH) -> str:
    """The file with machine `number` (from 0) as answered, or with one more at its end. Raises InputError."""
    document = parsed(_NEW if text is None else text, "the fleet file")
    if "machine" not in document:
        document["machine"] = tomlkit.aot()
    machines = _rows(document)
    if number is None:
        machine = tomlkit.table()
        machines.append(machine)
    else:
        _is_there(number, len(machines))
    row = machines[-1 if number is None else number]
    for other in {"tracks", "tyres"} - {answers.get("gear", "")}:
        take_out(row, [], other)
    for question in plate_questions(rules):
        if question.id != "gear":
            answer = answers.get(question.id, "").strip() if applies(question, answers) else ""
            if answer != str(at(row, question.key) or ""):
                put(row, question, answer, remark(question, answer, voice))
    if answers.get("gear"):
        table_in(row, [answers["gear"]])
    return tomlkit.dumps(document)


def without_machine(text: str, number: int) -> str:
    """The file without machine `number`. Raises InputError."""
    document = parsed(text, "the fleet file")
    machines = _rows(document)
    _is_there(number, len(machines))
    del machines[number]
    return tomlkit.dumps(document)


def _is_there(number: int, count: int) -> None:
    if not 0 <= number < count:
        raise InputError([Said("fault.no_machine", number=number + 1)])
