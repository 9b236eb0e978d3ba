"""The page and the sheet in Spanish: nothing English left in what people read, numbers as Spanish writes them."""

import html
import re
import tomllib
from pathlib import Path

import html5lib
import pytest

from pickrig.guide.job_text import job_text
from pickrig.inputs import read_fleet, read_job
from pickrig.inputs.job_file import job_of
from pickrig.plans.pick.answer import pick
from pickrig.reading import parse_toml
from pickrig.report.language import language
from pickrig.report.pick.page import as_page
from pickrig.report.pick.sheet import as_sheet
from pickrig.rulebook import load_rules

ROOT = Path(__file__).parents[2]
EXAMPLES, CATALOGUES = ROOT / "examples", ROOT / "pickrig" / "report" / "languages" / "es"
JOBS = sorted(p.name for p in EXAMPLES.glob("*.toml") if "task" in tomllib.loads(p.read_text(encoding="utf-8")))
LINES = [
    pytest.param(english, spanish, id=english[:40])
    for path in sorted(CATALOGUES.glob("*.toml"))
    for table in tomllib.loads(path.read_text(encoding="utf-8")).values()
    if isinstance(table, dict) and path.stem != "numbers"
    for english, spanish in table.items()
]
ENGLISH = re.compile(r"\b(the|of|with|and|is|its|it|at|for|not|from|over|this|that|which|when|points|chance)\b")


def answer_to(name, units="us"):
    rules = load_rules()
    fleet = "snow-fleet.toml" if name.startswith("snow") else "fleet.toml"
    job = read_job(EXAMPLES / name, rules).model_copy(update={"title": "Obra", "note": "Inventada"})
    return pick(job, read_fleet(EXAMPLES / fleet, rules), rules, units=units, draws=500)


def read_by_people(page):
    """The texts of a page, without its style, and without the working and the citations, which stay English."""
    page = re.sub(r"<style>.*?</style>", "", page, flags=re.S)
    page = re.sub(r"<h2>Las cuentas</h2>.*?(?=<section><h2>)", "", page, flags=re.S)
    page = re.sub(r'<span class="quiet small">\([^<]*\)</span>', "", page)
    page = re.sub(r"</?(?:a|strong|em|b|code)\b[^>]*>", "", page)
    return [html.unescape(line).strip() for line in re.sub(r"<[^>]+>", "\n", page).splitlines()]


def test_every_line_names_the_same_things_in_both_languages():
    for english, spanish in (param.values for param in LINES):
        assert set(re.findall(r"\{(\w+)\}", english)) >= set(re.findall(r"\{(\w+)\}", spanish)), english


# Jobs the examples do not call for, the dangerous ones first: no sentence of theirs may stay English, or half of it.
LOT = {"title": "Obra", "work": "carry pallets", "load": "1,600 lb", "pieces": "14", "soil": "lean clay"}
LOT |= {"wetness": "wet", "gate": "72 in"}
SNOW = {"work": "clear snow", "soil": "", "snow_length": "150 ft", "snow_breadth": "200 ft", "window": "2 h"}
OTHERS = [
    {"power_lines": "near"},
    {"septic": "on the route"},
    {"services": "unmarked", "work": "trench", "run": "180 ft"},
    {"standing_water": "yes", "soil": "topsoil"},
    {"grade": "25 %"},
    {"grade": "40 %"},
    {"soil": "peat"},
    {"soil": "backfill"},
    {"soil": "gravel", "gate": "30 in"},
    {"soil": "sand", "headroom": "70 in"},
    {"load": "4,000 lb", "wetness": "dry", "rain": "2 in"},
    {"work": "clear brush", "area": "9,000 ft2", "soil": "fat clay"},
    {"work": "sweep", "area": "9,000 ft2", "paving": "concrete", "paved_share": "100 %"},
    {"paving": "concrete", "paved_share": "60 %", "lawn_share": "20 %", "soil": "silty sand"},
    SNOW | {"snow_depth": "8 in", "snow_kind": "packs into a ball", "under": "unknown"},
    SNOW | {"snow_depth": "20 in", "snow_kind": "settled", "under": "packed snow"},
    SNOW | {"snow_depth": "8 in", "snow_kind": "slush", "under": "ice"},
]


@pytest.mark.parametrize("changed", OTHERS, ids=lambda changed: "-".join(changed.values())[:60])
def test_no_english_is_left_of_other_jobs(tmp_path, changed):
    rules, spanish = load_rules(), language("es", "us")
    job = job_of(parse_toml(tmp_path / "job.toml", job_text(None, LOT | changed, rules), "job"), rules)
    fleet = read_fleet(EXAMPLES / ("snow-fleet.toml" if job.snow else "fleet.toml"), rules)
    page = as_page(pick(job, fleet, rules, draws=500), spanish)
    assert [line for line in read_by_people(page) if ENGLISH.search(line)] == []


