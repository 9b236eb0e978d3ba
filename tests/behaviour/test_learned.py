"""What a log does to an answer: nothing while it is empty, the right way afterwards, said and with its doubts."""

import json
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

from pickrig.checks import Case
from pickrig.checks.floats import floats
from pickrig.checks.ground.site import draw_site
from pickrig.cli import app
from pickrig.inputs.learned import Learned
from pickrig.log.entry import Entry
from pickrig.log.reading import Reading
from pickrig.log.store import NAME, Log
from pickrig.log.table import as_csv
from pickrig.plans.pick.answer import pick
from pickrig.plans.pick.logged import entry_of
from pickrig.plans.yard.keys import keys_of, outcome_of
from pickrig.plans.yard.teaching import Yard, taught
from pickrig.plans.yard.wear import wear_of
from pickrig.report.pick.json import as_dict
from pickrig.report.pick.terminal import as_text
from tests.conftest import EXAMPLES, english, keys

NAME_OF = "Wide-track 68"
WET = json.dumps({"job": {"ground": {"wetness": "wet"}}})


def entry(number=0, **told):
    given_ = {"job": "Another lot", "machine": NAME_OF, "soil": "CL", "outcome": "held", "margin": 1.5, "answer": WET}
    return Entry(id=f"{number:032d}", day="2026-04-20", entered="2026-04-20", **given_ | told)


def chance(job, fleet, rules, entries, name=NAME_OF):
    """How often the ground holds a machine after these entries."""
    told = taught(job, fleet, Yard(tuple(entries), rules))
    machine = next(one for one in fleet.machines if one.name == name)
    return floats(Case(told, machine, draw_site(told, rules, 1000), rules)).chance


def test_an_empty_log_changes_nothing_to_the_last_digit(muddy_lot, fleet, rules):
    without = as_dict(pick(muddy_lot, fleet, rules, draws=500))
    assert as_dict(pick(muddy_lot, fleet, rules, draws=500, yard=Yard((), rules))) == without
    told_of_other_things = (entry(1, sent="other reason", outcome=""), entry(2, outcome=""), entry(3, helped="mats"))
    assert as_dict(pick(muddy_lot, fleet, rules, draws=500, yard=Yard(told_of_other_things, rules))) == without


@pytest.mark.parametrize("job", [{}, {"job": "Back lot on Miller Road, paver pallets"}, {"soil": ""}, {"machine": "X"}])
@pytest.mark.parametrize("margin", [0.4, 1.0, 2.5])
def test_bogging_lowers_a_chance_and_holding_raises_it(muddy_lot, fleet, rules, job, margin):
    before = chance(muddy_lot, fleet, rules, [])
    for told in ({"outcome": "bogged"}, {"outcome": "turned back"}, {"sent": "too soft", "outcome": ""}):
        assert chance(muddy_lot, fleet, rules, [entry(margin=margin, **job | told)]) < before
    assert chance(muddy_lot, fleet, rules, [entry(margin=margin, **job)]) > before
    looked = entry(margin=margin, sent="too soft", outcome="", would_have="held", **job)
    assert (
        before
        < chance(muddy_lot, fleet, rules, [looked])
        < chance(muddy_lot, fleet, rules, [entry(margin=margin, **job)])
    )


OUTCOMES = st.sampled_from(["held", "rutted", "bogged", "turned back"])
LOGS = st.lists(
    st.tuples(OUTCOMES, st.floats(0.3, 4.0), st.sampled_from(["A", "B", "Miller"]), st.sampled_from(["CL", "SM", ""])),
    max_size=8,
)


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(LOGS, st.floats(0.3, 4.0))
def test_whatever_the_log_one_more_bogging_here_never_raises_the_chance_and_one_more_holding_never_lowers_it(
    muddy_lot, fleet, rules, log, margin
):
    own = [
        entry(n, outcome=outcome, margin=at, job=place, soil=soil) for n, (outcome, at, place, soil) in enumerate(log)
    ]
    before = chance(muddy_lot, fleet, rules, own)
    here = {"job": muddy_lot.title, "margin": margin, "day": "2026-04-21"}
    for outcome, way in (("bogged", -1), ("held", 1)):
        more = replace(entry(99, outcome=outcome, margin=margin), job=here["job"], day=here["day"])
        same_age = [replace(one, day=here["day"]) for one in own]
        before = chance(muddy_lot, fleet, rules, same_age)
        assert way * (chance(muddy_lot, fleet, rules, [*same_age, more]) - before) >= -1e-9


