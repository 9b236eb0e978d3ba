"""The README and the guides do what they say: their commands run, and what they quote is what is answered."""

import json
import os
import re
import shlex
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest
from typer.testing import CliRunner

from pickrig.cli import app
from pickrig.inputs import read_fleet, read_job
from pickrig.plans.decides.numbers import constants
from pickrig.plans.pick.answer import pick
from pickrig.rulebook import load_rules
from tests.panels.panel import load as panel
from tests.published.mutate import allowed

ROOT = Path(__file__).parents[2]
GUIDES = ["README.md", *sorted(f"examples/{path.name}" for path in (ROOT / "examples").glob("*.md"))]
BLOCK = re.compile(r"^```(\w+)\n(.*?)^```", re.S | re.M)
RUN = ("pick", "day", "buy", "check", "rules")


def steps(name):
    """Each command of a guide with the texts quoted after it."""
    told = []
    for kind, body in BLOCK.findall((ROOT / name).read_text(encoding="utf-8")):
        if kind == "sh":
            for line in body.splitlines():
                words = shlex.split(line, comments=True)
                if words[:1] == ["pickrig"] and words[1] in RUN:
                    told.append((words[1:], []))
        elif kind == "text" and told:
            told[-1][1].extend(body.strip().splitlines())
    return told


QUOTED: dict[str, list[str]] = {}  # each command once, with what any guide quotes of it
for guide in GUIDES:
    for words, quotes in steps(guide):
        QUOTED.setdefault(shlex.join(words), []).extend(quotes)


