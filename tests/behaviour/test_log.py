"""The log of what happened: written in a moment, never silently lost, read back whole."""

import csv
import multiprocessing
import os
import signal
import sqlite3
import time
from dataclasses import replace
from pathlib import Path

import pytest
from typer.testing import CliRunner

from pickrig.cli import app
from pickrig.errors import InputError, OutputError, PickrigError
from pickrig.log import store
from pickrig.log.entry import Entry
from pickrig.log.store import NAME, Log
from pickrig.log.table import as_csv, from_csv
from tests.conftest import english


@pytest.fixture
def log(tmp_path):
    return Log(tmp_path / NAME)


def entry(number=0, **told):
    return Entry(**{"job": f"Lot {number}", "machine": "Wide-track 68", "day": "2026-04-21", "outcome": "held"} | told)


def test_what_is_added_comes_back_whole_and_in_order(log):
    assert log.entries() == []
    assert not log.path.exists()  # to look writes nothing
    told = [entry(n, rut=0.05 * n, hours=5.5, note="=1+1 ünïcode", entered=f"2026-04-2{n}T10:00:00") for n in range(5)]
    assert log.add(*told) == 5
    assert log.entries() == told
    assert log.add(*told) == 0  # the same again adds nothing
    assert log.entries() == told


def test_a_struck_entry_stays_in_the_file(log):
    first, second = entry(1), entry(2)
    log.add(first, second)
    assert log.strike(first.id[:10], "2026-05-01").struck
    assert log.entries() == [second]
    assert {one.id for one in log.everything()} == {first.id, second.id}
    for start in ("", "zz", first.id[:10]):  # gone already
        with pytest.raises(InputError):
            log.strike(start, "2026-05-02")


def test_a_correction_strikes_what_it_replaces(log):
    wrong = entry(1)
    log.add(wrong)
    right = entry(1, outcome="bogged", replaces=wrong.id)
    assert log.add(right) == 1
    assert log.entries() == [right]


@pytest.mark.parametrize(
    "told", [{"sent": "perhaps"}, {"outcome": "flew"}, {"helped": "wings"}, {"hours": -1.0}, {"hours_kind": "moon"}]
)
def test_what_does_not_fit_is_refused_and_leaves_the_file_as_it_was(log, told):
    log.add(entry(1))
    with pytest.raises(InputError) as caught:
        log.add(entry(2), entry(3, **told))
    assert "nothing was written" in english(caught.value.problems)
    assert len(log.entries()) == 1


def test_another_file_is_not_taken_for_a_log(tmp_path):
    text = tmp_path / "text"
    text.write_text("no database at all " * 100, encoding="utf-8")
    other = tmp_path / "other.sqlite"
    with sqlite3.connect(other) as database:
        database.execute("CREATE TABLE mine (a)")
    for path in (text, other):
        before = path.read_bytes()
        for act in (Log(path).entries, lambda path=path: Log(path).add(entry())):
            with pytest.raises(PickrigError) as caught:
                act()
            assert "no log of pickrig" in english(caught.value.problems)
        assert path.read_bytes() == before


def test_a_newer_log_is_read_and_not_written(log):
    log.add(entry(1))
    with sqlite3.connect(log.path) as database:
        database.execute("PRAGMA user_version = 99")
    assert len(log.entries()) == 1
    with pytest.raises(OutputError) as caught:
        log.add(entry(2))
    assert "newer" in english(caught.value.problems)


def test_an_older_log_is_migrated_after_a_backup(log, monkeypatch):
    log.add(entry(1))
    before = log.entries()
    monkeypatch.setattr(store, "_MIGRATIONS", (*store._MIGRATIONS, "CREATE INDEX by_day ON entry (day)"))
    assert log.entries() == before
    backup = log.path.with_name("pickrig-log.before-5.sqlite")
    with sqlite3.connect(backup) as database:
        assert database.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        assert database.execute("SELECT count(*) FROM entry").fetchone() == (1,)
    with sqlite3.connect(log.path) as database:
        assert database.execute("PRAGMA user_version").fetchone() == (5,)