def test_the_order_of_entries_plays_no_part(muddy_lot, fleet, rules):
    log = [
        entry(n, outcome=("held", "bogged", "rutted")[n % 3], margin=0.5 + n / 4, job=f"Lot {n % 2}") for n in range(7)
    ]
    assert chance(muddy_lot, fleet, rules, log) == pytest.approx(chance(muddy_lot, fleet, rules, log[::-1]), abs=1e-9)


def test_old_entries_fade_and_those_of_another_yard_count_less(muddy_lot, fleet, rules):
    before, young = chance(muddy_lot, fleet, rules, []), entry(1, outcome="bogged")
    newest = entry(2, machine="Nobody's", soil="", outcome="held", margin=50.0)  # tells next to nothing
    old = replace(young, day="2014-04-20")
    shared = replace(young, origin="0a1b2c3d")
    here, faded, foreign = (chance(muddy_lot, fleet, rules, [one, newest]) for one in (young, old, shared))
    assert here < faded < before
    assert here < foreign < before


def test_a_bogged_wheel_loader_tells_of_the_ground_and_so_of_the_tracked_one(muddy_lot, fleet, rules):
    log = [entry(n, machine="Wheeled 60", outcome="bogged", margin=1.2) for n in range(3)]
    for name in (NAME_OF, "Wheeled 60"):
        assert chance(muddy_lot, fleet, rules, log, name) < chance(muddy_lot, fleet, rules, [], name)


def test_two_machines_on_one_lot_in_one_day_met_the_same_ground(rules):
    two = [entry(1, machine="A", outcome="bogged"), entry(2, machine="B", outcome="bogged")]
    assert Yard(tuple(two), rules)._weights(two) == pytest.approx([0.75, 0.75])
    apart = [two[0], replace(two[1], day="2026-04-19")]
    assert Yard(tuple(apart), rules)._weights(apart) == pytest.approx([1, 1], abs=0.001)


def test_no_more_than_so_much_however_many_say_so(muddy_lot, rules):
    yard = Yard(tuple(entry(n, outcome="bogged", margin=20.0, job=f"Lot {n}") for n in range(60)), rules)
    told = yard.told(muddy_lot, [NAME_OF])
    assert told.ground["CL"] == -rules.learning["most"].value


def test_help_is_never_taken_for_ground_that_holds_but_bogging_in_spite_of_it_counts():
    assert outcome_of(entry(helped="mats")) is None
    assert outcome_of(entry(helped="mats", outcome="bogged")) is not None
    assert outcome_of(entry(margin=None)) is None
    assert outcome_of(entry(sent="other reason", outcome="")) is None


ODD = '{"job": {"ground": {"wetness": "soggy", "travel": {"asphalt": 0, "site soil": "much"}}}}'


@pytest.mark.parametrize("answer", ["", "nothing", "[1]", '{"job": "x"}', '{"job": {"ground": []}}', "null", ODD])
def test_inputs_that_cannot_be_read_again_cost_only_what_they_would_tell(answer, fleet, rules):
    odd = entry(1, answer=answer, margin=float("nan"))
    assert ("machine", NAME_OF) in keys_of(odd)
    assert outcome_of(odd) is None
    assert wear_of([reading(1.0, 0.03, "2026-04-01"), reading(90.0, 0.028, "2026-05-01")], [odd], fleet, rules)
    assert as_csv([odd], anonymous=True)


def test_another_yards_entry_bears_on_the_soil_and_on_its_own_yard():
    assert keys_of(entry(origin="0a1b2c3d")) == (("whole", "0a1b2c3d"), ("soil", "CL"))


