"""Inputs that once broke a reader, and examples with one thing in them spoiled: sentences, never a traceback."""

import copy
import datetime as dt
import tomllib
from pathlib import Path

import pytest
import tomlkit
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pickrig.errors import InputError, PickrigError
from pickrig.inputs import read_fleet, read_job
from pickrig.plans.pick.answer import pick
from tests.conftest import english
from tests.fuzz.readers import EXAMPLES, parted, read
from tests.properties.strategies import FLEET, MUDDY, RULES, SNOW_FLEET

FINDS = sorted((Path(__file__).parent / "finds").iterdir())
JOBS = ["muddy-lot", "load-out", "snow-lane", "finished-turf", "fence-posts", "sealed-yard-july"]
unhurried = settings(max_examples=150, deadline=None, suppress_health_check=list(HealthCheck))


@pytest.mark.parametrize("find", FINDS, ids=lambda path: path.name)
def test_what_broke_a_reader_once(find, tmp_path):
    read(*parted(find.read_bytes()), tmp_path)


TEXTS = ["", " ", "open", "nan in", "1e308 in", "1e-300 in", "-1 lb", "0 %", "100 %", "999,999 lb", "5 %", "72 in", "$"]
TEXTS += [
    "1/0 in",
    "72 in in",
    "\uff17\uff12 in",
    "72\u00a0in",
    "a\u202eb",
    "x" * 5000,
    "$-5",
    "0.0001 in",
    "-40 F",
    "72 kN",
    "5 mph",
    "20 gpm",
    "9 deg",
    "1 acre",
]
OTHERS = [0, 1, -1, 10**30, 1.5, 1e308, float("inf"), float("nan"), True, False, [], {}, [1, [2]], {"a": {"b": 1}}]
OTHERS += [dt.date(2026, 2, 28), dt.datetime(2026, 2, 28, 7, 0), dt.time(7, 0)]
NASTY = st.sampled_from([*TEXTS, *OTHERS])


def leaves(node, path=()):
    if isinstance(node, dict):
        return [path, *(leaf for key, item in node.items() for leaf in leaves(item, (*path, key)))]
    if isinstance(node, list):
        return [path, *(leaf for n, item in enumerate(node) for leaf in leaves(item, (*path, n)))]
    return [path]


@st.composite
def spoiled(draw, names):
    """An example with one to three things replaced, taken out, doubled or misspelt."""
    data = tomllib.loads((EXAMPLES / f"{draw(st.sampled_from(names))}.toml").read_text(encoding="utf-8"))
    data = copy.deepcopy(data)
    for _ in range(draw(st.integers(1, 3))):
        path = draw(st.sampled_from([leaf for leaf in leaves(data) if leaf]))
        parent = data
        for key in path[:-1]:
            parent = parent[key]
        how = draw(st.sampled_from(["replace", "replace", "replace", "take out", "misspell", "list"]))
        if how == "replace":
            parent[path[-1]] = copy.deepcopy(draw(NASTY))  # else a later spoiling would spoil NASTY itself
        elif how == "list":
            parent[path[-1]] = [parent[path[-1]]]
        else:
            gone = parent.pop(path[-1])
            if how == "misspell" and isinstance(parent, dict):
                parent[f"{path[-1]}{draw(st.sampled_from('sx_é'))}"] = gone
    return tomlkit.dumps(data)


@unhurried
@given(spoiled(JOBS))
def test_a_spoiled_job_is_answered_or_told(tmp_path_factory, text):
    job = read_or_told(read_job, tmp_path_factory.mktemp("spoiled") / "job.toml", text)
    if job is None:
        return
    try:
        answer = pick(job, SNOW_FLEET if job.snow else FLEET, RULES, draws=100)
    except InputError as error:  # a truck or trailer that the fleet does not have
        assert all(" is not in " in english(problem) for problem in error.problems)  # noqa: PT017
        return
    assert answer.ranking


@unhurried
@given(spoiled(["fleet", "snow-fleet", "candidates"]))
def test_a_spoiled_fleet_is_asked_or_told(tmp_path_factory, text):
    fleet = read_or_told(read_fleet, tmp_path_factory.mktemp("spoiled") / "fleet.toml", text)
    assert fleet is None or pick(MUDDY, fleet, RULES, draws=100).ranking


def read_or_told(reader, path, text):
    """What a reader makes of the text; None where it says, in sentences that name the file and end, what is wrong."""
    path.write_text(text, encoding="utf-8")
    try:
        return reader(path, RULES)
    except PickrigError as error:
        problems = str(error).splitlines()
    for problem in problems:
        assert str(path.parent) in problem
        assert len(problem) < 2000
    return None
