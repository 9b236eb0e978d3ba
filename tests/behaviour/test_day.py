"""The dispatcher's evening: what the file refuses, a board that keeps its rules, and reasons that can be checked."""

import csv
import datetime as dt
import io
import json
import re
import shutil
from pathlib import Path

import pytest
from icalendar import Calendar
from typer.testing import CliRunner

from pickrig.cli import app
from pickrig.errors import InputError
from pickrig.facts import Quantity
from pickrig.inputs import read_fleet
from pickrig.inputs.board import read_board
from pickrig.plans.day.answer import day, handed_over
from pickrig.plans.day.changes import event_of
from pickrig.report.day.calendar import as_calendar
from pickrig.report.day.json import as_board_csv, as_board_json
from pickrig.report.day.page import as_board_page
from pickrig.report.day.terminal import as_board_text
from pickrig.report.day.told import rounded
from tests.conftest import english, keys, values

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def fleet(yard, rules):
    """The shipped yard, its people left out: their board is fitted to the clock by trial, and its costs are bounds."""
    return read_fleet(yard / "fleet.toml", rules).model_copy(update={"people": ()})


@pytest.fixture
def planned(yard, tmp_path, rules, fleet):
    """The board of the shipped day with texts of the day file replaced."""

    def plan(*replacements, machines=None):
        folder = shutil.copytree(yard, tmp_path / "yard", dirs_exist_ok=True)
        text = (folder / "tuesday.toml").read_text(encoding="utf-8")
        for old, new in replacements:
            assert old in text
            text = text.replace(old, new)
        (folder / "tuesday.toml").write_text(text, encoding="utf-8")
        return day(read_board(folder / "tuesday.toml", rules), machines or fleet, rules)

    return plan


@pytest.fixture(scope="module")
def usual(yard, rules, fleet):
    return day(read_board(yard / "tuesday.toml", rules), fleet, rules)


def line_of(plan, words):
    return next(line for line in plan.lines if words in line.call.name)


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ('job = "muddy-lot.toml"', 'job = "no-such.toml"', "no-such.toml"),
        ("date = 2026-04-21\n", "", "date: is missing"),
        ("auger = 1", "augur = 1", "is not an attachment"),
        ("latest = 2026-04-24", "latest = 2026-04-01\nearliest = 2026-04-02", "latest before earliest"),
        ("latest = 2026-04-24", "earliest = 2026-06-24", "none of its days"),
        ("must = true", 'must = "often"', "must"),
        ("must = true", 'keep = "Wide-trak 68"', "Wide-track 68"),
        ('there = ["Wheeled 66"]', 'there = ["Wheeled 6"]', "Wheeled 66"),
        ('job = "dry-sand.toml"', 'job = "muddy-lot.toml"', "stands there twice"),
        ('rigs = "shuttle"', 'rigs = "walk"', "shuttle"),
        ('day = "8 h"', 'day = "30 h"', "day"),
        ("start = 07:00:00", 'start = "7 am"', "07:00:00"),
        ("date = 2026-04-21", "date = 9999-12-30", "date"),
        ("date = 2026-04-21", "date = 2026-04-21T07:00:00", "without a time"),
        ("must = true", 'keep = "Wide-track 68"\nhire = "$500"', "one of them is enough"),
        ("must = true", 'there = ["Wheeled 66"]', "stands on two sites"),
        ('note = "Invented jobs', 'out = ["Wheeled 6"]\nnote = "Invented jobs', "Wheeled 66"),
        ('pays = "$780"', 'keep = "Wheeled 60"\npays = "$780"', "cannot do it"),
    ],
)
def test_a_fault_is_one_sentence_that_names_it(planned, old, new, told):
    with pytest.raises(InputError) as error:
        planned((old, new))
    assert told in str(error.value)


def test_every_job_is_on_the_board_once_or_among_what_is_left(usual):
    told = [line.call.name for line in usual.lines] + [left.call.name for left in usual.left]
    assert sorted(told) == sorted(call.name for call in usual.board.calls)
    assert {line.machine for line in usual.lines}.isdisjoint(idle.machine for idle in usual.idle)


