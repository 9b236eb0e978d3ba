"""Files: nothing that was read is written over, no stranger's file is touched, and only ordinary files are read."""

import os
import shutil
import subprocess
import sys
import threading
from pathlib import Path

import pytest
from typer.testing import CliRunner

from pickrig.cli import app
from pickrig.errors import InputError, OutputError, PickrigError
from pickrig.files import noting_reads, read_json, read_text, write_whole
from pickrig.inputs import read_fleet, read_job
from pickrig.inputs.board import read_board
from pickrig.inputs.year import read_year
from pickrig.report.pick.sheet import as_sheet, write_sheets
from pickrig.report.words.voice import ENGLISH
from pickrig.rulebook import load_rules

EXAMPLES = Path(__file__).parents[2] / "examples"
POSIX = pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="pipes with names are POSIX")


@pytest.fixture
def folder(tmp_path):
    for path in EXAMPLES.iterdir():
        if path.suffix in (".toml", ".csv"):
            shutil.copy(path, tmp_path)
    return tmp_path


READS = [  # command, a file it reads, an option that would write over it
    (["pick", "ponding-silt.toml", "--fleet", "fleet.toml"], "ponding-silt.toml", "-o"),
    (["pick", "ponding-silt.toml", "--fleet", "fleet.toml"], "fleet.toml", "--sheet"),
    (["pick", "ponding-silt.toml", "--fleet", "fleet.toml"], "dock-lane-weather.csv", "--json"),
    (["pick", "muddy-lot.toml", "--fleet", "fleet.toml", "--rules", "own"], "own/limits.toml", "-o"),
    (["day", "tuesday.toml", "--fleet", "fleet.toml"], "muddy-lot.toml", "--csv"),
    (["day", "tuesday.toml", "--fleet", "fleet.toml"], "tuesday.toml", "--calendar"),
    (["buy", "year.toml", "--fleet", "candidates.toml"], "ten-years.csv", "-o"),
    (["buy", "year.toml", "--fleet", "candidates.toml"], "year.toml", "--json"),
]


@pytest.mark.parametrize(("command", "read", "option"), READS, ids=[f"{r[0][0]} {r[1]} {r[2]}" for r in READS])
def test_nothing_that_was_read_is_written_over(folder, monkeypatch, command, read, option):
    (folder / "own").mkdir()
    (folder / "own" / "limits.toml").write_text("[floats]\ngo = 0.9\n", encoding="utf-8")
    monkeypatch.chdir(folder)
    before = (folder / read).read_bytes()
    result = CliRunner().invoke(app, [*command, option, read])
    assert isinstance(result.exception, OutputError)
    assert f"{read}: is an input file" in str(result.exception)
    assert (folder / read).read_bytes() == before


def test_the_shipped_tables_are_never_written_over(monkeypatch, folder):
    monkeypatch.chdir(folder)
    limits = str(Path(__file__).parents[2] / "rules" / "limits.toml")
    result = CliRunner().invoke(app, ["pick", "-o", limits])
    assert "is an input file" in str(result.exception)


def test_another_name_of_what_was_read_is_refused_too(folder, monkeypatch):
    monkeypatch.chdir(folder)
    (folder / "link.html").symlink_to(folder / "fleet.toml")
    os.link(folder / "fleet.toml", folder / "hard.html")
    for name in ("link.html", "hard.html", f"../{folder.name}/fleet.toml"):
        result = CliRunner().invoke(app, ["pick", "muddy-lot.toml", "--fleet", "fleet.toml", "-o", name])
        assert "is an input file" in str(result.exception), name


@pytest.mark.parametrize(
    ("option", "name", "says"),
    [
        ("-o", "loop", "cannot be a file name"),
        ("--json", "loop/x", "cannot be a file name"),
        ("--json", "nowhere/x.json", "there is no folder nowhere"),
        ("--sheet", "own", "is a folder"),
        ("--sheet", "pipe", "is not an ordinary file"),
    ],
)
def test_a_place_that_cannot_be_written_is_told_before_anything_is_worked_out(folder, monkeypatch, option, name, says):
    monkeypatch.chdir(folder)
    (folder / "loop").symlink_to("loop")
    (folder / "own").mkdir()
    os.mkfifo(folder / "pipe")
    monkeypatch.setattr("pickrig.plans.pick.answer.pick", lambda *_, **__: pytest.fail("it was worked out"))
    result = CliRunner().invoke(app, ["pick", "muddy-lot.toml", "--fleet", "fleet.toml", option, name])
    assert isinstance(result.exception, OutputError)
    assert says in str(result.exception)


def test_every_reader_tells_what_it_read(folder):
    rules = load_rules()
    with noting_reads() as read:
        read_job(folder / "ponding-silt.toml", rules)
        read_fleet(folder / "fleet.toml", rules)
        read_board(folder / "tuesday.toml", rules)
        read_year(folder / "year.toml", rules)
    names = {path.name for path in read}
    assert {"ponding-silt.toml", "dock-lane-weather.csv", "fleet.toml", "tuesday.toml", "year.toml"} <= names
    assert {"ten-years.csv", "muddy-lot.toml", "dry-sand.toml"} <= names


