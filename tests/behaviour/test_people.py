"""The people of the yard on the board: nobody is in two places, nobody works too long, and changes are told."""

import datetime as dt
import json
import shutil
from itertools import pairwise

import pytest
from icalendar import Calendar
from typer.testing import CliRunner

from pickrig.cli import app
from pickrig.errors import InputError
from pickrig.inputs import read_fleet
from pickrig.inputs.board import read_board
from pickrig.inputs.earlier_plan import EarlierPlan, read_earlier_plan
from pickrig.plans.day.answer import day
from pickrig.report.day.calendar import as_calendar
from pickrig.report.day.json import as_board_dict, as_board_json
from pickrig.report.day.page import as_board_page
from pickrig.report.day.told import by_person
from tests.conftest import english, keys


@pytest.fixture(scope="module")
def crewed(yard, rules):
    return read_fleet(yard / "fleet.toml", rules)


@pytest.fixture(scope="module")
def board(yard, rules):
    return read_board(yard / "tuesday.toml", rules)


@pytest.fixture(scope="module")
def usual(board, crewed, rules):
    return day(board, crewed, rules)


def with_people(fleet, *people):
    return fleet.model_copy(update={"people": tuple(fleet.people[k] for k in people)})


def earlier_of(plan) -> EarlierPlan:
    return EarlierPlan.model_validate(as_board_dict(plan))


def spans(plan):
    """When each of the people works or drives."""
    busy = {}
    for line in plan.lines:
        busy.setdefault((line.date, line.operator), []).append((line.arrive, line.end))
    for run in plan.runs:
        busy.setdefault((run.date, run.driver), []).append((run.leaves, run.arrives))
    return busy


def test_three_people_get_a_board_of_three(usual, board):
    at_once = []
    for (_, name), own in spans(usual).items():
        assert name
        own.sort()
        assert all(end <= start for (_, end), (start, _) in pairwise(own))
        at_once += own
    for moment, _ in at_once:
        assert sum(start <= moment < end for start, end in at_once if start.date() == moment.date()) <= 3
    ends = dt.timedelta(seconds=board.day + 300)
    for (date, _), own in spans(usual).items():
        assert max(end for _, end in own) <= dt.datetime.combine(date, board.start) + ends


def test_everybody_does_what_he_may(usual, crewed):
    by_name = {person.name: person for person in crewed.people}
    for line in usual.lines:
        assert by_name[line.operator].knows(line.machine, line.standing.machine.kind)
    for run in usual.runs:
        licence = by_name[run.driver].licence
        assert licence is not None
        if run.truck == "One-ton flatbed" and run.trailer.startswith("Tilt deck"):
            assert licence == "A"


def test_fewer_people_do_no_more_and_one_alone_stays_with_the_machine(usual, board, crewed, rules):
    alone = day(board, with_people(crewed, 0), rules)
    assert len(alone.lines) <= len(usual.lines)
    assert {line.operator for line in alone.lines} == {"Foreman"}
    assert "board.stay" in keys(alone.assumed)
    assert {run.what for run in alone.runs} <= {"deliver", "fetch", "shift", "out"}


def test_without_a_driver_nothing_is_hauled_and_it_says_why(board, crewed, rules):
    plan = day(board, with_people(crewed, 2), rules)
    assert not plan.runs
    told = english([said for one in plan.left for said in one.why])
    assert "Nobody here may drive a rig" in told
    assert all(line.there for line in plan.lines)
    assert "board.stranded" in keys(plan.warnings)
    assert all(line.back is None for line in plan.lines)


def test_what_must_be_done_and_is_not_is_in_the_headline_and_the_exit(yard, tmp_path):
    folder = shutil.copytree(yard, tmp_path / "yard")
    text = (folder / "tuesday.toml").read_text(encoding="utf-8")
    (folder / "tuesday.toml").write_text(text.replace('day = "8 h"', 'day = "1 h"'), encoding="utf-8")
    args = ["day", str(folder / "tuesday.toml"), "--fleet", str(folder / "fleet.toml"), "-o", str(tmp_path / "a.html")]
    run = CliRunner().invoke(app, args)
    assert run.exit_code == 3
    assert "One that must be done is not" in " ".join(run.output.split())


def test_the_page_has_a_strip_for_every_truck_and_a_row_for_every_trip(usual):
    page = as_board_page(usual)
    for date in {run.date for run in usual.runs}:
        for _, own in by_person(usual, date):
            assert own
    for run in usual.runs:
        assert run.driver in page
        assert run.truck in page


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ('name = "New hand"', 'name = "Foreman"', "somebody else"),
        ('runs = ["stand-on loader", "skid steer"]', 'runs = ["stand on"]', "stand-on loader"),
        ('licence = "A"', 'licence = "Z"', "BE"),
    ],
)
def test_a_fault_in_the_people_is_one_sentence(yard, tmp_path, rules, old, new, told):
    text = (yard / "fleet.toml").read_text(encoding="utf-8")
    assert old in text
    (tmp_path / "fleet.toml").write_text(text.replace(old, new), encoding="utf-8")
    with pytest.raises(InputError) as error:
        read_fleet(tmp_path / "fleet.toml", rules)
    assert told in str(error.value)
    assert len(error.value.problems) == 1