def test_no_knocked_out_machine_goes_and_no_day_is_overfull(usual):
    for line in usual.lines:
        assert line.standing.usable
    for date in {line.date for line in usual.lines}:
        for machine in {line.machine for line in usual.lines}:
            own = [line for line in usual.lines if (line.date, line.machine) == (date, machine)]
            road = sum(2 * line.call.move / 3600 for line in own)
            assert sum(line.bill.hours for line in own) + road <= usual.board.day / 3600 + 1e-6


def test_the_total_is_what_its_lines_leave(usual):
    left = sum(line.margin for line in usual.lines)
    left -= sum(one.call.hire - one.call.pays if one.hired else one.call.postpone for one in usual.left)
    assert usual.total == pytest.approx(left, abs=0.1)


def test_there_needs_no_delivery_and_the_scarce_tool_is_with_one_machine_a_day(usual):
    assert line_of(usual, "Brook Hollow").there
    assert not line_of(usual, "Miller Road").there
    forks = {(line.date, line.machine) for line in usual.lines if line.tool == "pallet forks"}
    assert len(forks) <= 2


def test_fewer_forks_than_jobs_for_them_leave_one_waiting(planned):
    plan = planned(('"pallet forks" = 2', '"pallet forks" = 1'))
    assert len({(line.date, line.machine) for line in plan.lines if line.tool == "pallet forks"}) <= 1


def test_the_dispatcher_forces_a_line_and_reads_what_it_costs(usual, planned):
    free = line_of(usual, "finished lawn")
    assert free.machine == "Stand-on 36"
    plan = planned(('# keep = "Stand-on 36"', 'keep = "Wheeled 60"\n#'))
    kept = line_of(plan, "finished lawn")
    assert kept.machine == "Wheeled 60"
    assert plan.total < usual.total
    assert values(kept.why, "board.keeping_costs")["gain"] == pytest.approx(usual.total - plan.total)


def test_wet_ground_waits_for_the_drier_day_within_its_deadline(usual, planned):
    late = line_of(usual, "Dock Lane")
    assert late.date > usual.board.date
    assert any("Left for" in english(why) for why in late.why)
    in_time = ("latest = 2026-04-24              # may wait for drier ground", "must = true")
    soon = line_of(planned(in_time), "Dock Lane")
    assert soon.date == usual.board.date
    assert soon.chance < late.chance


def test_what_must_be_done_and_cannot_is_told_in_terms_of_the_job(planned):
    plan = planned(('day = "8 h"', 'day = "1 h"'))
    assert any("must be done, and cannot" in english(told) for told in plan.warnings)
    left = next(one for one in plan.left if "Miller Road" in one.call.name)
    assert "longer than the day" in english(left.why)


def test_a_hired_machine_takes_what_none_of_ours_does_at_a_gain(planned, fleet):
    alone = fleet.model_copy(update={"machines": tuple(m for m in fleet.machines if m.name == "Wheeled 60")})
    plan = planned(('there = ["Wheeled 66"]', ""), machines=alone)
    hired = next(one for one in plan.left if "Quarry Rise" in one.call.name)
    assert hired.hired
    assert hired.why


def test_an_added_machine_never_lowers_the_total(usual, planned, fleet):
    fewer = fleet.model_copy(update={"machines": tuple(m for m in fleet.machines if m.name != "Wide-track 68")})
    assert planned(machines=fewer).total <= usual.total + 1e-6


def test_the_order_of_the_files_plays_no_part(yard, usual, rules, fleet):
    turned = fleet.model_copy(
        update={key: tuple(reversed(getattr(fleet, key))) for key in ("machines", "trucks", "trailers")}
    )
    board = read_board(yard / "tuesday.toml", rules)
    assert as_board_json(day(board, turned, rules)) == as_board_json(usual)


