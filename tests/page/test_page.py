"""The page as a file: whole, self-contained, safe against hostile names, readable at every width."""

import re
from functools import cache
from pathlib import Path

import html5lib
import pytest

from pickrig.inputs import read_fleet, read_job
from pickrig.inputs.board import read_board
from pickrig.inputs.year import read_year
from pickrig.log.entry import Entry
from pickrig.plans.buy.answer import buy
from pickrig.plans.day.answer import day
from pickrig.plans.pick.answer import pick
from pickrig.plans.yard.teaching import Yard
from pickrig.report.buy.page import as_buy_page
from pickrig.report.day.page import as_board_page
from pickrig.report.pick.page import as_page
from pickrig.report.words.reader import voice_of
from pickrig.rulebook import load_rules

EXAMPLES = Path(__file__).parents[2] / "examples"
HOSTILE = [
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "\u202egnp.exe",
    "x" * 200,
    "{{ 7*7 }}",
    "a & b < c > d ' e",
]


JOBS = [
    "muddy-lot.toml",
    "asphalt-yard.toml",
    "back-garden.toml",
    "dry-sand.toml",
    "ponding-silt.toml",
    "snow-lot.toml",
    "fence-posts.toml",
    "muddy-lot.toml, with a log",
]
LOGGED = tuple(
    Entry(
        job="An invented lot with rather a long name to it",
        machine=machine,
        day="2026-04-20",
        outcome=outcome,
        margin=1.4,
        chance=0.7,
        soil="CL",
        work="carry pallets",
        crew="Second crew",
        hours=6.0,
        on_site=5.0,
        answer='{"job": {"ground": {"wetness": "wet"}}}',
    )
    for machine, outcome in (("Wide-track 68", "held"), ("Tracked 64", "held"), ("Wheeled 66", "rutted"))
)
YEAR, DAY = "year.toml", "tuesday.toml"


@cache
def answer_of(name):
    rules = load_rules()
    fleet = "snow-fleet.toml" if "snow" in name else "fleet.toml"
    file, logged = name.split(",")[0], "with a log" in name
    yard = Yard(LOGGED, rules) if logged else None
    return pick(read_job(EXAMPLES / file, rules), read_fleet(EXAMPLES / fleet, rules), rules, draws=1000, yard=yard)


@cache
def page_of(name, language="en"):
    return as_page(answer_of(name), voice_of(language, None, "US", load_rules()))


@pytest.fixture(scope="module", params=JOBS)
def page(request):
    """The page of a pick."""
    return page_of(request.param)


@pytest.fixture(scope="module", params=[*JOBS, YEAR, DAY])
def any_page(request, yard):
    """The page of a pick, of a year or of a day."""
    return page_by_name(request.param, yard)


def page_by_name(name, yard):
    rules = load_rules()
    if name == DAY:
        return as_board_page(day(read_board(EXAMPLES / DAY, rules), read_fleet(EXAMPLES / "fleet.toml", rules), rules))
    if name != YEAR:
        return page_of(name)
    year, fleet = read_year(yard / YEAR, rules), read_fleet(yard / "candidates.toml", rules)
    return as_buy_page(buy(year, fleet, rules, draws=100))


def test_it_parses_as_html_without_an_error(any_page):
    html5lib.HTMLParser(strict=True).parse(any_page)


def test_it_asks_the_network_for_nothing_and_runs_no_script(any_page):
    assert not re.search(r"<script|<link|<iframe|<img|url\((?!#)|@import|\bsrc=", any_page)
    assert "default-src 'none'" in any_page
    assert len(any_page.encode()) < 300_000


def test_the_answer_comes_first_and_the_rest_is_folded_in_this_order(page):
    order = ["find", "why", "others", "change", "snow", "log", "sure", "costs"]
    order += ["ground", "job", "every", "working", "assumed", "told", "terms"]
    found = re.findall(r'<div id="(\w+)">|<section id="(\w+)">', page)
    told = [fold or section for fold, section in found]
    assert told == [name for name in order if name in told]
    assert set(order) - set(told) <= {"find", "snow", "log", "ground"}
    assert page.index("<svg") < page.index("<main")
    for target in re.findall(r'href="#(\w+)"', page[: page.index("<main")]):
        assert f'id="{target}"' in page


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_names_are_text(edited, rules, fleet, name):
    job = read_job(edited("muddy-lot.toml"), rules).model_copy(update={"title": name})
    machine = fleet.machines[4].model_copy(update={"name": name})
    answer = pick(job, fleet.model_copy(update={"machines": (machine,)}), rules, draws=400)
    page = as_page(answer)
    html5lib.HTMLParser(strict=True).parse(page)
    assert "<script" not in page
    assert "<img" not in page
    assert ">49<" not in page