def test_a_migration_that_fails_leaves_the_log_as_it_was(log, monkeypatch):
    log.add(entry(1))
    monkeypatch.setattr(store, "_MIGRATIONS", (*store._MIGRATIONS, "CREATE INDEX a ON entry (day)", "no SQL at all"))
    with pytest.raises(PickrigError):
        log.add(entry(2))
    monkeypatch.undo()
    assert len(log.entries()) == 1
    assert log.add(entry(2)) == 1


def test_a_log_that_another_program_holds_is_told(log, monkeypatch):
    log.add(entry(1))
    monkeypatch.setattr(store, "_BUSY", 0.05)
    held = sqlite3.connect(log.path, isolation_level=None)
    held.execute("BEGIN EXCLUSIVE")
    with pytest.raises(OutputError) as caught:
        log.add(entry(2))
    assert "another program" in english(caught.value.problems)
    held.execute("ROLLBACK")
    held.close()
    assert log.add(entry(2)) == 1


def _writes(path, number):
    for n in range(20):
        Log(path).add(entry(100 * number + n))


def test_two_programs_at_once_lose_nothing(log):
    log.add(entry(0))
    both = [multiprocessing.get_context("spawn").Process(target=_writes, args=(log.path, n)) for n in (1, 2)]
    for one in both:
        one.start()
    for one in both:
        one.join(60)
        assert one.exitcode == 0
    assert len(log.entries()) == 41


def _writes_for_ever(path):
    n = 0
    while True:
        Log(path).add(*(entry(n + k) for k in range(50)))
        n += 50


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="nothing kills so here")
def test_a_kill_at_any_moment_leaves_whole_entries(log):
    log.add(entry(0))
    for wait in (0.0, 0.03, 0.07):
        writer = multiprocessing.get_context("spawn").Process(target=_writes_for_ever, args=(log.path,))
        writer.start()
        count = len(log.entries())
        while len(log.entries()) == count:
            time.sleep(0.02)
        time.sleep(wait)
        os.kill(writer.pid, signal.SIGKILL)
        writer.join()
        assert (len(log.entries()) - 1) % 50 == 0
        with sqlite3.connect(log.path) as database:
            assert database.execute("PRAGMA integrity_check").fetchone() == ("ok",)


def test_a_full_disk_is_told_and_what_stood_there_is_whole(log, monkeypatch):
    log.add(entry(0))
    own = sqlite3.connect

    def narrow(*args, **told):
        database = own(*args, **told)
        pages = database.execute("PRAGMA page_count").fetchone()[0]
        database.execute(f"PRAGMA max_page_count = {pages}")
        return database

    monkeypatch.setattr(store.sqlite3, "connect", narrow)
    with pytest.raises(OutputError) as caught:
        log.add(*(entry(n, note="x" * 500) for n in range(100)))
    assert "disk is full" in english(caught.value.problems)
    monkeypatch.undo()
    assert len(log.entries()) == 1


def test_csv_goes_out_and_comes_back(log, tmp_path):
    told = [
        entry(1, note='=HYPERLINK("x"), "quoted"\nlines', rut=0.07, entered="2026-04-21"),
        entry(2, entered="2026-04-22"),
    ]
    log.add(*told)
    path = tmp_path / "log.csv"
    path.write_text(as_csv(log.everything()), encoding="utf-8")
    assert "'=HYPERLINK" in path.read_text(encoding="utf-8")  # no spreadsheet runs it
    assert from_csv(path) == told
    other = Log(tmp_path / "other.sqlite")
    assert other.add(*from_csv(path)) == 2
    assert other.entries() == told
    for odd in ("nan", "inf", "-inf", "many"):
        path.write_text(as_csv(told).replace(",0.07,", f",{odd},"), encoding="utf-8")
        with pytest.raises(InputError):
            from_csv(path)
    path.write_text("a,b\n1,2\n", encoding="utf-8")
    with pytest.raises(InputError):
        from_csv(path)