def test_without_pay_scores_are_weighed_and_it_says_so(planned):
    plan = planned(('pays = "$560"\n', ""))
    assert not plan.by_money
    assert all(line.margin is None for line in plan.lines)
    assert any("Scores are added up" in english(told) for told in plan.warnings)


def test_rigs_that_stay_let_fewer_machines_out_at_once(usual, planned):
    plan = planned(('rigs = "shuttle"                 # a driver', 'rigs = "stay"  # a driver'))
    hauled = [line for line in plan.lines if line.truck and line.date == plan.board.date]
    for line in hauled:
        others = [o for o in hauled if o is not line and o.truck == line.truck]
        assert all(o.end <= line.start or line.end <= o.start for o in others)
    assert len(plan.lines) <= len(usual.lines)


def test_page_text_json_csv_and_calendar_tell_the_same_board(usual):
    page, text, record = as_board_page(usual), as_board_text(usual), json.loads(as_board_json(usual))
    rows = list(csv.DictReader(io.StringIO(as_board_csv(usual))))
    events = list(Calendar.from_ical(as_calendar(usual)).walk("VEVENT"))
    assert len({str(event["uid"]) for event in events}) == len(events)
    assert [row["job"] for row in rows if row["kind"] in ("hired", "undone")] == [one.call.name for one in usual.left]
    drives = [row for row in rows if row["kind"] not in ("work", "hired", "undone")]
    assert len(drives) == len(record["drives"]) == len(usual.runs)
    rows = [row for row in rows if row["kind"] == "work"]
    assert len(rows) == len(record["lines"]) == len(usual.lines)
    for line, row, event in zip(usual.lines, rows, events, strict=False):
        assert row["machine"] == line.machine
        assert str(event["summary"]) == f"{line.machine}: {line.call.name}"
        assert event["dtstart"].dt == rounded(line.arrive)
        assert line.call.name in page
        assert line.call.name in " ".join(text.split())


def test_a_name_that_a_spreadsheet_would_run_stays_a_text(planned):
    plan = planned(('pays = "$560"', 'name = "=1+1"\npays = "$560"'))
    assert "'=1+1" in as_board_csv(plan)


def test_the_sheet_of_a_line_is_of_its_machine_and_day(usual, fleet, rules):
    late = line_of(usual, "Dock Lane")
    answer = handed_over(late, usual, fleet, rules)
    assert answer.pick.name == late.machine
    assert answer.site.date == late.date == dt.date(2026, 4, 24)
    assert "limit.road" in keys(answer.today)


def test_the_command_writes_everything_it_is_asked_for(yard, tmp_path):
    args = ["day", str(yard / "tuesday.toml"), "--fleet", str(yard / "fleet.toml"), "-o", str(tmp_path / "a.html")]
    args += [
        "--json",
        str(tmp_path / "a.json"),
        "--csv",
        str(tmp_path / "a.csv"),
        "--calendar",
        str(tmp_path / "a.ics"),
    ]
    run = CliRunner().invoke(app, args)
    assert run.exit_code == 0, run.output
    assert {path.suffix for path in tmp_path.iterdir()} >= {".html", ".json", ".csv", ".ics"}


def test_the_figures_of_what_stops_a_machine_are_told(planned):
    with pytest.raises(InputError) as error:
        planned(('pays = "$1,250"\nhire = "$1,000"', 'pays = "$1,250"\nkeep = "Wide-track 68"'))
    assert re.search(r"the gate is \d", str(error.value))
    plan = planned(('note = "Invented jobs', 'out = ["Stand-on 36"]\nnote = "Invented jobs'))
    told = " ".join([as_board_text(plan), as_board_page(plan)])
    assert not re.search(r"\b(is|needs|carry|of) ?[,.;]", told)
    assert "Stand-on 36" not in {line.machine for line in plan.lines}


def test_no_reason_ever_names_a_gain_as_a_cost(planned):
    for plan in (
        planned(('day = "8 h"', 'day = "4 h"')),
        planned(('pays = "$560"', 'priority = 5\npays = "$560"')),
    ):
        told = [said for one in (*plan.lines, *plan.left, *plan.idle) for said in one.why]
        amounts = [value.value for said in told for _, value in said.values if isinstance(value, Quantity)]
        assert amounts
        assert min(amounts) >= 0


