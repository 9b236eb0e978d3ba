"""The questions a beginner is asked. The terminal and the desk page ask the same ones."""

import datetime as dt
import tomllib
from functools import cache
from importlib.resources import files
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, TypeAdapter, ValidationError

from pickrig.errors import WrongError
from pickrig.facts import Said
from pickrig.inputs import Job
from pickrig.inputs.fields import Rain, Share
from pickrig.rulebook import Rules

Answers = dict[str, str]
ANY = "*"  # in `when`: whatever was answered, but something


class _Strict(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class Slider(_Strict):
    """Ends and step of a slider, in a unit as people write it."""

    low: float
    high: float
    step: float
    unit: str


class Question(_Strict):
    """One question; the catalogues have its words under `said`. key: where the answer goes in a job file. choices: what
    is written. results: of a field test, as the rules have them."""

    id: str
    key: str
    kind: Literal["text", "choice", "quantity", "count", "yes", "date"]
    example: str = ""
    needed: bool = False
    choices: tuple[str, ...] = ()
    results: dict[str, str] = Field(default_factory=dict)
    test: str | None = None
    when: dict[str, tuple[str, ...]] = Field(default_factory=dict)
    unless: dict[str, tuple[str, ...]] = Field(default_factory=dict)
    slider: Slider | None = None
    of: Literal["ask", "plate"] = "ask"

    @property
    def said(self) -> str:
        return f"{self.of}.{self.id}"


def questions(rules: Rules) -> tuple[Question, ...]:
    """Every question in order, the results of field tests as choices."""
    return tuple(_with_results(question, rules) for question in written("questions.toml"))


@cache
def written(name: str) -> tuple[Question, ...]:
    """The questions as their file has them."""
    text = (files("pickrig.guide") / name).read_text(encoding="utf-8")
    of = "plate" if name == "plate.toml" else "ask"
    return tuple(Question.model_validate({**row, "of": of}) for row in tomllib.loads(text)["question"])


def _with_results(question: Question, rules: Rules) -> Question:
    if question.test is None:
        return question
    results = {key: row.says for key, row in rules.field_tests[question.test].results.items()}
    return question.model_copy(update={"choices": tuple(results), "results": results})


def applies(question: Question, answers: Answers) -> bool:
    """Whether earlier answers call for this question."""
    called_for = all(_matches(answers.get(other, ""), wanted) for other, wanted in question.when.items())
    ruled_out = [answers.get(other, "") in ruled for other, ruled in question.unless.items()]
    return called_for and not (ruled_out and all(ruled_out))


def _matches(answer: str, wanted: tuple[str, ...]) -> bool:
    return bool(answer) if ANY in wanted else answer in wanted


def asked_of(answers: Answers, rules: Rules) -> list[Question]:
    """The questions these answers call for, in order."""
    return [question for question in questions(rules) if applies(question, answers)]


def fault(question: Question, answer: str) -> Said | None:
    """What is wrong with an answer, as a statement that fits behind it; None if nothing is. The files' own checks,
    nothing else."""
    if not answer:
        return Said("fault.needs_answer") if question.needed else None
    if question.kind == "choice":
        return None  # the file's own reader looks it up, by all the names the tables know
    if question.kind == "yes":
        return None if answer in ("yes", "no") else Said("fault.yes_or_no")
    value: Any = answer
    if question.kind == "count":
        if not answer.isascii() or not answer.isdigit() or len(answer) > 6:
            return Said("fault.whole_number")
        value = int(answer)
    if question.kind == "date":
        return _date_fault(answer)
    try:
        _field(question).validate_python(value)
    except ValidationError as error:
        told = error.errors()[0].get("ctx", {}).get("error")
        return told.said if isinstance(told, WrongError) else Said("fault.whole_number")
    return None


def _date_fault(answer: str) -> Said | None:
    try:
        dt.date.fromisoformat(answer)
    except ValueError:
        return Said("fault.a_date")
    return None


@cache
def _adapter(key: str) -> TypeAdapter[Any]:
    """The reader of a job file's key."""
    model: type[BaseModel] = Job
    *tables, name = key.split(".")
    for table in tables:
        inner = model.model_fields[table].annotation
        arms = [inner, *getattr(inner, "__args__", ())]
        model = next(arm for arm in arms if isinstance(arm, type) and issubclass(arm, BaseModel))
    field = model.model_fields[name]
    annotated: Any = Annotated[(field.annotation, Field(), *field.metadata)]
    return TypeAdapter(annotated)


# What several answers make together stands under no single key: the shares of travel, and the weather.
_TOGETHER: dict[str, TypeAdapter[Any]] = {"ground.travel": TypeAdapter(Share), "weather": TypeAdapter(Rain)}


def _field(question: Question) -> TypeAdapter[Any]:
    return _TOGETHER.get(question.key) or _adapter(question.key)