def test_no_sideways_scroll_and_a_silent_console(browser, any_page, tmp_path):
    path = tmp_path / "page.html"
    path.write_text(any_page, encoding="utf-8")
    tab = browser.new_page()
    told, asked = [], []
    tab.on("console", lambda message: told.append(message.text))
    tab.on("request", lambda request: asked.append(request.url))
    tab.goto(path.as_uri())
    tab.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
    for width in (320, 390, 768, 1280):
        tab.set_viewport_size({"width": width, "height": 800})
        assert tab.evaluate("document.documentElement.scrollWidth") <= width
    assert told == []
    assert asked == [path.as_uri()]
    tab.close()


def test_on_paper_what_is_folded_is_printed(browser, any_page, tmp_path):
    path = tmp_path / "page.html"
    path.write_text(any_page, encoding="utf-8")
    tab = browser.new_page()
    tab.goto(path.as_uri())
    tab.emulate_media(media="print")
    folds = "details:not(.annex, .annex *) > div"
    heights = tab.evaluate(f"[...document.querySelectorAll('{folds}')].map(d => d.getBoundingClientRect().height)")
    assert heights or 'class="sheet"' in any_page  # a board is hung up a day a sheet, with nothing folded on it
    assert min(heights, default=1) > 0
    tab.close()


WORDS = """() => {
  const told = [], walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let n; (n = walk.nextNode()); ) {
    if (!n.textContent.trim() || !n.parentElement.checkVisibility()) continue;
    const range = document.createRange();
    range.selectNodeContents(n);
    if (range.getBoundingClientRect().top < innerHeight) told.push(...n.textContent.trim().split(/\\s+/));
  }
  return told.length;
}"""


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("name", [*JOBS, "soft-strip.toml", "dock-yard-snow.toml", "torn-down-shed.toml"])
def test_the_page_keeps_its_budgets(browser, tmp_path, name, language):
    """First screen, screens of a telephone, words, height at the desk, sheets of paper."""
    path = tmp_path / "page.html"
    path.write_text(page_of(name, language), encoding="utf-8")
    tab = browser.new_page(viewport={"width": 390, "height": 844})
    tab.goto(path.as_uri())
    assert tab.evaluate(WORDS) <= 110  # 90 of the first screen, and what heads the next
    nav = tab.evaluate("document.querySelector('nav').getBoundingClientRect().bottom")
    assert nav <= 844, "the answer does not fit the first screen"
    assert tab.evaluate("document.documentElement.scrollHeight") <= 5 * 844
    assert len(tab.evaluate("document.body.innerText").split()) <= 700
    tab.set_viewport_size({"width": 1280, "height": 800})
    assert tab.evaluate("document.documentElement.scrollHeight") <= 3000
    assert len(re.findall(rb"/Type\s*/Page\b", tab.pdf(format="A4"))) <= 4
    tab.close()


@pytest.mark.parametrize("name", [YEAR, DAY])
def test_the_owners_and_the_dispatchers_page_keep_theirs(browser, tmp_path, yard, name):
    """Screens of a telephone, words, height at the desk, sheets of paper: a board has one a day and one more."""
    path = tmp_path / "page.html"
    path.write_text(page_by_name(name, yard), encoding="utf-8")
    tab = browser.new_page(viewport={"width": 390, "height": 844})
    tab.goto(path.as_uri())
    assert tab.evaluate("document.documentElement.scrollHeight") <= 5 * 844
    assert len(tab.evaluate("document.body.innerText").split()) <= 750
    tab.set_viewport_size({"width": 1280, "height": 800})
    assert tab.evaluate("document.documentElement.scrollHeight") <= 3000
    assert len(re.findall(rb"/Type\s*/Page\b", tab.pdf(format="A4"))) <= 4
    tab.close()


BROKEN = """() => {
  const told = [];
  for (const cell of document.querySelectorAll('td, th, dd, dt, figcaption, svg text')) {
    if (!cell.checkVisibility() || getComputedStyle(cell.closest('thead') || cell).position === 'absolute') continue;
    const walk = document.createTreeWalker(cell, NodeFilter.SHOW_TEXT);
    for (let n; (n = walk.nextNode()); ) {
      for (const word of n.textContent.matchAll(/\\S+/g)) {
        const range = document.createRange();
        range.setStart(n, word.index);
        range.setEnd(n, word.index + word[0].length);
        const lines = new Set([...range.getClientRects()].map(r => Math.round(r.top)));
        if (lines.size > 1 && word[0].length < 20 && !/[-/]/.test(word[0])) told.push(word[0]);
      }
    }
  }
  return told;
}"""