@pytest.mark.parametrize("frost", ["1 in", "3 in", "8 in", "20 in"])
@pytest.mark.parametrize("wetness", ["dry", "wet"])
def test_no_english_is_left_of_frozen_ground(tmp_path, frost, wetness):
    rules, spanish = load_rules(), language("es", "us")
    text = 'title = "Obra"\n[task]\nkind = "carry pallets"\nload = "1,600 lb"\n[access]\ngate = "open"\n'
    text += f'[ground]\nsoil = "lean clay"\nwetness = "{wetness}"\nfrost = "{frost}"\n'
    job = job_of(parse_toml(tmp_path / "job.toml", text, "job"), rules)
    page = as_page(pick(job, read_fleet(EXAMPLES / "fleet.toml", rules), rules, draws=500), spanish)
    assert [line for line in read_by_people(page) if ENGLISH.search(line)] == []


@pytest.mark.parametrize(("name", "units"), [(job, "us" if n % 2 else "metric") for n, job in enumerate(JOBS)])
def test_no_english_is_left_on_page_or_sheet(name, units):
    answer, spanish = answer_to(name, units), language("es", units)
    for page in (as_page(answer, spanish), as_sheet(answer, spanish)):
        html5lib.HTMLParser(strict=True).parse(page)
        assert '<html lang="es">' in page
        left = [line for line in read_by_people(page) if ENGLISH.search(line)]
        assert left == []


def test_every_text_of_the_rules_that_a_page_shows_has_its_spanish():
    rules, spanish = load_rules(), language("es", "us")
    shown = [row.says for row in rules.cautions.values()] + [row.says for row in rules.fitting.values()]
    shown += [text for step in rules.walkaround.values() for text in (step.look, step.stop) if text]
    shown += [row.try_ for row in rules.nothing_happens.values()]
    shown += [text for term, row in rules.glossary.items() for text in (term, row.says)]
    shown += [text for q in rules.questions.values() for text in (q.asks, q.short, q.care, q.legend, q.swing)]
    shown += [*rules.work, *rules.surfaces, *rules.attachments, *(soil.name for soil in rules.soils.values())]
    assert [text for text in shown if text not in spanish.lines] == []


def lifts(row):
    """What would lift a danger, in each country."""
    return {row.lifted_by(country) for country in ("US", "UK", "EU")}


def test_every_danger_and_remedy_of_the_rules_is_said_in_spanish():
    rules, spanish = load_rules(), language("es", "us")
    said = [text for row in rules.care.forbidden.values() for text in (row.says, *lifts(row))]
    said += [row.remedy for row in rules.care.surfaces.values()] + [row.instead for row in rules.soils.values()]
    for text in said:
        assert not ENGLISH.search(spanish.say(text)), text
    assert spanish.misses == set()


def test_every_heading_and_label_of_the_templates_has_its_spanish():
    spanish = language("es", "us")
    for name in ("page.html", "sheet.html", "layout.html"):
        text = (ROOT / "pickrig" / "report" / "templates" / name).read_text(encoding="utf-8")
        assert [said for said in re.findall(r'_\("([^"]*)"', text) if said not in spanish.lines | spanish.frame] == []


def test_numbers_and_units_are_written_as_spanish_does():
    feet, metres = language("es", "us"), language("es", "metric")
    assert feet.say("it may carry 2,105 lb on its bucket") == "puede llevar 2,105 lb en cucharón"
    assert metres.say("it may carry 2,105.5 kg on its bucket") == "puede llevar 2.105,5 kg en cucharón"
    assert feet.say("the gate is 72 in, it needs 6 ft 8 in") == "el paso es de 72 pulg, necesita 6 pies 8 pulg"
    assert metres.say("2026-04-21") == "2026-04-21"


def test_english_is_as_it_was_and_names_are_never_translated():
    answer = answer_to("muddy-lot.toml")
    assert as_page(answer) == as_page(answer, language("en", "us"))
    machine = answer.ranking[0].machine.model_copy(update={"name": "Wide-track 68"})
    assert machine.name in as_page(answer, language("es", "us"))


def test_what_has_no_line_stays_english_and_is_counted():
    spanish = language("es", "us")
    assert spanish.say("A sentence nobody translated. Too heavy.") == "A sentence nobody translated. Demasiado pesada."
    assert spanish.misses == {"A sentence nobody translated"}


@pytest.mark.parametrize("name", ["<script>alert(1)</script>", "{m} leads {0}", "a. b; c: d", "x" * 200])
def test_hostile_names_are_text_in_spanish_too(name):
    answer = answer_to("back-garden.toml")
    job = answer.job.model_copy(update={"title": name})
    rules = load_rules()
    page = as_page(pick(job, read_fleet(EXAMPLES / "fleet.toml", rules), rules, draws=400), language("es", "us"))
    html5lib.HTMLParser(strict=True).parse(page)
    assert "<script" not in page
    assert html.escape(name, quote=False) in page.replace("&#34;", '"').replace("&#39;", "'")
