"""The desk in a real browser, at a telephone's width, with script and without, by keyboard and by thumb."""

import re
import shutil
import socket
import threading
import time
from pathlib import Path

import pytest
import uvicorn

from pickrig.desk.app import build
from pickrig.rulebook import load_rules

EXAMPLES = Path(__file__).parents[2] / "examples"
PHONE = {"width": 360, "height": 740}


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    place = tmp_path_factory.mktemp("desk")
    for name in ("muddy-lot.toml", "snow-lot.toml", "ponding-silt.toml", "dock-lane-weather.csv", "fleet.toml"):
        shutil.copy(EXAMPLES / name, place)
    return place


@pytest.fixture(scope="module")
def desk(folder):
    """A running desk and its address."""
    with socket.socket() as listening:
        listening.bind(("127.0.0.1", 0))
        port = listening.getsockname()[1]
        server = uvicorn.Server(uvicorn.Config(build(folder, load_rules(), port), log_level="error"))
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
        thread.start()
        while not server.started:
            time.sleep(0.01)
        yield f"http://127.0.0.1:{port}"
        server.should_exit = True
        thread.join(10)


@pytest.fixture
def tab(browser):
    """A page that remembers what its console said and what it asked for."""
    page = browser.new_page(viewport=PHONE)
    page.told, page.asked_for = [], []
    page.on("console", lambda message: page.told.append(message.text))
    page.on("pageerror", lambda error: page.told.append(str(error)))
    page.on("request", lambda request: page.asked_for.append(request.url))
    yield page
    page.close()


PAGES = [
    "/",
    "/job",
    "/job?file=muddy-lot.toml",
    "/job?file=snow-lot.toml",
    "/fleet?file=fleet.toml&machine=1",
    "/log?file=muddy-lot.toml&fleet=fleet.toml",
    "/job?file=none.toml",
]


@pytest.mark.parametrize("path", PAGES)
def test_every_page_fits_a_telephone_is_silent_and_breaks_no_rule(desk, tab, broken_rules, path):
    tab.goto(desk + path)
    for width in (360, 768, 1280):
        tab.set_viewport_size({"width": width, "height": 800})
        assert tab.evaluate("document.documentElement.scrollWidth") <= width
    quiet = [line for line in tab.told if "400 (Bad Request)" not in line]  # what the last of the pages is meant to be
    assert quiet == []
    assert all(url.startswith((desk, "data:")) for url in tab.asked_for)
    assert broken_rules(desk + path) == []


def leader(tab):
    return tab.inner_text("#glance h2")


def test_a_slider_moves_the_ranking(desk, tab):
    tab.goto(f"{desk}/job?file=muddy-lot.toml")
    assert "Best bet: Wide-track 68" in leader(tab)
    slider = tab.get_by_label("Slider: How wide is the narrowest gate")
    slider.fill("42")
    assert tab.input_value("#a-gate") == "42 in"
    tab.locator("#glance h2", has_text="be Stand-on 36").wait_for()
    assert tab.told == []


def test_more_rain_takes_the_ground_away(desk, tab):
    tab.goto(f"{desk}/job?file=muddy-lot.toml")
    tab.select_option("#a-wetness", "moist")
    chance = []
    for rain in ("0.1 in", "3 in"):
        with tab.expect_response("**/glance"):
            tab.fill("#a-rain", rain)
        tab.locator("#glance:not(.waiting)").wait_for()
        holds = re.findall(r"ground (?:watch|no) (?:under )?(\d+) in 20", tab.inner_text("#glance"))
        chance.append(min(map(int, holds), default=20))
    assert chance[1] < chance[0]


def test_questions_come_and_go_with_the_work(desk, tab):
    tab.goto(f"{desk}/job")
    assert tab.is_hidden("#q-snow_depth")
    tab.select_option("#a-work", "clear snow")
    tab.wait_for_selector("#q-snow_depth:visible")
    assert tab.is_hidden("#q-load")


def test_from_an_empty_page_to_a_hand_over_sheet_by_keyboard(desk, tab, folder):
    tab.goto(desk)
    tab.get_by_role("link", name="Describe a new job").focus()
    tab.keyboard.press("Enter")
    tab.wait_for_selector("#a-title")
    tab.focus("#a-title")
    tab.keyboard.type("Larch Road, topsoil")
    tab.keyboard.press("Tab")
    tab.keyboard.type("move")  # a list goes to what is typed
    tab.wait_for_selector("#q-load:visible")
    for key in ("load", "soil", "wetness", "gate"):
        tab.focus(f"#a-{key}")
        tab.keyboard.type({"load": "1,200 lb", "soil": "ordinary", "wetness": "wet", "gate": "8 ft"}[key])
    tab.locator("#glance h2", has_text="Next best").wait_for()
    reached = []
    tab.focus("#a-gate")
    for _ in range(40):
        tab.keyboard.press("Tab")
        reached.append(tab.evaluate("document.activeElement.value"))
        if reached[-1] == "save":
            break
    assert reached[-1] == "save"
    tab.keyboard.press("Enter")
    tab.wait_for_selector("text=Saved as larch-road-topsoil.toml")
    assert (folder / "larch-road-topsoil.toml").exists()
    tab.get_by_role("link", name="Hand-over sheet").click()
    tab.wait_for_selector("h1")
    assert len(re.findall(rb"/Type\s*/Page\b", tab.pdf(format="A4"))) == 1
    assert tab.told == []


def test_without_script_the_same_answer_comes_by_the_button(desk, browser):
    context = browser.new_context(java_script_enabled=False, viewport=PHONE)
    page = context.new_page()
    page.goto(f"{desk}/job?file=muddy-lot.toml")
    page.fill("#a-gate", "42 in")
    page.get_by_role("button", name="Look again").click()
    assert "would be Stand-on 36" in page.inner_text("#glance h2")
    assert page.input_value("#a-gate") == "42 in"
    context.close()


def test_a_desk_that_is_gone_says_so_and_the_answers_stay(desk, tab):
    tab.goto(f"{desk}/job?file=muddy-lot.toml")
    tab.route("**/glance", lambda route: route.abort())
    tab.fill("#a-gate", "44 in")
    tab.locator("#glance", has_text="does not answer").wait_for()
    assert tab.input_value("#a-gate") == "44 in"


def test_what_a_machine_stands_on_decides_what_is_asked_of_it(desk, tab):
    tab.goto(f"{desk}/fleet?file=fleet.toml&machine=1")
    assert tab.is_visible("#q-wheelbase")
    assert tab.is_hidden("#q-contact_length")
    tab.select_option("#a-gear", "tracks")
    assert tab.is_hidden("#q-wheelbase")
    assert tab.is_visible("#q-contact_length")


def test_a_slider_nobody_moved_points_at_nothing(tab, desk):
    tab.goto(f"{desk}/job")
    gate = tab.locator("#q-gate .entry")
    slider = gate.locator("input[type=range]")
    assert slider.evaluate("s => s.classList.contains('unset') && Number(s.value) === Number(s.min)")
    assert slider.get_attribute("aria-valuetext") == "not said"
    assert gate.locator("input:not([type=range])").get_attribute("placeholder").startswith("such as ")
    slider.evaluate("s => { s.value = 60; s.dispatchEvent(new Event('input', { bubbles: true })); }")
    assert not slider.evaluate("s => s.classList.contains('unset')")
