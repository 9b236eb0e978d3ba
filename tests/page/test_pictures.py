"""The pictures are what the numbers say: positions, counts and scales."""

import datetime as dt

import pytest

from pickrig.inputs import read_fleet, read_job
from pickrig.plans.pick.answer import pick
from pickrig.plans.pick.record import InTheGate, OnTheArms, OnTheLot
from pickrig.report.pick.terminal import as_text, as_why
from pickrig.report.pictures.arms import arms_picture
from pickrig.report.pictures.gate import gate_picture
from pickrig.report.pictures.grounds import Grounds
from pickrig.report.pictures.lot import lot_picture
from pickrig.report.pictures.machine import machine_picture
from pickrig.report.pictures.plot import plot
from pickrig.report.words.catalogue import languages
from pickrig.report.words.reader import voice_of
from tests.conftest import EXAMPLES

JOBS = sorted(path.name for path in EXAMPLES.glob("*.toml") if "\n[task]" in path.read_text(encoding="utf-8"))


def gate(**update):
    given = {"opening": 1.83, "width": 1.73, "height": 2.0, "tool": 1.22, "headroom": None}
    given |= {"gear_width": 0.45, "gear_height": 0.7, "stands_on": False}
    return InTheGate(**{**given, **update})


@pytest.mark.parametrize(("width", "tool"), [(1.73, 1.22), (1.07, 1.52), (1.80, 1.80)])
def test_the_machine_stands_in_its_gate_to_scale(width, tool):
    drawn = gate_picture(gate(width=width, tool=tool))
    scale = (drawn.right - drawn.left) / 1.83
    assert (drawn.edge - drawn.left) / scale == pytest.approx((1.83 - max(width, tool)) / 2, abs=0.003)
    assert drawn.tool.width / scale == pytest.approx(tool, abs=0.003)
    assert (drawn.gears[1].x + drawn.gears[1].width - drawn.gears[0].x) / scale == pytest.approx(width, abs=0.003)


def test_a_machine_too_wide_is_drawn_over_the_posts_and_a_wide_way_in_is_not_drawn():
    drawn = gate_picture(gate(width=2.1))
    assert drawn.edge < drawn.left
    assert gate_picture(gate(opening=8.0)) is None
    assert gate_picture(None) is None


def test_headroom_is_a_beam_above_the_machine():
    low, high = (gate_picture(gate(headroom=height)) for height in (1.9, 2.4))
    top = [min(float(path.split()[0][1:]) for path in drawn.above) for drawn in (low, high)]
    assert low.beam is not None
    assert high.beam is not None
    assert top


@pytest.mark.parametrize("holding", [0, 1, 15, 20])
def test_as_many_dots_stand_as_grounds_hold(holding):
    drawn = Grounds(holding)
    assert sum(not dot.sunk for dot in drawn.dots) == holding
    assert len(drawn.dots) == 20
    assert drawn.line.count("Q") == 20 - holding


def test_a_lot_is_to_scale_with_its_lanes():
    drawn = lot_picture(OnTheLot("push", 46, 61, 28, 3, 1))
    assert drawn.width / drawn.height == pytest.approx(61 / 46, rel=0.01)
    assert len(drawn.lanes) == 27
    assert len(drawn.piles) == 1
    assert len(lot_picture(OnTheLot("push", 46, 61, 28, 3, 2)).piles) == 2
    assert lot_picture(OnTheLot("blow", 46, 61, 28, 1, 1)).piles == ()


def test_a_walk_of_which_nothing_would_be_seen_is_not_drawn():
    assert lot_picture(OnTheLot("windrow", 900, 2, 1, 1, 1)) is None


def test_a_load_stands_beside_what_may_be_carried_and_what_tips():
    drawn = arms_picture(OnTheArms(700, 1000, 2000))
    assert (drawn.load - 4) / (drawn.tips - 4) == pytest.approx(0.35, abs=0.001)
    assert (drawn.safe - 4) / (drawn.tips - 4) == pytest.approx(0.5, abs=0.001)


