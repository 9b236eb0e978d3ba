"""The page as a file: whole, self-contained, safe against hostile names, readable at every width."""

import re
from functools import cache
from pathlib import Path

import html5lib
import pytest

from pickrig.inputs import read_fleet, read_job
from pickrig.inputs.board import read_board
from pickrig.inputs.year import read_year
from pickrig.plans.buy.answer import buy
from pickrig.plans.day.answer import day
from pickrig.plans.pick.answer import pick
from pickrig.report.buy.page import as_buy_page
from pickrig.report.day.page import as_board_page
from pickrig.report.pick.page import as_page
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
]
YEAR, DAY = "year.toml", "tuesday.toml"


@cache
def page_of(name):
    rules = load_rules()
    return as_page(
        pick(read_job(EXAMPLES / name, rules), read_fleet(EXAMPLES / "fleet.toml", rules), rules, draws=1000)
    )


@pytest.fixture(scope="module", params=JOBS)
def page(request):
    """The page of a pick."""
    return page_of(request.param)


@pytest.fixture(scope="module", params=[*JOBS, YEAR, DAY])
def any_page(request, yard):
    """The page of a pick, of a year or of a day."""
    rules = load_rules()
    if request.param == DAY:
        return as_board_page(day(read_board(EXAMPLES / DAY, rules), read_fleet(EXAMPLES / "fleet.toml", rules), rules))
    if request.param != YEAR:
        return page_of(request.param)
    year, fleet = read_year(yard / YEAR, rules), read_fleet(yard / "candidates.toml", rules)
    return as_buy_page(buy(year, fleet, rules, draws=100))


def test_it_parses_as_html_without_an_error(any_page):
    html5lib.HTMLParser(strict=True).parse(any_page)


def test_it_asks_the_network_for_nothing_and_runs_no_script(any_page):
    assert not re.search(r"<script|<link|<iframe|<img|url\((?!#)|@import|\bsrc=", any_page)
    assert "default-src 'none'" in any_page
    assert len(any_page.encode()) < 300_000


def test_the_order_is_answer_why_change_grid_ground_working_assumed_cautions_walk_words(page):
    heads = re.findall(r"<h2>(.*?)</h2>", page)
    order = [
        "Find out first",
        "Why",
        "What would change it",
        "Worth finding out tonight",
        "Wheels or tracks in this snow",
        "When",
        "Every machine, every question",
        "How sure",
        "What it costs",
        "The ground, and what each machine asks of it",
        "What would carry it",
        "The working",
        "Limits for today",
        "Taken for granted",
        "Watch out",
        "Walk around",
        "Won&#39;t start or move? Try this first",
        "Terms",
    ]
    sometimes = {
        "Find out first",
        "Worth finding out tonight",
        "When",
        "What would carry it",
        "Wheels or tracks in this snow",
    }
    told = ["Walk around" if head.startswith("Walk around") else head for head in heads]
    assert told == [head for head in order if head in told]
    assert set(order) - set(told) <= sometimes


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


def test_on_paper_the_working_is_printed(browser, any_page, tmp_path):
    path = tmp_path / "page.html"
    path.write_text(any_page, encoding="utf-8")
    tab = browser.new_page()
    tab.goto(path.as_uri())
    tab.emulate_media(media="print")
    heights = tab.evaluate("[...document.querySelectorAll('details > div')].map(d => d.getBoundingClientRect().height)")
    assert heights
    assert min(heights) > 0
    tab.close()


@pytest.mark.parametrize("name", ["muddy-lot.toml", "load-out.toml", "snow-lane.toml", "fence-posts.toml"])
def test_the_sheet_is_one_sheet_of_paper(browser, tmp_path, name):
    from pickrig.report.pick.sheet import as_sheet

    rules = load_rules()
    fleet = "snow-fleet.toml" if name.startswith("snow") else "fleet.toml"
    text = as_sheet(pick(read_job(EXAMPLES / name, rules), read_fleet(EXAMPLES / fleet, rules), rules, draws=500))
    html5lib.HTMLParser(strict=True).parse(text)
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