@pytest.fixture
def clone(tmp_path, monkeypatch):
    """A folder with the examples, and the README's own lot and yard."""
    shutil.copytree(ROOT / "examples", tmp_path / "examples")
    blocks = [body for kind, body in BLOCK.findall((ROOT / "README.md").read_text(encoding="utf-8")) if kind == "toml"]
    (tmp_path / "lot.toml").write_text(blocks[0], encoding="utf-8")
    (tmp_path / "yard.toml").write_text(blocks[1], encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.mark.usefixtures("clone")
@pytest.mark.parametrize("command", QUOTED)
def test_a_command_runs_and_says_what_is_quoted(command):
    done = CliRunner().invoke(app, shlex.split(command), catch_exceptions=False)
    assert done.exit_code == 0, done.output
    said = " ".join(done.output.split())
    for line in QUOTED[command]:
        assert " ".join(line.split()) in said, f"{line!r} is not what is answered now"


def test_every_toml_in_the_readme_can_be_read():
    for kind, body in BLOCK.findall((ROOT / "README.md").read_text(encoding="utf-8")):
        if kind == "toml":
            tomllib.loads(body)


def test_no_guide_points_at_a_file_that_is_not_there():
    for name in [*GUIDES, "DEVELOPERS.md", "rules/method.md"]:
        text = (ROOT / name).read_text(encoding="utf-8")
        links = re.findall(r"\]\(([^)#:]+)\)", text)
        paths = re.findall(r"`((?:tests|rules|examples|pickrig)/[\w/.-]+)`", text)
        for path in links:
            assert ((ROOT / name).parent / path).exists(), f"{name}: {path}"
        for path in paths:
            assert (ROOT / path).exists(), f"{name}: {path}"


def test_the_method_counts_right():
    text = " ".join((ROOT / "rules" / "method.md").read_text(encoding="utf-8").split())
    watched, panels = len(constants()) - len(allowed()), panel()
    differ = sum(bool(asked.tool) for asked in panels)
    assert f"{watched} of the {len(constants())} numbers in the physics" in text
    assert f"{len(panels)} jobs answered before the tool was asked; {len(panels) - differ} agree" in text
    assert {5: "five", 4: "four", 3: "three", 2: "two"}[differ] + " say why not" in text


def worked(start, kind):
    """The blocks of DEVELOPERS.md that begin with this line, without it."""
    blocks = BLOCK.findall((ROOT / "DEVELOPERS.md").read_text(encoding="utf-8"))
    found = [body.partition("\n")[2] for language, body in blocks if language == kind and body.startswith(start)]
    assert found, start
    return found


LOT = """
title = "Worked"
[task]
kind = "move loose material"
load = "900 lb"
pieces = 10
split = true
[ground]
soil = "{soil}"
wetness = "wet"
[access]
gate = "open"
{more}
"""


def test_the_worked_soil_is_read_and_answered(tmp_path):
    (tmp_path / "soils.toml").write_text(worked("# rules/soils.toml", "toml")[0], encoding="utf-8")
    rules = load_rules(tmp_path)
    (tmp_path / "job.toml").write_text(LOT.format(soil="recycled aggregate", more=""), encoding="utf-8")
    job = read_job(tmp_path / "job.toml", rules)
    assert job.ground.soil == "RC"
    answer = pick(job, read_fleet(ROOT / "examples" / "fleet.toml", rules), rules, draws=500)
    assert answer.pick is not None


def test_the_worked_question_knocks_out_what_is_too_heavy(tmp_path):
    for folder in ("pickrig", "rules", "examples"):
        shutil.copytree(ROOT / folder, tmp_path / folder, ignore=shutil.ignore_patterns("__pycache__"))
    (field,) = worked("# pickrig/inputs/job.py", "python")
    after(tmp_path / "pickrig/inputs/job.py", "    aisle: Opening | None = None\n", field)
    (check,) = worked("# pickrig/checks/crosses.py", "python")
    (tmp_path / "pickrig/checks/crosses.py").write_text(check, encoding="utf-8")
    imports, entry = worked("# pickrig/checks/__init__.py", "python")
    after(tmp_path / "pickrig/checks/__init__.py", "from pickrig.checks.climbs import climbs\n", imports)
    after(tmp_path / "pickrig/checks/__init__.py", "CHECKS: dict[str, Check] = {\n", entry)
    for language in ("en", "es"):
        words = f"pickrig/report/words/{language}/checks.toml"
        (said,) = worked(f"# {words}", "toml")
        (tmp_path / words).write_text((tmp_path / words).read_text(encoding="utf-8") + "\n" + said, encoding="utf-8")
    questions = tmp_path / "rules" / "questions.toml"
    (row,) = worked("# rules/questions.toml", "toml")
    questions.write_text(questions.read_text(encoding="utf-8") + "\n" + row, encoding="utf-8")
    work = tmp_path / "rules" / "work.toml"
    ranked, count = re.subn(r"(ranking = \[.*)\]", r'\1, "crosses"]', work.read_text(encoding="utf-8"))
    assert count >= 10
    work.write_text(ranked, encoding="utf-8")
    (tmp_path / "job.toml").write_text(LOT.format(soil="gravel", more='bridge = "9,500 lb"'), encoding="utf-8")
    fleet = str(tmp_path / "examples" / "fleet.toml")
    command = [sys.executable, "-m", "pickrig", "pick", "job.toml", "--fleet", fleet, "--json", "-"]
    here = {**os.environ, "PYTHONPATH": str(tmp_path), "PYTHONSAFEPATH": "1"}
    done = subprocess.run(command, cwd=tmp_path, env=here, capture_output=True, check=False, timeout=120)
    assert done.returncode == 0, done.stderr.decode()
    verdicts = {
        row["machine"]: next(f["verdict"] for f in row["findings"] if f["check"] == "crosses")
        for row in json.loads(done.stdout)["ranking"]
    }
    assert verdicts["Wide-track 68"] == "no-go"  # 9,600 lb and 900 lb
    assert verdicts["Stand-on 36"] == "go"


def after(path, anchor, text):
    whole = path.read_text(encoding="utf-8")
    assert anchor in whole, anchor
    path.write_text(whole.replace(anchor, anchor + text, 1), encoding="utf-8")
