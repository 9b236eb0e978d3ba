"""The catalogues are whole: every statement of the code is in every language, with its lengths, choices and values.

Someone adds a language by copying a folder of `pickrig/report/words/`; these tests name what is still missing.
"""

import ast
import re
import tomllib
from functools import cache
from pathlib import Path
from string import Formatter

import pytest
from babel import Locale

from pickrig import quantities
from pickrig.guide.questions import written
from pickrig.report.words import figures
from pickrig.report.words.catalogue import LENGTHS, WINGS, catalogue, equations, languages
from pickrig.rulebook import load_rules

ROOT = Path(__file__).parents[2]
HOUSE = ROOT / "pickrig"
LANGUAGES = languages()
OTHERS = [language for language in LANGUAGES if language != "en"]
DIMENSIONS = set(quantities.DIMENSIONS) | set(figures._SPECIAL)
SPEAK = {"Said", "Step", "WrongError"}
TALK = {"text", "text_html", "fault", "_remark", "_progress"}
BY_KEY = {"fault": 1}  # where the key is not the first thing handed over


def entries(language):
    """Every entry of every wing; the shared words of the first wing by their own keys."""
    return {key: entry for wing in WINGS for key, entry in catalogue(language).wing(wing).items()}


@cache
def uses():
    """Keys the code speaks by: the pattern of each, the values it hands over (None: not to be told), and where."""
    found = []
    for path in HOUSE.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if not isinstance(node, ast.Call):
                continue
            name = node.func.id if isinstance(node.func, ast.Name) else getattr(node.func, "attr", "")
            place = BY_KEY.get(name, 0)
            if name not in SPEAK | TALK or len(node.args) <= place:
                continue
            for pattern in patterns(node.args[place]):
                given = {word.arg for word in node.keywords}
                found.append((pattern, None if None in given else frozenset(given), f"{path.name}:{node.lineno}", name))
    for path in [*HOUSE.glob("report/templates/*.html"), *HOUSE.glob("desk/templates/*.html")]:
        for key, more in re.findall(r'\bt\("([^"]+)"( ~)?', path.read_text(encoding="utf-8")):
            found.append((re.escape(key) + ("[^ ]+" if more else ""), None, path.name, "t"))
    return found


