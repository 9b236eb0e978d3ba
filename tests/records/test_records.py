"""Answers are what they were when they were recorded; what moves, moves on purpose (`python -m tests.records`)."""

import datetime as dt
import types
from typing import Annotated, Union, get_args, get_origin

import pytest
from pydantic import BaseModel

from pickrig.inputs.board import BoardFile
from pickrig.inputs.fleet import FleetFile
from pickrig.inputs.job import Job
from pickrig.inputs.year import YearFile
from tests.records import cases

NAMES = list(cases.drawn())


@pytest.mark.parametrize("name", NAMES)
def test_an_answer_is_what_it_was(name):
    told = list(cases.moved(cases.recorded()[name], cases.facts(name)))
    assert told == [], f"{len(told)} facts moved; see python -m tests.records"


def test_every_wanted_case_is_drawn_and_recorded():
    assert sorted(name for name, _, _ in cases.WANTED) == NAMES
    assert list(cases.recorded()) == NAMES


def models_in(annotation):
    """The models an annotation may hold."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return [annotation]
    if get_origin(annotation) in (Annotated, Union, types.UnionType, list, tuple, dict):
        return [model for inner in get_args(annotation) for model in models_in(inner)]
    return []


def keys_of(model, path=()):
    """Every key a file may hold, as a path without indices."""
    for name, field in model.model_fields.items():
        inner = models_in(field.annotation)
        yield from (keys_of(inner[0], (*path, name)) if inner else [(*path, name)])


def keys_in(node, path=()):
    if isinstance(node, list):
        return {key for item in node for key in keys_in(item, path)} | {path}
    if isinstance(node, dict):
        return {key for name, item in node.items() for key in keys_in(item, (*path, name))} | {path}
    return {path}


@pytest.mark.parametrize(
    ("model", "tables"),
    [
        (Job, [job for case in cases.drawn().values() for job in case["jobs"].values()]),
        (FleetFile, [case["fleet"] for case in cases.drawn().values()]),
        (BoardFile, [case["day"] for case in cases.drawn().values() if "day" in case]),
        (YearFile, [case["year"] for case in cases.drawn().values() if "year" in case]),
    ],
    ids=["job", "fleet", "day", "year"],
)
def test_every_key_a_file_may_hold_is_drawn(model, tables):
    drawn = {key for table in tables for key in keys_in(table)}
    assert set(keys_of(model)) - drawn == set()


def test_what_moved_is_told_by_its_place():
    old = {"machines": {"A": {"score": 1.0, "parts": [1, 2]}}, "pick": "A", "gone": 1}
    new = {"machines": {"A": {"score": 1.0 + 1e-12, "parts": [1, 3]}, "B": {}}, "pick": None}
    assert list(cases.moved(old, new)) == [
        "machines.A.parts[1]: 2 -> 3",
        "machines.B: None -> {}",
        "pick: A -> None",
        "gone: 1 -> None",
    ]
    assert list(cases.moved(True, 1)) == [": True -> 1"]


def test_dates_and_times_come_back_as_a_file_has_them():
    from tests.records.draw import _dated

    assert _dated({"date": "2026-04-21", "start": "06:30:00", "load": "1700 lb", "tiedown": "3/8 G70"}) == {
        "date": dt.date(2026, 4, 21),
        "start": dt.time(6, 30),
        "load": "1700 lb",
        "tiedown": "3/8 G70",
    }