def test_an_anonymous_export_keeps_ground_and_machine_and_no_name(yard, tmp_path):
    args = [
        "log",
        "add",
        str(yard / "muddy-lot.toml"),
        "--fleet",
        str(yard / "fleet.toml"),
        "--machine",
        "Wide-track 68",
    ]
    args += ["--log", str(tmp_path / NAME), "--held", "--note", "Mr. Nobody's lot", "--crew", "Ann"]
    done = CliRunner().invoke(app, args, catch_exceptions=False)
    assert done.exit_code == 0
    (kept,) = Log(tmp_path / NAME).entries()
    text = as_csv([kept], anonymous=True)
    for name in ("Miller", "Wide-track", "Nobody", "Ann"):
        assert name not in text
    row = next(csv.DictReader(text.splitlines()))
    assert row["soil"] == "CL"
    assert row["outcome"] == "held"
    assert '"mass"' in row["answer"]
    assert float(row["chance"]) == kept.chance


@pytest.mark.parametrize(
    ("options", "fragment"),
    [
        ([], "0 were told"),
        (["--held", "--bogged"], "2 were told"),
        (["--rutted", "deep"], "--rutted"),
        (["--held", "--with", "wings"], "accepted is none, mats"),
        (["--held", "--hours", "5 furlongs"], "--hours"),
        (["--held", "--on", "soon"], "2026-04-21"),
        (["--held", "--on", "2062-01-01"], "still to come"),
        (["--too-soft", "--hours", "3 h"], "not sent took no hours"),
        (["--would-have-held", "--with", "mats"], "not sent took no hours"),
        (["--held", "--machine", "Wide-trak"], "no machine"),
    ],
)
def test_what_cannot_be_read_is_told_and_nothing_written(yard, tmp_path, options, fragment):
    args = ["log", "add", str(yard / "muddy-lot.toml"), "--fleet", str(yard / "fleet.toml")]
    args += [] if "--machine" in options else ["--machine", "Wide-track 68"]
    with pytest.raises(PickrigError) as caught:
        CliRunner().invoke(app, [*args, "--log", str(tmp_path / NAME), *options], catch_exceptions=False)
    assert fragment in english(caught.value.problems)
    assert not Path(tmp_path / NAME).exists()


def test_the_log_is_shown_struck_and_told(yard, tmp_path):
    base = ["--fleet", str(yard / "fleet.toml"), "--log", str(tmp_path / NAME)]
    told = entry(3, outcome="", sent="too soft", would_have="held")
    Log(tmp_path / NAME).add(
        entry(1, rut=0.0762, outcome="rutted", hours=5.0, chance=0.75), replace(told, id="ab" * 16)
    )
    shown = CliRunner().invoke(app, ["log", "show", *base], catch_exceptions=False).output
    assert "Rutted 3 in. It took 5 h. Said before: holds 15 times in 20." in " ".join(shown.split())
    assert "it would have held" in shown
    done = CliRunner().invoke(app, ["log", "strike", "abab", *base], catch_exceptions=False)
    assert "Struck out" in done.output
    assert len(Log(tmp_path / NAME).entries()) == 1


def test_corrections_are_counted_and_a_late_original_stays_struck(log):
    old = entry(1, id="a" * 32)
    new = entry(1, outcome="bogged", replaces=old.id)
    assert log.add(new) == 1
    assert log.add(old) == 1  # arrives after its correction
    assert log.entries() == [new]
    assert log.add(old, new) == 0


@pytest.mark.parametrize("day", ["03/04/2026", "2062-01-01", "soon", ""])
def test_a_day_that_is_none_or_still_to_come_is_refused(tmp_path, day):
    path = tmp_path / "log.csv"
    path.write_text(as_csv([entry(1, day=day)]), encoding="utf-8")
    with pytest.raises(InputError, match="2026-04-21"):
        from_csv(path)