def patterns(node):
    """The keys an expression may be, each as a pattern."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return [re.escape(node.value)]
    if isinstance(node, ast.JoinedStr):
        parts = [re.escape(p.value) if isinstance(p, ast.Constant) else "[^ ]+" for p in node.values]
        return ["".join(parts)]
    if isinstance(node, ast.IfExp):
        return patterns(node.body) + patterns(node.orelse)
    return []


def texts(entry):
    """Every text of an entry, by its path in it."""
    if isinstance(entry, str):
        return {(): entry}
    told = {}
    for name, child in entry.items():
        if isinstance(child, str | dict) and name != "by":
            told |= {(name, *path): text for path, text in texts(child).items()}
    return told


def named(text):
    return {name for _, name, _, _ in Formatter().parse(text) if name is not None}


def test_the_code_speaks_at_all():
    assert len(uses()) > 500
    assert len(LANGUAGES) > 1


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_statement_of_the_code_has_its_words(language):
    known = entries(language)
    lost = {
        f"{pattern} ({where})"
        for pattern, _, where, _ in uses()
        if not any(re.fullmatch(pattern, key) for key in known)
    }
    assert lost == set()


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_sentence_names_only_values_that_are_handed_over(language):
    known, wrong = entries(language), set()
    for pattern, given, where, name in uses():
        if given is None or name == "Step" or "[^ ]+" in pattern:
            continue
        for key in (key for key in known if re.fullmatch(pattern, key)):
            lacking = set().union(*(named(text) for path, text in texts(known[key]).items() if path[:1] != ("why",)))
            later = {"names"} if key.startswith("assumed.") else set()  # whose it holds for is put in afterwards
            wrong |= {f"{key} ({where}): {value}" for value in lacking - given - later}
    assert wrong == set()


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_line_of_the_working_has_its_label_and_its_equation(language):
    known, steps = entries(language), [pattern for pattern, _, _, name in uses() if name == "Step"]
    sure = {key for key in known if any(re.fullmatch(pattern, key) for pattern in steps if "[^ ]+" not in pattern)}
    told = {key for key, entry in known.items() if isinstance(entry, dict) and "step" in entry}
    assert len(sure) > 20
    assert sure - told == set()
    assert told == set(equations())


@pytest.mark.parametrize("language", OTHERS)
def test_a_language_has_all_that_english_has_and_no_more(language):
    english, other = entries("en"), entries(language)
    assert set(english) - set(other) == set()
    assert set(other) - set(english) == set()
    for key, entry in english.items():
        if isinstance(entry, dict) and key != "yes":
            assert set(entry) - set(other[key]) - set(LENGTHS) == set(), key


@pytest.mark.parametrize("language", OTHERS)
def test_a_sentence_names_no_value_that_the_english_one_does_not(language):
    english, other = entries("en"), entries(language)
    for key, entry in other.items():
        mine, theirs = (set().union(*map(named, texts(one).values())) for one in (entry, english[key]))
        assert mine - theirs == set(), key


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_choice_has_a_sentence_for_every_count_or_every_word_english_tells_apart(language):
    english = entries("en")
    plurals = {
        Locale.parse(code).plural_form.tags | {"other"} for code in catalogue(language).writing["locales"].values()
    }
    counts = frozenset().union(*plurals)

    def check(key, mine, theirs):
        for name in theirs:
            child = mine.get(name) if isinstance(mine, dict) else None
            if isinstance(theirs[name], dict):
                if isinstance(child, dict):
                    check(key, child, theirs[name])
            elif "by" in theirs and name not in counts and not name.isdigit():
                assert name in mine, f"{key}: {name}"
        if "by" in theirs and {"one", "other"} & set(theirs):
            assert "other" in mine, key

    for key, entry in english.items():
        if isinstance(entry, dict):
            check(key, entries(language)[key], entry)


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_question_has_its_words_its_reason_and_its_choices(language):
    known = entries(language)
    for name in ("questions.toml", "plate.toml"):
        for question in written(name):
            entry = known[question.said]
            assert entry["full"], question.id
            assert entry["why"], question.id
            named_in_words = set(entry.get("choices", {}))
            assert named_in_words <= set(question.choices) | {"yes", "no"}, question.id


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_term_the_code_uses_has_its_word(language):
    terms = set(catalogue(language).wing("common")["terms"])
    assert terms == set(catalogue("en").wing("common")["terms"])


@pytest.mark.parametrize("language", OTHERS)
def test_every_text_of_the_rules_that_is_shown_has_its_own(language):
    told = catalogue(language).rules
    assert sorted(text for text in shown_of_rules() if text not in told) == []
    rules = load_rules()
    there = {text for name in type(rules).model_fields for text in keys_in(getattr(rules, name))}
    there |= set(rules.transport.tie_downs.limits)
    assert sorted(set(told) - there - said_by_files()) == []


def shown_of_rules():
    """The texts of the rules that a reader meets, but those that are signs or numbers."""
    r = load_rules()
    shown = {row.says for table in (r.cautions, r.fitting, r.glossary, r.drainage, r.covers) for row in table.values()}
    shown |= {row.says for table in (r.goods, r.helps, r.presumptive) for row in table.values()}
    shown |= {text for row in r.walkaround.values() for text in (row.look, row.stop)}
    shown |= (
        {row.try_ for row in r.nothing_happens.values()}
        | {row.says for row in r.first.values()}
        | {work.why for work in r.work.values()}
    )
    shown |= {text for q in r.questions.values() for text in (q.asks, q.short, q.care, q.legend, q.swing)}
    shown |= {
        *r.glossary,
        *r.work,
        *r.surfaces,
        *r.attachments,
        *r.goods,
        *r.machine_classes,
        *r.transport.tie_downs.limits,
        *r.traction,
    }
    shown |= {text for soil in r.soils.values() for text in (soil.name, soil.instead)}
    shown |= {result.says for test in r.field_tests.values() for result in test.results.values()}
    shown.add(r.wear.debris.care)
    shown |= {test.how for test in r.field_tests.values()}
    shown |= {row.says for row in r.care.turns.values()} | {row.remedy for row in r.care.surfaces.values()}
    laws = sorted({row.law for row in r.countries.values()})
    shown |= {text for row in r.care.forbidden.values() for text in (row.says, *map(row.lifted_by, laws))}
    shown |= {row.says for table in (r.snow.kinds, r.snow.under) for row in table.values()}
    for country in ("US", "UK", "EU"):
        shown |= {getattr(r.transport, country).says, getattr(r.transport, country).securement}
    return {text for text in shown if text and re.search("[a-z]{3}", text)}


@pytest.mark.parametrize("folder", ["checks", "plans", "scoring"])
def test_below_the_report_there_is_no_sentence(folder):
    """Any text with a space that is no docstring, no key and no name of the rules."""
    rules = load_rules()
    keys = {key for name in type(rules).model_fields for key in keys_in(getattr(rules, name)) if len(key.split()) < 5}
    keys |= said_by_files()
    told = []
    for path in (HOUSE / folder).rglob("*.py"):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        skip = set()
        for node in ast.walk(tree):
            if isinstance(node, ast.Expr | ast.Raise):
                skip |= {id(child) for child in ast.walk(node)}
            if isinstance(node, ast.AnnAssign | ast.arg | ast.FunctionDef):
                noted = [getattr(node, "annotation", None), getattr(node, "returns", None)]
                skip |= {id(child) for one in noted if one is not None for child in ast.walk(one)}
        for node in ast.walk(tree):
            if isinstance(node, ast.JoinedStr) and id(node) not in skip:
                skip |= {id(child) for child in node.values}
                parts = [p.value if isinstance(p, ast.Constant) else "{}" for p in node.values]
                pattern = "[^;:.]+".join(re.escape(part) for part in "".join(parts).split("{}"))
                if " " in "".join(parts) and not any(re.fullmatch(pattern, key) for key in keys):
                    told.append(f"{path.name}:{node.lineno}: {''.join(parts)}")
            if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in skip:
                text = node.value.strip()
                if " " in text and text not in keys and text not in DIMENSIONS and not text.startswith("number "):
                    told.append(f"{path.name}:{node.lineno}: {text}")
    assert told == []


def said_by_files():
    """Words a file may say under its keys."""
    code = " ".join(path.read_text(encoding="utf-8") for path in HOUSE.glob("inputs/*.py"))
    return set(re.findall(r'"([^"]+)"', " ".join(re.findall(r"Literal\[[^\]]*\]", code)))) | {"unknown"}


def keys_in(node):
    """Keys, tags and values of tables of the rules."""
    if isinstance(node, dict):
        for key, child in node.items():
            yield str(key)
            yield from keys_in(child)
    elif hasattr(type(node), "model_fields"):
        for name in type(node).model_fields:
            yield from keys_in(getattr(node, name))
    elif isinstance(node, list | tuple | set | frozenset):
        for child in node:
            yield from keys_in(child)
    elif isinstance(node, str):
        yield node


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_file_says_a_thing_twice(language):
    folder, seen = HOUSE / "report" / "words" / language, {}
    for wing in WINGS:
        for key in tomllib.loads((folder / f"{wing}.toml").read_text(encoding="utf-8")):
            assert key not in seen, f"{key} is in {seen.get(key)} and {wing}"
            seen[key] = wing
