"""What goes wrong around a run: the disk, the folder, the clock, the terminal, a kill. Nothing lost, nothing half."""

import json
import os
import re
import signal
import subprocess
import sys
from pathlib import Path

import html5lib
import pytest

EXAMPLES = Path(__file__).parents[2] / "examples"


def run(*arguments, cwd, code=None, small_disk=False, **environment):
    """pickrig in a process of its own; `code` runs before it, a small disk takes 20 kB a file."""

    def squeeze():
        import resource

        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (20_000, 20_000))

    start = "import sys; sys.argv[0] = 'pickrig'; from pickrig.cli import main; main()"
    return subprocess.run(
        [sys.executable, "-c", f"{code or ''}\n{start}", *arguments],
        cwd=cwd,
        capture_output=True,
        stdin=subprocess.DEVNULL,
        check=False,
        timeout=120,
        preexec_fn=squeeze if small_disk else None,
        env={**os.environ, **environment},
    )


def told(done, *fragments):
    """It ended in one sentence, with the status of bad input."""
    said = done.stderr.decode()
    assert done.returncode == 2, said
    assert "Traceback" not in said
    for fragment in fragments:
        assert fragment in said, said


GARDEN = [str(EXAMPLES / "back-garden.toml"), "--fleet", str(EXAMPLES / "fleet.toml")]
WRITES = [
    (["pick", "-o", "out.html"], "out.html"),
    (["pick", "-o", "page.html", "--sheet", "out.html"], "out.html"),
    (["pick", "-o", "page.html", "--json", "out.json"], "out.json"),
]


@pytest.mark.skipif(sys.platform == "win32", reason="limits of a process are POSIX")
def test_a_full_disk_is_told_and_what_stood_there_stays(tmp_path):
    (tmp_path / "out.html").write_text("yesterday's answer", encoding="utf-8")
    done = run("pick", "-o", "out.html", cwd=tmp_path, small_disk=True)
    told(done, "out.html: cannot be written", "choose another place")
    assert (tmp_path / "out.html").read_text(encoding="utf-8") == "yesterday's answer"
    assert [path.name for path in tmp_path.iterdir()] == ["out.html"]


@pytest.mark.skipif(not Path("/proc/self").exists(), reason="needs a folder nobody may write to")
@pytest.mark.parametrize(("arguments", "file"), WRITES, ids=["page", "sheet", "record"])
def test_a_folder_nobody_may_write_to(tmp_path, arguments, file):
    arguments = [f"/proc/{part}" if part == file else part for part in arguments]
    told(run(*arguments, cwd=tmp_path), f"/proc/{file}: cannot be written")


KILLED_HALF_WAY = """
import os, signal
from pickrig import files
opened = os.fdopen
def half(*args, **how):
    file = opened(*args, **how)
    write = file.write
    def some(text):
        write(text[: len(text) // 2])
        file.flush()
        os.kill(os.getpid(), signal.SIGKILL)
    file.write = some
    return file
files.os.fdopen = half
"""


@pytest.mark.skipif(sys.platform == "win32", reason="SIGKILL is POSIX")
def test_killed_half_way_through_the_page(tmp_path):
    (tmp_path / "out.html").write_text("yesterday's answer", encoding="utf-8")
    done = run("pick", "-o", "out.html", cwd=tmp_path, code=KILLED_HALF_WAY)
    assert done.returncode == -signal.SIGKILL
    assert (tmp_path / "out.html").read_text(encoding="utf-8") == "yesterday's answer"
    again = run("pick", "-o", "out.html", cwd=tmp_path)
    assert again.returncode == 0
    assert [path.name for path in tmp_path.iterdir()] == ["out.html"]  # what the killed run left is gone as well
    html5lib.HTMLParser(strict=True).parse((tmp_path / "out.html").read_text(encoding="utf-8"))


def test_runs_at_once_into_one_file_leave_one_whole_page(tmp_path):
    start = "from pickrig.cli import main; main()"
    runs = [
        subprocess.Popen([sys.executable, "-c", start, "pick", "-o", "out.html"], cwd=tmp_path, stdout=subprocess.PIPE)
        for _ in range(3)
    ]
    answers = {process.communicate(timeout=180)[0] for process in runs}
    assert [process.returncode for process in runs] == [0] * 3
    assert len(answers) == 1
    html5lib.HTMLParser(strict=True).parse((tmp_path / "out.html").read_text(encoding="utf-8"))
    assert [path.name for path in tmp_path.iterdir()] == ["out.html"]