def test_what_forcing_costs_is_what_keeping_costs(usual, planned):
    """The sum told for an idle machine is the difference to the board on which it is kept."""
    idle = next(one for one in usual.idle if one.machine == "Wheeled 60")
    told = values(idle.why, "board.costs")["cost"]
    assert "Brook Hollow" in english(idle.why)
    kept = planned(('pays = "$1,300"', 'keep = "Wheeled 60"\npays = "$1,300"'))
    assert usual.total - kept.total == pytest.approx(told, abs=1)


def test_an_auger_in_the_shop_stays_out_of_the_board(planned):
    plan = planned(("auger = 1", "auger = 0"))
    assert all(line.tool != "auger" for line in plan.lines)


def test_work_after_midnight_is_dated_so_everywhere(planned):
    plan = planned(("start = 07:00:00", "start = 22:00:00"))
    late = [line for line in plan.lines if line.start.date() > line.date]
    assert late
    rows = csv.DictReader(io.StringIO(as_board_csv(plan)))
    assert {row["start"][:10] for row in rows} >= {str(late[0].start.date())}
    assert "Wed" in as_board_text(plan)


def test_weekends_are_off_but_for_the_first_day(planned):
    plan = planned(("date = 2026-04-21", "date = 2026-04-24"), ("latest = 2026-04-24", "latest = 2026-04-27"))
    assert all(line.date.weekday() < 5 for line in plan.lines)


def test_without_trucks_the_road_costs_neither_time_nor_money(planned, fleet):
    bare = fleet.model_copy(update={"trucks": (), "trailers": ()})
    plan = planned(machines=bare)
    for line in plan.lines:
        assert (line.end - line.start).total_seconds() == pytest.approx(3600 * line.bill.hours, abs=1)
    assert any("road is left out" in english(told) for told in plan.assumed)


def test_names_that_differ_by_a_sign_are_two_events(usual):
    calls = [usual.board.calls[0].model_copy(update={"name": name}) for name in ("A/B", "A-B")]
    assert len({event_of(usual.board, call, None) for call in calls}) == 2


def test_what_a_day_file_leaves_out_is_as_it_always_was(tmp_path, rules):
    shutil.copy(EXAMPLES / "muddy-lot.toml", tmp_path)
    text = 'title = "x"\ndate = 2026-04-21\n[[job]]\njob = "muddy-lot.toml"\n'
    (tmp_path / "day.toml").write_text(text, encoding="utf-8")
    board = read_board(tmp_path / "day.toml", rules)
    assert (board.start, board.day, board.move_hour, board.rigs) == (dt.time(7), 32_400, 95, "shuttle")
    (call,) = board.calls
    assert (call.move, call.priority, call.postpone, call.must, call.days) == (2700, 1, 0, False, (board.date,))
    (tmp_path / "day.toml").write_text(text + "latest = 2026-04-27\n", encoding="utf-8")
    days = read_board(tmp_path / "day.toml", rules).calls[0].days
    assert [f"{day:%a}" for day in days] == ["Tue", "Wed", "Thu", "Fri", "Mon"]  # nobody works on Saturday and Sunday


@pytest.mark.parametrize("off", ['["wednesday"]', '["Wednesday", "Saturday", "Sunday"]'])
def test_days_off_are_read_whatever_their_capitals(tmp_path, rules, off):
    shutil.copy(EXAMPLES / "muddy-lot.toml", tmp_path)
    text = f'title = "x"\ndate = 2026-04-21\noff = {off}\n[[job]]\njob = "muddy-lot.toml"\nlatest = 2026-04-24\n'
    (tmp_path / "day.toml").write_text(text, encoding="utf-8")
    assert [f"{day:%a}" for day in read_board(tmp_path / "day.toml", rules).calls[0].days] == ["Tue", "Thu", "Fri"]