# --- the sheets of a board


@pytest.fixture
def sheets(folder, monkeypatch):
    monkeypatch.chdir(folder)

    def board(*more):
        return CliRunner().invoke(app, ["day", "tuesday.toml", "--fleet", "fleet.toml", "-o", "t.html", *more])

    return board


def test_a_job_that_was_dropped_leaves_no_sheet_and_a_strangers_file_stays(folder, sheets):
    assert sheets("--sheets", "out").exit_code == 0
    first = sorted(path.name for path in (folder / "out").iterdir())
    assert first[0] == "01.html"
    (folder / "out" / "note.html").write_text("mine", encoding="utf-8")
    text = (folder / "tuesday.toml").read_text(encoding="utf-8")
    start = text.index("[[job]]", text.index("[[job]]") + 1)
    (folder / "tuesday.toml").write_text(text[:start], encoding="utf-8")
    again = sheets("--sheets", "out")
    assert again.exit_code == 0
    left = sorted(path.name for path in (folder / "out").iterdir())
    assert left[-1] == "note.html"
    assert len(left) < len(first)
    assert (folder / "out" / "note.html").read_text(encoding="utf-8") == "mine"
    told = again.stdout.split("Sheets of an earlier board removed: ")[1]
    assert all(name in told for name in set(first) - set(left))


def test_a_strangers_page_under_a_sheets_name_is_told_before_anything_is_written(folder, sheets):
    (folder / "out").mkdir()
    (folder / "out" / "02.html").write_text("a stranger's", encoding="utf-8")
    result = sheets("--sheets", "out")
    assert "02.html: is not a sheet that pickrig wrote" in str(result.exception)
    assert [path.name for path in (folder / "out").iterdir()] == ["02.html"]
    assert not (folder / "t.html").exists()


def test_sheets_go_into_a_folder(folder, sheets):
    (folder / "out").write_text("a file", encoding="utf-8")
    assert "is a file; give --sheets a folder" in str(sheets("--sheets", "out").exception)


@pytest.mark.parametrize("option", ["--csv", "--calendar", "--json"])
def test_another_report_never_goes_where_a_sheet_goes(folder, sheets, option):
    (folder / "out").mkdir()
    result = sheets("--sheets", "out", option, "out/01.html")
    assert "01.html: is where --sheets writes a sheet" in str(result.exception)


def test_sheets_are_numbered_and_what_is_removed_is_named(tmp_path, answer_to):
    answer = answer_to()
    assert write_sheets(tmp_path, [as_sheet(answer, ENGLISH)] * 3) == []
    assert write_sheets(tmp_path, [as_sheet(answer, ENGLISH)]) == ["02.html", "03.html"]
    assert (tmp_path / "01.html").read_text(encoding="utf-8") == as_sheet(answer)


# --- what is no file


@POSIX
@pytest.mark.parametrize("which", ["job", "fleet", "rules", "weather"])
def test_a_pipe_is_refused_at_once(folder, which):
    rules = load_rules()
    pipe = folder / {"job": "a.toml", "fleet": "b.toml", "rules": "limits.toml", "weather": "w.csv"}[which]
    text = (folder / "ponding-silt.toml").read_text(encoding="utf-8").replace("dock-lane-weather.csv", "w.csv")
    (folder / "wet.toml").write_text(text, encoding="utf-8")
    own = folder / "own"
    own.mkdir()
    os.mkfifo(own / pipe.name if which == "rules" else pipe)
    readers = {
        "job": lambda: read_job(pipe, rules),
        "fleet": lambda: read_fleet(pipe, rules),
        "rules": lambda: load_rules(own),
        "weather": lambda: read_job(folder / "wet.toml", rules),
    }
    told = []

    def read():
        try:
            readers[which]()
        except PickrigError as error:
            told.append(str(error))

    reading = threading.Thread(target=read, daemon=True)
    reading.start()
    reading.join(10)
    assert not reading.is_alive(), "it waits for a pipe nobody writes to"
    assert f"{pipe.name}: is a pipe or a device" in told[0]


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="needs a device that never ends")
@pytest.mark.parametrize("device", ["/dev/zero", "/dev/null", "/dev/stdin"])
def test_a_device_is_refused(device):
    with pytest.raises(InputError, match=r"is a pipe or a device|is a folder|no such file"):
        read_text(Path(device), "job")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a disk that is always full")
@pytest.mark.parametrize("command", [["pick", "-o", "p.html"], ["rules"], ["pick", "-o", "p.html", "--json", "-"]])
def test_an_answer_that_cannot_be_printed_is_told(tmp_path, command):
    start = "from pickrig.cli import main; main()"
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [sys.executable, "-c", start, *command], stdout=full, stderr=subprocess.PIPE, cwd=tmp_path, check=False
        )
    said = done.stderr.decode()
    assert done.returncode == 2
    assert "Traceback" not in said
    assert "cannot be printed" in said


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a disk that is always full")
def test_a_page_is_never_written_to_a_device():
    with pytest.raises(OutputError, match="is not an ordinary file"):
        write_whole(Path("/dev/full"), "text")