def test_the_answer_says_what_the_log_moved(muddy_lot, fleet, rules):
    log = tuple(entry(n, outcome="bogged", margin=2.0, job=f"Lot {n}", chance=0.9) for n in range(6))
    log = (*log, entry(9, margin=None, hours=6.0, on_site=4.0))
    answer = pick(muddy_lot, fleet, rules, draws=2000, yard=Yard(log, rules))
    books = pick(muddy_lot, fleet, rules, draws=2000)
    told = answer.by_log
    assert keys(told.says)[0] == "log.less_soil"
    assert "Your 6 jobs on lean clay: it held less often" in english(told.says[0])
    floats_before = books.ranking[0].finding("floats")
    assert told.before[books.ranking[0].name].chance == floats_before.chance
    assert "log.hours_ratio" in keys(told.says)
    assert "log.no_refusals" in keys(told.selection)
    assert told.kept[0].jobs == 6
    assert told.kept[0].held == 0
    held, bogged = (value.value for _, value in told.teaches[0].values)
    now = (answer.pick or answer.ranking[0]).finding("floats").chance
    assert bogged < now + 0.02 < held + 0.04
    assert "6 jobs of yours held less" in " ".join(as_text(answer).split())
    assert as_dict(answer)["by_log"]["without"][NAME_OF]["chance"] == told.before[NAME_OF].chance


def test_what_was_said_before_is_kept_by_the_books_so_that_nothing_is_learned_twice(muddy_lot, fleet, rules):
    import datetime as dt

    log = tuple(entry(n, outcome="bogged", margin=2.0, hours=8.0, on_site=4.0) for n in range(4))
    day = dt.date(2026, 4, 21)
    with_ = entry_of(pick(muddy_lot, fleet, rules, draws=1000, yard=Yard(log, rules)), rules, NAME_OF, day, "")
    books = entry_of(pick(muddy_lot, fleet, rules, draws=1000), rules, NAME_OF, day, "")
    assert with_.margin == books.margin
    assert with_.expected == pytest.approx(books.expected, rel=1e-3)  # weaker ground slips a little more
    assert with_.on_site == pytest.approx(books.on_site, rel=1e-3)
    assert with_.chance < books.chance
    assert books.on_site > books.expected


def test_hours_follow_the_log_by_the_published_arithmetic(muddy_lot, fleet, rules):
    """Normal prior on the logarithm: four jobs at 1.3, 1.1, 1.6 and 1.2 times, spreads 0.35 and 0.25: 0.2239."""
    values = {**rules.learning, "pace_work": rules.learning["pace_work"].model_copy(update={"value": 1e-6})}
    alone = rules.model_copy(update={"learning": values})
    log = tuple(
        entry(n, hours=5 * ratio, on_site=5.0, work="carry pallets") for n, ratio in enumerate((1.3, 1.1, 1.6, 1.2))
    )
    yard = Yard(log, alone)
    assert np.log(yard.hours(muddy_lot)) == pytest.approx(0.2239, abs=5e-5)
    assert yard.pace[0].spread == pytest.approx(0.1177, abs=5e-5)
    billed = Yard(tuple(replace(one, hours_kind="billed") for one in log), rules)
    assert billed.pace == ()
    slow = pick(muddy_lot, fleet, rules, draws=500, yard=yard)
    books = pick(muddy_lot, fleet, rules, draws=500)
    ratio = {c.machine: c.hours for c in slow.costs}[NAME_OF] / {c.machine: c.hours for c in books.costs}[NAME_OF]
    assert ratio == pytest.approx(np.exp(0.2239), abs=1e-3)


def test_a_log_that_made_answers_worse_is_left_out_and_that_is_said(muddy_lot, fleet, rules):
    """Outcomes that turn with every job: whatever was learned from the last is wrong for the next."""
    log = []
    for n in range(40):
        told = {"outcome": "held" if n % 2 else "bogged", "margin": 0.35 if n % 2 else 3.0}
        log.append(replace(entry(n, **told), day=f"2026-{1 + n // 28:02d}-{1 + n % 28:02d}", job=f"Lot {n}"))
    yard = Yard(tuple(log), rules)
    assert yard.off == (float(np.mean(yard.gains) + np.std(yard.gains) / np.sqrt(len(yard.gains))) < 0)
    assert not Yard(tuple(log[:29]), rules).off  # too few to tell
    if yard.off:
        told = pick(muddy_lot, fleet, rules, draws=500, yard=yard)
        assert keys(told.by_log.says)[0] == "log.off"
        assert told.ranking[0].score == pick(muddy_lot, fleet, rules, draws=500).ranking[0].score


def reading(meter, depth, day, **told):
    return Reading(machine=NAME_OF, day=day, meter=meter, depth=depth, **told)