def test_no_home_no_cache_no_fonts(tmp_path):
    nowhere = str(tmp_path / "nowhere")
    homeless = {"HOME": "/proc", "XDG_CACHE_HOME": "/proc", "MPLCONFIGDIR": nowhere, "FONTCONFIG_FILE": "/dev/null"}
    done = run("pick", *GARDEN, "-o", "out.html", cwd=tmp_path, **homeless)
    assert done.returncode == 0, done.stderr.decode()
    assert done.stderr == b""
    page = (tmp_path / "out.html").read_text(encoding="utf-8")
    assert not re.search(r"@font-face|url\(|https?://[^\s\"<]*\.(?:css|js|woff)", page)
    stacks = re.findall(r"font(?:-family)?:[^;}]*", page)
    assert stacks
    assert all(re.search(r"sans-serif|serif|monospace|system-ui|inherit", stack) for stack in stacks), stacks


def test_no_terminal_to_ask_on(tmp_path):
    done = run("start", cwd=tmp_path)
    assert done.returncode == 130
    assert "pickrig start goes on from there" in done.stderr.decode()
    assert list(tmp_path.glob("*.toml")) == []


@pytest.mark.parametrize("locale", ["tr_TR.UTF-8"])
def test_any_locale_gives_the_same_answer(tmp_path, locale):
    plain = run("pick", "-o", "a.html", "--json", "a.json", cwd=tmp_path)
    odd = run("pick", "-o", "b.html", "--json", "b.json", cwd=tmp_path, LC_ALL=locale, LANG=locale)
    assert odd.returncode == 0, odd.stderr.decode()
    assert (tmp_path / "a.json").read_bytes() == (tmp_path / "b.json").read_bytes()
    assert (tmp_path / "a.html").read_bytes() == (tmp_path / "b.html").read_bytes()
    assert odd.stdout.replace(b"b.html", b"a.html") == plain.stdout


@pytest.mark.parametrize("encoding", ["cp437", "utf-16"])
def test_a_terminal_that_cannot_write_every_sign(tmp_path, encoding):
    odd = {"PYTHONIOENCODING": encoding, "PYTHONUTF8": "0"}
    done = run("pick", *GARDEN, "-o", "out.html", "--why", cwd=tmp_path, **odd)
    assert done.returncode == 0, done.stderr
    said = done.stdout.decode(encoding)
    assert "Stand-on 36 with bucket. Best bet" in said
    assert re.search(r"grip (?:go|care) [\d.]+(?:x|×)", said)
    record = run("pick", *GARDEN, "-o", "out.html", "--json", "-", cwd=tmp_path, **odd)
    assert json.loads(record.stdout.decode("utf-8"))["pick"] == "Stand-on 36"


def test_any_time_zone_gives_the_same_answer(tmp_path):
    job = [str(EXAMPLES / "ponding-silt.toml"), "--fleet", str(EXAMPLES / "fleet.toml")]
    for name, clock in (("home", "Nowhere/Odd"), ("away", "Pacific/Kiritimati")):
        done = run("pick", *job, "-o", f"{name}.html", "--json", f"{name}.json", cwd=tmp_path, TZ=clock)
        assert done.returncode == 0, done.stderr.decode()
    assert (tmp_path / "home.json").read_bytes() == (tmp_path / "away.json").read_bytes()
    assert json.loads((tmp_path / "home.json").read_text(encoding="utf-8"))["pick"]


@pytest.mark.parametrize("name", ["fleet.toml", "tuesday.toml", "dock-lane-weather.csv"])
def test_windows_line_ends_and_a_mark_in_front_change_nothing(tmp_path, name):
    for path in EXAMPLES.glob("*.*"):
        (tmp_path / path.name).write_bytes(path.read_bytes())
    job = "ponding-silt.toml" if name.endswith("csv") else name
    plain = run("check", job, cwd=tmp_path)
    (tmp_path / name).write_bytes(b"\xef\xbb\xbf" + (tmp_path / name).read_bytes().replace(b"\n", b"\r\n"))
    odd = run("check", job, cwd=tmp_path)
    assert (plain.returncode, plain.stdout) == (odd.returncode, odd.stdout)
    assert plain.returncode == 0


@pytest.mark.parametrize("name", ["job.toml", "fleet.toml", "weather.csv"])
def test_a_huge_file_is_refused_with_its_limit(tmp_path, name):
    (tmp_path / name).write_bytes(b"# padding\n" * (7_000_000 if name == "weather.csv" else 1_000_000))
    if name == "weather.csv":
        text = (EXAMPLES / "ponding-silt.toml").read_text(encoding="utf-8")
        (tmp_path / "job.toml").write_text(text.replace("dock-lane-weather.csv", name), encoding="utf-8")
    told(run("check", "fleet.toml" if name == "fleet.toml" else "job.toml", cwd=tmp_path), name, "MB")