# --- leftovers


def test_what_a_killed_run_left_is_swept_and_what_a_run_still_writes_is_not(tmp_path):
    fcntl = pytest.importorskip("fcntl")
    for name in (".pickrig-abcd1234.part", ".page.html.abcd1234.part", ".other.html.abcd1234.part", "my.part"):
        (tmp_path / name).write_text("half", encoding="utf-8")
    with (tmp_path / ".pickrig-inuse000.part").open("w") as busy:
        fcntl.flock(busy, fcntl.LOCK_EX)
        write_whole(tmp_path / "page.html", "whole")
    left = sorted(path.name for path in tmp_path.iterdir())
    assert left == [".other.html.abcd1234.part", ".pickrig-inuse000.part", "my.part", "page.html"]


@POSIX
def test_a_pipe_named_like_a_leftover_holds_nothing_up(tmp_path):
    os.mkfifo(tmp_path / ".pickrig-abcd1234.part")
    writing = threading.Thread(target=write_whole, args=(tmp_path / "page.html", "whole"), daemon=True)
    writing.start()
    writing.join(10)
    assert not writing.is_alive()
    assert (tmp_path / "page.html").read_text(encoding="utf-8") == "whole"


@pytest.mark.parametrize("text", ["[" * 100_000, "{", "\xff", "[1]"])
def test_what_was_kept_and_is_spoiled_is_forgotten(tmp_path, text):
    from pickrig.guide.draft import read_draft

    (tmp_path / "kept.json").write_text(text, encoding="latin-1")
    assert read_draft(tmp_path / "kept.json") == {}
    assert read_json(tmp_path / "none.json") is None


# --- dates of weather files


def weather_file(folder, days, *edits):
    text = (folder / "ponding-silt.toml").read_text(encoding="utf-8")
    for old, new in (("dock-lane-weather.csv", "w.csv"), *edits):
        assert old in text
        text = text.replace(old, new, 1)
    (folder / "wet.toml").write_text(text, encoding="utf-8")
    lines = [f"{day},{rain}" for day, rain in days]
    (folder / "w.csv").write_text("date,rain (mm)\n" + "\n".join(lines) + "\n", encoding="utf-8")
    return folder / "wet.toml"


MAY = [(f"{day:02d}/05/2026", day) for day in range(1, 9)]  # the first to the eighth of May, as Britain writes it
JOB_DAY = ("job_day = 2026-04-21", "job_day = 2026-05-09")


def rains(job):
    return {day.date.isoformat(): round(1000 * day.rain) for day in job.weather.days}


@pytest.mark.parametrize("country", ["UK", "EU"])
def test_a_british_file_is_read_the_day_first(folder, country):
    job = read_job(weather_file(folder, MAY, JOB_DAY, ("title", f'country = "{country}"\ntitle')), load_rules())
    assert rains(job)["2026-05-01"] == 1
    assert rains(job)["2026-05-08"] == 8


def test_an_american_file_is_read_the_month_first(folder):
    days = [(f"05/{day:02d}/2026", day) for day in range(1, 9)]
    assert rains(read_job(weather_file(folder, days, JOB_DAY), load_rules()))["2026-05-08"] == 8


def test_days_above_twelve_tell_whatever_the_country(folder):
    days = [(f"{day:02d}/05/2026", day) for day in range(6, 16)]
    job = read_job(weather_file(folder, days, ("job_day = 2026-04-21", "job_day = 2026-05-16")), load_rules())
    assert rains(job)["2026-05-07"] == 7


def test_what_makes_no_run_of_days_is_asked(folder):
    with pytest.raises(InputError, match=r'give weather.date_order = "day first"'):
        read_job(weather_file(folder, MAY, JOB_DAY), load_rules())
    told = ("[weather]", '[weather]\ndate_order = "day first"')
    assert rains(read_job(weather_file(folder, MAY, JOB_DAY, told), load_rules()))["2026-05-08"] == 8


@pytest.mark.parametrize(
    ("days", "edit", "says"),
    [
        (
            [("13/05/2026", 1), ("05/14/2026", 1)],
            ("title", "title"),
            "day first in line 2 and the month first in line 3",
        ),
        ([("31/13/2026", 1), ("05/06/2026", 1)], ("title", "title"), "line 2: .31/13/2026. is not a date"),
        ([("13/05/2026", 1)], ("[weather]", '[weather]\ndate_order = "month first"'), "line 2: is written day first"),
    ],
)
def test_a_file_that_writes_both_ways_is_told(folder, days, edit, says):
    with pytest.raises(InputError, match=says):
        read_job(weather_file(folder, days, JOB_DAY, edit), load_rules())