def test_two_readings_take_the_place_of_the_trades_range(muddy_lot, fleet, rules):
    """Lugs of 30 mm that lose 9 in 400 h, of the 21 that may go: 933 h, where soil gives 1,200."""
    readings = [reading(100.0, 0.030, "2026-03-01"), reading(500.0, 0.021, "2026-06-01")]
    ((name, wear),) = wear_of(readings, [], fleet, rules)
    assert name == NAME_OF
    measured = 400 / 1200 / (0.009 / 0.021)
    assert measured < wear.life < 1  # between what was read and the trade's
    assert wear.low < wear.life < wear.high
    assert (wear.high / wear.low) < rules.wear.life_range.high / rules.wear.life_range.low
    assert wear.left == pytest.approx((0.021 - 0.009) / 0.021)
    yard = Yard((), rules, ((name, wear),))
    with_, books = (pick(muddy_lot, fleet, rules, draws=500, yard=one) for one in (yard, None))
    finding, trade = (
        next(s for s in answer.ranking if s.name == NAME_OF).finding("wears") for answer in (with_, books)
    )
    assert finding.value == pytest.approx(trade.value / wear.life)
    assert "By your readings its tracks last about" in english(finding.says)
    assert "left on this set" in english(finding.says)
    assert with_.by_log is None  # nothing was learned of ground or hours


def test_a_set_that_may_not_last_the_job_is_told_and_a_new_one_begins_anew(muddy_lot, fleet, rules):
    readings = [reading(100.0, 0.030, "2026-03-01"), reading(1200.0, 0.0090, "2026-11-01", sprocket="sharp")]
    yard = Yard((), rules, wear_of(readings, [], fleet, rules))
    finding = pick(muddy_lot, fleet, rules, draws=500, yard=yard).ranking[0]
    wears = next(s for s in [finding] if s.name == NAME_OF).finding("wears")
    assert wears.verdict == "caution"
    assert {"wears.through", "wears.sprocket_sharp"} <= set(keys(wears.remedy))
    assert "wears.order" in keys(wears.says)
    fresh = wear_of([*readings, reading(1201.0, 0.030, "2026-11-02")], [], fleet, rules)
    assert fresh[0][1].left == 1.0
    assert fresh[0][1].life == wear_of(readings, [], fleet, rules)[0][1].life


def test_hours_are_split_over_the_surfaces_of_the_jobs_logged(fleet, rules):
    """On asphalt the trade gives fewer hours: the same wear is then what was to be expected."""
    readings = [reading(100.0, 0.030, "2026-03-01"), reading(500.0, 0.021, "2026-06-01")]
    paved = json.dumps({"job": {"ground": {"travel": {"asphalt": 1.0}}}})
    job = replace(entry(1, hours=8.0, answer=paved), day="2026-04-01")
    ((_, soil),), ((_, asphalt),) = wear_of(readings, [], fleet, rules), wear_of(readings, [job], fleet, rules)
    assert asphalt.life > soil.life


def test_one_reading_or_none_changes_no_life(fleet, rules):
    assert wear_of([], [], fleet, rules) == ()
    ((_, once),) = wear_of([reading(100.0, 0.02, "2026-03-01")], [], fleet, rules)
    assert (once.life, once.low, once.high, once.measured) == (1, 1, 1, False)
    assert Learned().wear == {}


@pytest.fixture
def yard(edited):
    for name in ("muddy-lot.toml", "fleet.toml"):
        edited(name)
    return edited("fleet.toml").parent


def run(*args):
    return CliRunner().invoke(app, list(map(str, args)), catch_exceptions=False)


def test_the_commands_read_the_log_beside_the_fleet_and_can_leave_it_out(yard):
    job, fleet_file, page = yard / "muddy-lot.toml", yard / "fleet.toml", yard / "a.html"
    books = run("pick", job, "--fleet", fleet_file, "-o", page).stdout
    for _ in range(3):
        run("log", "add", job, "--fleet", fleet_file, "--machine", "Wheeled 60", "--bogged")
    with_log = run("pick", job, "--fleet", fleet_file, "-o", page).stdout
    assert "By log   3 jobs of yours held less" in with_log
    assert "What your log says" in page.read_text(encoding="utf-8")
    assert run("pick", job, "--fleet", fleet_file, "-o", page, "--without-log").stdout == books
    learned = run("log", "learned", "--fleet", fleet_file).stdout
    assert "The whole yard:" in learned
    assert "too few to say" in learned


