"""Every published value a function of ours can reproduce, one row of cases/ each."""

import inspect
import pkgutil
import tomllib
from importlib import import_module
from pathlib import Path

import numpy as np
import pytest

import pickrig.physics
from pickrig.plans.decides.numbers import constants
from pickrig.rulebook import read_tables
from pickrig.rulebook.audit import audit
from tests.published.case import BASES, READ, Case, load
from tests.published.mutate import allowed, cases_of, named, unnoticed
from tests.published.page import PAGE, independent, page, unchecked

CASES = load()


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.id)
def test_published_value(case):
    sentence = case.disagreement()
    if sentence:
        pytest.fail(sentence, pytrace=False)


def test_every_case_says_what_it_is():
    assert len({case.id for case in CASES}) == len(CASES)
    for case in CASES:
        assert case.basis in BASES, case.id
        assert case.read in READ, case.id
        assert case.source, case.id
        assert (case.basis, case.read) != ("printed", "from memory"), case.id


def test_every_function_has_an_independent_case_or_says_why_not():
    functions = {
        f"{info.name}.{name}"
        for info in pkgutil.iter_modules(pickrig.physics.__path__)
        for name, function in inspect.getmembers(import_module(f"pickrig.physics.{info.name}"), inspect.isfunction)
        if function.__module__ == f"pickrig.physics.{info.name}" and not name.startswith("_")
    }
    run = {name for case in CASES for name in case.functions}
    assert functions <= run, f"no case at all: {sorted(functions - run)}"
    assert sorted(functions - independent(CASES)) == sorted(unchecked()), (
        "unchecked.toml is not what the cases leave open"
    )


MODULES = sorted({number.module for number in constants()})


@pytest.mark.parametrize("module", MODULES)
def test_every_constant_is_watched_by_a_published_value(module):
    cases = cases_of(module, CASES)
    assert [case.id for case in cases if case.disagreement()] == []  # else everything would seem to be noticed
    seen = {named(number) for number in constants() if number.module == module and unnoticed(number, cases)}
    assert seen == {name for name in allowed() if name.startswith(f"{module}.")}


def test_the_sentence_names_the_paper():
    case = next(case for case in CASES if case.name == "wheeled curve, one pass")
    off = Case(**{**case.__dict__, "expected": "10.63, 13.83, 16.32, 18.58, 22.87, 27.01, 35 psi"})
    assert "Priddy and Willoughby (2006)" in (off.disagreement() or "")
    assert "31.102" in (off.disagreement() or "")
    assert case.disagreement() is None


TABLES = tomllib.loads((Path(__file__).parent / "tables.toml").read_text(encoding="utf-8"))["table"]
PUBLISHED = {
    f"{entry.table}: {entry.path}": entry
    for entry in audit(read_tables()).entries
    if entry.status == "published" and entry.numbers
}


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table["source"][:60])
def test_published_numbers_of_the_rules(table):
    for path, expected in table["values"].items():
        got = [float(part) for part in PUBLISHED[path].value.split(",")]
        near = np.abs(np.asarray(got) - np.atleast_1d(expected)) <= table.get("within", 0)
        if not np.all(near):
            pytest.fail(f"{table['source']} disagrees with rules/{path}: {expected} there, {got} here", pytrace=False)


def test_every_published_number_of_the_rules_is_entered_twice():
    entered = [path for table in TABLES for path in table["values"]]
    assert sorted(entered) == sorted(PUBLISHED)


def test_the_page_is_the_one_the_cases_make():
    assert PAGE.read_text(encoding="utf-8") == page(), "run: python -m tests.published.page"
