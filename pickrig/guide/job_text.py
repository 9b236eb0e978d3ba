"""Answers as a job file, and a job file as answers. What the questions cannot say stays as the file has it."""

import datetime as dt
from dataclasses import dataclass
from typing import Any

import tomlkit

from pickrig.guide.questions import Answers, Question, applies, questions
from pickrig.guide.toml_edit import at, parsed, put, table_in, take_out
from pickrig.guide.wording import remark
from pickrig.quantities import parse
from pickrig.report.words.voice import ENGLISH, Voice
from pickrig.rulebook import Rules

_PAVED = ("asphalt", "concrete", "pavers", "gravel")
_TRAVEL, _WEATHER = ("paving", "paved_share", "lawn_share"), ("rain", "job_day")


@dataclass(frozen=True)
class Read:
    """A job file as answers. own: questions of which the file says more than an answer can; they stay as they are."""

    answers: Answers
    own: frozenset[str] = frozenset()


def answers_of(data: dict[str, Any], rules: Rules) -> Read:
    """What the data of a job file answers."""
    answers: Answers = {}
    own: set[str] = set()
    for question in questions(rules):
        value = at(data, question.key)
        if question.id in (*_TRAVEL, *_WEATHER) or value is None:
            continue
        if isinstance(value, bool):
            answers[question.id] = "yes" if value else "no"
        elif isinstance(value, str | int):
            answers[question.id] = _as_chosen(question, str(value), rules)
        else:
            own.add(question.id)
    for ids, read in ((_TRAVEL, _travel_answers(data, rules)), (_WEATHER, _weather_answers(data))):
        if read is None:
            own.update(ids)
        else:
            answers |= read
    return Read(answers, frozenset(own))


def job_text(text: str | None, answers: Answers, rules: Rules, voice: Voice = ENGLISH) -> str:
    """A job file with these answers: a new one, or `text` with the changed answers put in and all else left alone.

    Raises InputError where the text is not TOML.
    """
    document = _new(voice) if text is None else parsed(text, "the job file")
    old = answers_of(document.unwrap(), rules)
    changed = {q.id for q in questions(rules) if _said(q, answers) != _said(q, old.answers)} - old.own
    for question in questions(rules):
        if question.id in changed and question.id not in (*_TRAVEL, *_WEATHER):
            answer = _said(question, answers)
            put(document, question, answer, remark(question, answer, voice))
    said = {q.id: _said(q, answers) for q in questions(rules)}
    if changed & set(_TRAVEL):
        _put_travel(document, said)
    if changed & set(_WEATHER):
        _put_weather(document, said, rules, voice)
    return tomlkit.dumps(document)


def _new(voice: Voice) -> tomlkit.TOMLDocument:
    document = tomlkit.document()
    for key in ("file_head", "file_words"):
        document.add(tomlkit.comment(voice.text(key)))
    return document


def _said(question: Question, answers: Answers) -> str:
    """The answer, where the question is asked at all."""
    return answers.get(question.id, "").strip() if applies(question, answers) else ""


def _as_chosen(question: Question, value: str, rules: Rules) -> str:
    """The choice that means what the file says by another of its names; else the file's own word."""
    names = {
        "work": {key: [key, *row.also] for key, row in rules.work.items()},
        "soil": {key: [key, row.name, *row.also] for key, row in rules.soils.items()},
    }.get(question.id, {})
    shown = list(question.choices)
    alike = next((group for group in names.values() if value.lower() in (n.lower() for n in group)), [value])
    exact = [choice for choice in shown if choice.lower() == value.lower()]
    return next((choice for choice in (*exact, *shown) if choice in alike or choice in exact), value)


def _travel_answers(data: dict[str, Any], rules: Rules) -> Answers | None:
    """Shares of travel as answers; None where the file has more kinds of ground than are asked for."""
    travel = at(data, "ground.travel")
    if travel is None:
        return {}
    if not isinstance(travel, dict):
        return None
    named = {_surface(name, rules): share for name, share in travel.items()}
    paved = [name for name in named if name in _PAVED]
    told = set(named) <= {"site soil", "turf", *_PAVED} and len(named) == len(travel) and len(paved) <= 1
    if not told or not all(isinstance(share, str) for share in travel.values()):
        return None
    answers = {"paving": paved[0] if paved else "none", "lawn_share": named.get("turf", "")}
    return answers | ({"paved_share": named[paved[0]]} if paved else {})


def _surface(name: str, rules: Rules) -> str:
    return next((key for key, row in rules.surfaces.items() if name.lower() in (key, *row.also)), name)


def _put_travel(document: tomlkit.TOMLDocument, said: Answers) -> None:
    """Shares that make a whole: paving and lawn as answered, the site's soil the rest."""
    shares = {said["paving"]: said["paved_share"] or "0 %", "turf": said["lawn_share"] or "0 %"}
    shares.pop("none", None)
    shares.pop("", None)
    told = {name: _per_cent(share) for name, share in shares.items() if _per_cent(share) > 0}
    take_out(document, ["ground"], "travel")
    if not told:
        return
    rest = 100 - sum(told.values())
    if rest > 0:
        told["site soil"] = rest
    table = tomlkit.table()
    for name, share in told.items():
        table[name] = f"{share:g} %"
    table_in(document, ["ground"])["travel"] = table


def _per_cent(text: str) -> float:
    """A share as per cent. The questions have refused what is none."""
    return round(100 * parse(text, "share"), 6)


def _weather_answers(data: dict[str, Any]) -> Answers | None:
    """Weather as answers: the job's day and its rain, after a day that only carries the date; None where it is more."""
    weather = data.get("weather")
    if weather is None:
        return {}
    days = weather.get("days") if isinstance(weather, dict) else None
    if not isinstance(days, list) or set(weather) != {"job_day", "days"} or len(days) != 2:
        return None
    before, after = days
    known = all(isinstance(day, dict) and set(day) == {"date", "rain"} for day in days)
    if not known or before["rain"] != _NO_RAIN or after["date"] != weather["job_day"]:
        return None
    return {"rain": str(after["rain"]), "job_day": str(weather["job_day"])}


_NO_RAIN = "0 in"


def _put_weather(document: tomlkit.TOMLDocument, said: Answers, rules: Rules, voice: Voice) -> None:
    """The forecast for the job's day, behind a dry day that says from when on the ground is known."""
    take_out(document, [], "weather")
    if not said["rain"]:
        return
    day = dt.date.fromisoformat(said["job_day"]) if said["job_day"] else dt.date.today() + dt.timedelta(days=1)
    weather, days = tomlkit.table(), tomlkit.aot()
    weather["job_day"] = day
    for date, rain in ((day - dt.timedelta(days=1), _NO_RAIN), (day, said["rain"])):
        row = tomlkit.table()
        row["date"], row["rain"] = date, rain
        days.append(row)
    rain_asked = next(q for q in questions(rules) if q.id == "rain")
    days[1]["rain"].comment(remark(rain_asked, said["rain"], voice))
    weather["days"] = days
    document["weather"] = weather