def test_lines_end_where_their_numbers_do():
    drawn = plot([("a", [0, 50, 100], [10.0, 30.0, 20.0]), ("b", [0, 50, 100], [0.0, 0.0, 0.0])], str, str, now=25)
    highest, level = (line.path for line in drawn.lines)
    places = [float(point.split()[1]) for point in highest[1:].split(" L")]
    assert places[1] < places[2] < places[0]
    assert len({point.split()[1] for point in level[1:].split(" L")}) == 1
    assert len({line.dash for line in drawn.lines}) == 2
    assert drawn.across[0].at < drawn.at < drawn.across[-1].at


@pytest.mark.parametrize("name", JOBS)
def test_every_kind_of_machine_has_the_points_of_its_walk_around(rules, name):
    fleet = read_fleet(EXAMPLES / ("snow-fleet.toml" if "snow" in name else "fleet.toml"), rules)
    answer = pick(read_job(EXAMPLES / name, rules), fleet, rules, draws=200)
    drawn = machine_picture(answer)
    parts = [look.part for look in answer.walkaround]
    told = {parts[point.number - 1] for point in drawn.points}
    assert {"oil", "coolant", "hydraulic", "fuel", "air", "master", "coupler", "couplings", "edge", "support"} <= told
    assert {"tracks", "undercarriage"} <= told or "tyres" in told
    places = [(point.label_x, point.label_y) for point in drawn.points]
    near = min(abs(a[0] - b[0]) + abs(a[1] - b[1]) for a in places for b in places if a != b)
    assert near > 24


@pytest.mark.parametrize("language", languages())
@pytest.mark.parametrize("name", JOBS)
def test_the_short_answer_is_short(rules, name, language, monkeypatch):
    monkeypatch.setenv("COLUMNS", "80")
    fleet = read_fleet(EXAMPLES / ("snow-fleet.toml" if "snow" in name else "fleet.toml"), rules)
    answer = pick(read_job(EXAMPLES / name, rules), fleet, rules, draws=200)
    voice = voice_of(language, None, answer.job.country, rules)
    lines = as_text(answer, voice).splitlines()
    assert len(lines) <= 13
    assert max(map(len, lines)) <= 80
    assert answer.pick.name in lines[0]
    assert len(as_why(answer, voice).splitlines()) > 40
    for question in answer.questions.values():
        assert voice.rule(question.asks)[:20] in as_why(answer, voice, voice.rule(question.short))


def test_a_day_along_the_clock_keeps_its_order():
    from pickrig.report.day.told import Trip
    from pickrig.report.pictures.clock import clock_picture

    class Call:
        name = "Job"

    class One:
        call = Call()
        start, arrive, end, back = (dt.datetime(2026, 4, 21, hour, tzinfo=dt.UTC) for hour in (7, 8, 10, 11))

    class Drive:
        def __init__(self, leaves, arrives, machine):
            self.leaves, self.arrives, self.machine = (
                *(dt.datetime(2026, 4, 21, h, tzinfo=dt.UTC) for h in (leaves, arrives)),
                machine,
            )

    trip = Trip((Drive(7, 8, "A"), Drive(8, 9, "")))
    drawn = clock_picture([("A", [One()])], [("Truck", [trip])], lambda moment: f"{moment:%H}")
    block = drawn.rows[0].blocks[0]
    assert block.out < block.x < block.x + block.width < block.home
    assert block.width == pytest.approx(2 * (block.home - block.x - block.width), abs=0.5)
    (haul,) = drawn.rows[1].hauls
    assert (haul.x, haul.x + haul.width) == (block.out, pytest.approx((block.x + block.width + block.x) / 2, abs=0.2))
    assert [drive.loaded for drive in haul.drives] == [True, False]
    assert drawn.hours[0][1] == "07"