@pytest.mark.parametrize(
    "name", ["muddy-lot.toml", "muddy-lot.toml, with a log", "snow-lot.toml", "soft-strip.toml", YEAR, DAY]
)
def test_no_word_or_number_breaks_and_nothing_is_cut_at_any_width(browser, tmp_path, yard, name):
    rules = load_rules()
    if name == DAY:
        plan = day(read_board(EXAMPLES / DAY, rules), read_fleet(EXAMPLES / "fleet.toml", rules), rules)
        text = as_board_page(plan)
    elif name == YEAR:
        year, fleet = read_year(yard / YEAR, rules), read_fleet(yard / "candidates.toml", rules)
        text = as_buy_page(buy(year, fleet, rules, draws=100))
    else:
        text = page_of(name)
    path = tmp_path / "page.html"
    path.write_text(text, encoding="utf-8")
    tab = browser.new_page()
    tab.goto(path.as_uri())
    tab.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
    for width in (320, 360, 390, 640, 768, 1280, 1600):  # 640: a desk at 200 %
        tab.set_viewport_size({"width": width, "height": 800})
        assert tab.evaluate(BROKEN) == [], width
        assert tab.evaluate("document.documentElement.scrollWidth") <= width
    tab.close()


def test_the_pictures_show_the_numbers_of_the_answer(rules, fleet):
    """Dots that stand are the times in 20 that are told; the drawn clearance is the finding's, to scale."""
    answer = pick(read_job(EXAMPLES / "muddy-lot.toml", rules), fleet, rules, draws=1000)
    page = as_page(answer)
    first = page[: page.index("<main")]
    assert first.count('class="stands"') == round(20 * answer.pick.finding("floats").chance)
    assert first.count('class="stands"') + first.count('class="sunk"') == 20
    left, _, right = (
        float(x) for x in re.search(r'd="M([\d.]+) 156v8M([\d.]+) 156v8M[\d.]+ 160H([\d.]+)"', first).groups()
    )
    drawn = float(re.search(r'data-clear="([\d.]+)"', first)[1])
    fits = answer.pick.finding("fits")
    assert drawn / (right - left) == pytest.approx(fits.value / answer.job.access.gate, abs=0.002)
    assert answer.scene.gate.clearance == pytest.approx(fits.value)


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize(
    "name",
    ["muddy-lot.toml", "load-out.toml", "snow-lane.toml", "fence-posts.toml", "asphalt-yard.toml", "thaw-by-ten.toml"],
)
def test_the_sheet_is_one_sheet_of_paper(browser, tmp_path, name, language):
    from pickrig.report.pick.sheet import as_sheet

    answer = answer_of(name)
    text = as_sheet(answer, voice_of(language, None, answer.job.country, load_rules()))
    html5lib.HTMLParser(strict=True).parse(text)
    numbers = re.findall(r'text-anchor="middle">(\d+)</text>', text[text.index('class="machine"') :])
    assert len(set(numbers)) == len(numbers) >= 12
    assert max(map(int, numbers)) <= len(answer.walkaround)
    path = tmp_path / "sheet.html"
    path.write_text(text, encoding="utf-8")
    tab = browser.new_page(viewport={"width": 360, "height": 800})
    tab.goto(path.as_uri())
    assert tab.evaluate("document.documentElement.scrollWidth") <= 360
    for paper in ("A4", "Letter"):
        assert len(re.findall(rb"/Type\s*/Page\b", tab.pdf(format=paper))) == 1, paper
    tab.close()


@pytest.mark.parametrize("any_page", ["snow-lot.toml", "ponding-silt.toml", YEAR, DAY], indirect=True)
def test_no_accessibility_rule_is_broken(any_page, broken_rules, tmp_path):
    path = tmp_path / "page.html"
    path.write_text(any_page, encoding="utf-8")
    assert broken_rules(path.as_uri()) == []


def test_the_sheet_breaks_no_accessibility_rule(broken_rules, tmp_path):
    from pickrig.report.pick.sheet import as_sheet

    rules = load_rules()
    answer = pick(read_job(EXAMPLES / "load-out.toml", rules), read_fleet(EXAMPLES / "fleet.toml", rules), rules)
    path = tmp_path / "sheet.html"
    path.write_text(as_sheet(answer), encoding="utf-8")
    assert broken_rules(path.as_uri()) == []