def test_readings_are_written_shown_and_struck(yard):
    fleet_file = yard / "fleet.toml"
    done = run("log", "reading", "--fleet", fleet_file, "--machine", NAME_OF, "--meter", "1210 h", "--depth", "0.9 in")
    assert "1,210 h on the meter. 0.9 in of lug or tread." in done.output
    assert NAME_OF in run("log", "show", "--fleet", fleet_file).output
    (kept,) = Log(yard / NAME).readings()
    assert kept.meter == 1210
    run("log", "strike", kept.id[:8], "--fleet", fleet_file)
    assert Log(yard / NAME).readings() == []


def test_a_log_of_the_first_release_reads_and_goes_on(tmp_path, monkeypatch):
    from pickrig.log import store

    first = store._MIGRATIONS[:1]
    monkeypatch.setattr(store, "_MIGRATIONS", first)
    with Log(tmp_path / NAME)._open(write=True) as log:
        old = entry(1).as_row()
        names = [name for name in old if name not in ("origin", "on_site")]
        marks = ", ".join(f":{name}" for name in names)
        log.execute(f"INSERT INTO entry ({', '.join(names)}) VALUES ({marks})", {name: old[name] for name in names})
    monkeypatch.undo()
    assert Log(tmp_path / NAME).entries() == [entry(1)]
    assert Log(tmp_path / NAME).readings() == []
    assert (tmp_path / "pickrig-log.before-2.sqlite").exists()


def test_an_anonymous_export_is_taken_in_as_another_yards(tmp_path):
    own = [entry(1), entry(2, outcome="bogged")]
    path = tmp_path / "theirs.csv"
    path.write_text(as_csv(own, anonymous=True), encoding="utf-8")
    done = run("log", "import", path, "--fleet", tmp_path / "fleet.toml")
    assert "2 new entries" in done.output
    taken = Log(tmp_path / NAME).entries()
    assert len({one.origin for one in taken}) == 1
    assert taken[0].origin
    run("log", "import", path, "--fleet", tmp_path / "fleet.toml")
    assert len(Log(tmp_path / NAME).entries()) == 2  # not doubled


def test_the_board_goes_by_the_log(fleet, rules):
    from pickrig.inputs.board import read_board
    from pickrig.plans.day.answer import day

    log = tuple(entry(n, outcome="bogged", margin=2.0, soil="ML") for n in range(4))
    log = (*log, entry(9, margin=None, hours=8.0, on_site=5.0))
    board = read_board(EXAMPLES / "tuesday.toml", rules)
    with_, books = (day(board, fleet, rules, yard=one) for one in (Yard(log, rules), None))
    assert keys(with_.warnings)[:2] == ["log.used", "log.hours_ratio"]
    assert with_.total < books.total


def test_the_year_has_fewer_days_where_the_log_has_boggings(rules):
    from pickrig.inputs import read_fleet
    from pickrig.inputs.year import read_year
    from pickrig.plans.buy.answer import buy

    candidates = read_fleet(EXAMPLES / "candidates.toml", rules)
    year = read_year(EXAMPLES / "year.toml", rules)
    log = tuple(entry(n, outcome="bogged", margin=2.0, job=f"Lot {n}") for n in range(6))
    with_, books = (buy(year, candidates, rules, draws=100, yard=one) for one in (Yard(log, rules), None))
    assert "log.used" in keys(with_.beside)
    days = [
        {(name, one.work): one.middle for name, works in answer.days.items() for one in works}
        for answer in (with_, books)
    ]
    assert all(days[0][key] <= days[1][key] for key in days[1])
    assert sum(days[0].values()) < sum(days[1].values())


def test_python_and_the_command_have_the_same_log(yard):
    import pickrig

    job, machines = pickrig.read_job(yard / "muddy-lot.toml"), pickrig.read_fleet(yard / "fleet.toml")
    assert pickrig.read_log(yard / NAME, machines) is None
    Log(yard / NAME).add(*(entry(n, outcome="bogged") for n in range(3)))
    answer = pickrig.pick(job, machines, log=pickrig.read_log(yard / NAME, machines), draws=500)
    assert "3 jobs of yours held less" in " ".join(answer.text().split())