def test_everybody_out_is_a_fault(board, crewed, rules):
    out = board.model_copy(update={"out": tuple(person.name for person in crewed.people)})
    with pytest.raises(InputError):
        day(out, crewed, rules)


def test_the_same_plan_again_has_not_changed(usual, board, crewed, rules):
    again = day(board, crewed, rules, earlier=earlier_of(usual))
    assert again.since == ()
    assert again.events == usual.events


def test_a_machine_in_the_shop_changes_what_it_must_and_tells_it(usual, board, crewed, rules):
    first = usual.lines[0]
    broken = board.model_copy(update={"out": (first.machine,)})
    plan = day(broken, crewed, rules, earlier=earlier_of(usual))
    assert plan.since
    told = {said.value("job") for said in plan.since}
    assert first.call.name in told
    assert all(plan.events[name] == usual.events[name] for name in plan.events)
    was = {line.call.name: (line.machine, line.date) for line in usual.lines}
    now = {line.call.name: (line.machine, line.date) for line in plan.lines}
    assert {name for name in was.keys() | now.keys() if was.get(name) != now.get(name)} <= told


def test_a_small_gain_is_not_worth_a_telephone_call(usual, board, crewed, rules):
    """With another dollar of pay here and there the board stays as it was told."""
    calls = tuple(
        call.model_copy(update={"pays": call.pays + luck}) for call, luck in zip(board.calls, [9, 0] * 5, strict=False)
    )
    plan = day(board.model_copy(update={"calls": calls}), crewed, rules, earlier=earlier_of(usual))
    assert {(one.call.name, one.machine, one.date) for one in plan.lines} == {
        (one.call.name, one.machine, one.date) for one in usual.lines
    }


def test_a_later_calendar_takes_the_place_of_an_earlier_one(usual, board, crewed, rules):
    now = dt.datetime(2026, 4, 20, 18, 0, tzinfo=dt.UTC)
    first = list(Calendar.from_ical(as_calendar(usual, now=now)).walk("VEVENT"))
    gone = usual.lines[0].call.name
    fewer = board.model_copy(update={"calls": tuple(call for call in board.calls if call.name != gone)})
    plan = day(fewer, crewed, rules, earlier=earlier_of(usual))
    later = list(Calendar.from_ical(as_calendar(plan, now=now + dt.timedelta(minutes=5))).walk("VEVENT"))
    by_uid = {str(event["uid"]): event for event in first}
    for event in later:
        assert event["dtstamp"].dt == now + dt.timedelta(minutes=5)
        before = by_uid.get(str(event["uid"]))
        assert before is None or int(event["sequence"]) > int(before["sequence"])
    assert {str(event["uid"]) for event in first} <= {str(event["uid"]) for event in later}
    called_off = [str(event["uid"]) for event in later if str(event.get("status")) == "CANCELLED"]
    assert f"{usual.events[gone]}@pickrig.invalid" in called_off


def test_a_plan_of_before_is_read_from_its_json_and_nothing_else_is(usual, tmp_path):
    (tmp_path / "plan.json").write_text(as_board_json(usual), encoding="utf-8")
    assert [line.job for line in read_earlier_plan(tmp_path / "plan.json").lines] == [
        line.call.name for line in usual.lines
    ]
    for text in ("x", "[]", '{"lines": 3}', json.dumps({"lines": [], "events": [1]})):
        (tmp_path / "other.json").write_text(text, encoding="utf-8")
        with pytest.raises(InputError) as error:
            read_earlier_plan(tmp_path / "other.json")
        assert "is not a plan" in str(error.value)


def test_rain_that_is_forecast_gives_a_plan_for_the_dry_morning(yard, tmp_path, crewed, rules):
    folder = shutil.copytree(yard, tmp_path / "yard")
    text = (folder / "dock-lane-weather.csv").read_text(encoding="utf-8").splitlines()
    wet = [line if not line.startswith("2026-04-21") else "2026-04-21,1.2,45,60" for line in text]
    assert wet != text
    (folder / "dock-lane-weather.csv").write_text("\n".join(wet) + "\n", encoding="utf-8")
    plan = day(read_board(folder / "tuesday.toml", rules), crewed, rules)
    assert plan.if_dry
    assert keys(plan.if_dry)[0] in ("board.rain_decide", "board.rain_same")
    dry = [line.split(",")[0] + ",0.0," + ",".join(line.split(",")[2:]) if line[:4] == "2026" else line for line in wet]
    (folder / "dock-lane-weather.csv").write_text("\n".join(dry) + "\n", encoding="utf-8")
    assert day(read_board(folder / "tuesday.toml", rules), crewed, rules).if_dry == ()


