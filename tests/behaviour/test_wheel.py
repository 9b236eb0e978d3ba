"""pickrig from a wheel, in an empty environment and an empty folder: rules and examples come along."""

import subprocess
import sys
import venv
from pathlib import Path

ROOT = Path(__file__).parents[2]


def test_the_wheel_runs_in_an_empty_environment(tmp_path):
    pip = [sys.executable, "-m", "pip", "--disable-pip-version-check", "-q"]
    subprocess.run([*pip, "wheel", "--no-deps", "-w", str(tmp_path / "dist"), str(ROOT)], check=True)
    (wheel,) = (tmp_path / "dist").glob("pickrig-*.whl")
    venv.create(tmp_path / "venv", with_pip=True)
    python = tmp_path / "venv" / ("Scripts" if sys.platform == "win32" else "bin") / "python"
    subprocess.run([str(python), "-m", "pip", "--disable-pip-version-check", "-q", "install", str(wheel)], check=True)
    empty = tmp_path / "empty"
    empty.mkdir()
    done = subprocess.run(
        [str(python), "-m", "pickrig", "pick"], cwd=empty, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    assert "Send Wide-track 68" in done.stdout
    assert (empty / "pickrig-muddy-lot.html").stat().st_size > 10_000
    rules = subprocess.run(
        [str(python), "-m", "pickrig", "rules"], cwd=empty, capture_output=True, text=True, check=True
    )
    assert "soils" in rules.stdout