def test_hours_stuck_or_with_help_tell_nothing_of_the_pace(rules):
    told = {"hours": 12.0, "on_site": 3.0}
    log = (
        entry(1, outcome="bogged", **told),
        entry(2, helped="towed", **told),
        entry(3, outcome="turned back", **told),
    )
    assert Yard(log, rules).pace == ()
    assert Yard((*log, entry(4, hours=3.0, on_site=3.0)), rules).pace[0].jobs == 1


def test_what_was_said_before_knows_nothing_of_that_day_or_later(yard, fleet, rules):
    from pickrig.plans.yard.beside import yard_of

    Log(yard / NAME).add(*(replace(entry(n), day=f"2026-04-{n:02d}") for n in (1, 2, 3)))
    assert [
        len(yard_of(yard / "fleet.toml", fleet, rules, before=day).entries) for day in ("2026-04-03", "2026-04-02")
    ] == [2, 1]


def test_solid_tires_are_not_counted_twice_once_they_are_read(fleet, rules):
    """Half of what may go in 1,250 h: 2,500 h in all, whatever the tire is made of."""
    machine = next(one for one in fleet.machines if one.name == "Wheeled 60")
    lives = []
    for kind in ("pneumatic", "solid"):
        tyres = machine.tyres.model_copy(update={"kind": kind})
        own = fleet.model_copy(update={"machines": (machine.model_copy(update={"tyres": tyres}),)})
        readings = [
            Reading(machine="Wheeled 60", day=day, meter=meter, depth=depth)
            for day, meter, depth in (("2026-01-01", 0.0, 0.030), ("2026-06-01", 1250.0, 0.018))
        ]
        ((_, wear),) = wear_of(readings, [], own, rules)
        of_trade = rules.surfaces["site soil"].life_hours.tyres * (1 if kind == "pneumatic" else 3)
        lives.append(wear.life * of_trade)
    assert lives[0] < 2500 < lives[1]
    assert lives[1] < 2.2 * lives[0]  # apart by what is still believed of the trade, not by the whole factor of three


def test_readings_close_together_tell_nothing_and_many_hours_without_wear_a_long_life(fleet, rules):
    same_day = [reading(1000.0, 0.025, "2026-03-01"), reading(1001.0, 0.025, "2026-03-01")]
    assert wear_of(same_day, [], fleet, rules)[0][1].life == pytest.approx(1, abs=1e-3)
    season = [reading(1000.0, 0.025, "2026-03-01"), reading(1600.0, 0.025, "2026-09-01")]
    assert wear_of(season, [], fleet, rules)[0][1].life > 1.3


def test_a_new_set_nobody_measured_is_whole_and_a_new_meter_parts_the_readings(fleet, rules):
    worn = [reading(1000.0, 0.025, "2026-03-01"), reading(1600.0, 0.010, "2026-09-01")]
    assert wear_of([*worn, reading(1600.0, None, "2026-09-02", fresh=1.0)], [], fleet, rules)[0][1].left == 1
    assert wear_of([*worn, reading(None, None, "2026-09-02", fresh=1.0)], [], fleet, rules)[0][1].left == 1
    changed = [*worn, reading(3.0, 0.010, "2026-09-05"), reading(103.0, 0.008, "2026-10-05")]
    alone = wear_of(worn, [], fleet, rules)[0][1]
    assert wear_of(changed, [], fleet, rules)[0][1].life == pytest.approx(alone.life, rel=0.25)


def test_a_log_of_five_hundred_entries_is_looked_at_in_a_few_fits(rules, monkeypatch):
    from pickrig.plans.yard import teaching

    counted, own = [], teaching.fit_offsets
    monkeypatch.setattr(teaching, "fit_offsets", lambda *args: counted.append(1) or own(*args))
    log = [
        replace(
            entry(n, outcome=("held", "bogged")[n % 2], job=f"Lot {n % 9}"),
            day=f"2026-{1 + n // 50:02d}-{1 + n % 28:02d}",
        )
        for n in range(500)
    ]
    yard = Yard(tuple(log), rules)
    assert len(yard.gains) > 400
    assert len(counted) < 15


def test_nothing_is_said_of_ground_that_no_log_bears_on(fleet, rules):
    from pickrig.inputs import read_job

    log = tuple(entry(n, outcome="bogged") for n in range(4))
    sand = pick(read_job(EXAMPLES / "dry-sand.toml", rules), fleet, rules, draws=500, yard=Yard(log, rules))
    assert sand.by_log.says == ()