def test_a_helper_who_neither_runs_nor_drives_costs_no_job(board, crewed, rules):
    """One who does both lets the rig wait, whoever else there is."""
    alone = day(board, with_people(crewed, 0), rules)
    helper = crewed.people[2].model_copy(update={"name": "Helper", "runs": ["Stand-on 99"]})
    both = day(board, crewed.model_copy(update={"people": (crewed.people[0], helper)}), rules)
    assert {line.operator for line in both.lines} == {"Foreman"}
    assert both.total >= alone.total - 1


def test_what_must_be_done_is_not_late_for_what_need_not(board, crewed, rules):
    """The same two jobs, whichever the machine is called that the one that must be done is kept for."""
    sand = next(call for call in board.calls if "sand" in call.name)
    wide = next(machine for machine in crewed.machines if machine.name == "Wide-track 68")
    for kept, other in (("AA", "ZZ"), ("ZZ", "AA")):
        calls = (
            sand.model_copy(update={"name": "Must", "pays": 2000.0, "keep": kept, "move": 900.0}),
            sand.model_copy(update={"name": "Other", "pays": 700.0, "move": 900.0}),
        )
        two = tuple(wide.model_copy(update={"name": name}) for name in (kept, other))
        short = board.model_copy(update={"calls": calls, "day": 2.2 * 3600})
        yard = crewed.model_copy(update={"machines": two, "trucks": crewed.trucks[:1], "people": ()})
        plan = day(short, yard, rules)
        assert [line.call.name for line in plan.lines] == ["Must"]
        assert "board.late" not in keys(plan.warnings)


def test_what_is_over_is_not_called_off_the_next_day(usual, board, crewed, rules):
    tomorrow = board.model_copy(
        update={
            "date": board.date + dt.timedelta(1),
            "calls": tuple(
                call.model_copy(update={"days": (board.date + dt.timedelta(1),), "there": ()})
                for call in board.calls[:1]
            ),
        }
    )
    plan = day(tomorrow, crewed, rules, earlier=earlier_of(usual))
    over = {usual.events[line.call.name] for line in usual.lines if line.date == board.date}
    assert over.isdisjoint(plan.dropped)
    assert over.isdisjoint(plan.events.values())


def test_a_driver_who_runs_the_machine_may_wait_with_it(board, crewed, rules):
    """Two of the yard do as much on a board whose rigs go home as on one where they stay."""
    two = with_people(crewed, 0, 2)
    going = day(board, two, rules)
    staying = day(board.model_copy(update={"rigs": "stay"}), two, rules)
    assert going.total >= staying.total - 1e-6
    assert "board.may_stay" in keys(going.assumed)


def test_who_was_told_an_hour_keeps_it(usual, board, crewed, rules):
    """A job that comes first alone is not brought forward because another was called off."""
    last = max(usual.lines, key=lambda line: (line.date == board.date, line.arrive))
    fewer = board.model_copy(
        update={"calls": tuple(call for call in board.calls if call.name == last.call.name or call.must)}
    )
    again = day(fewer, crewed, rules, earlier=earlier_of(usual))
    kept = {line.call.name: line.arrive for line in again.lines}
    assert abs(kept[last.call.name] - last.arrive) <= dt.timedelta(minutes=5)
    free = day(fewer, crewed, rules)
    assert {line.call.name: line.arrive for line in free.lines}[last.call.name] < last.arrive - dt.timedelta(minutes=30)


def test_a_machine_kept_for_a_job_and_out_of_service_is_told_as_that(board, crewed, rules):
    name = crewed.machines[0].name
    calls = (board.calls[0].model_copy(update={"keep": name}), *board.calls[1:])
    with pytest.raises(InputError) as caught:
        day(board.model_copy(update={"calls": calls, "out": (name,)}), crewed, rules)
    assert "out of service" in english(caught.value.problems)


def test_an_idle_machine_that_stands_on_a_site_is_told_to_stand_there(board, crewed, rules):
    call = next(call for call in board.calls if call.there)
    plan = day(
        board.model_copy(update={"out": tuple(m.name for m in crewed.machines if m.name not in call.there)}),
        crewed,
        rules,
    )
    for one in plan.idle:
        assert ("board.idle_stands" in keys(one.why)) == (one.machine in call.there)
    assert len(plan.idle) + len({line.machine for line in plan.lines}) == len(call.there)
