"""The wheel brings what pickrig needs beside its code: rules, examples, templates, catalogues.

That it brings its libraries too, CI shows: the README's first command installs it into an empty environment.
"""

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def unpacked(tmp_path_factory):
    """The built wheel, unpacked into a folder of its own."""
    place = tmp_path_factory.mktemp("wheel")
    pip = [sys.executable, "-m", "pip", "--disable-pip-version-check", "-q"]
    subprocess.run([*pip, "wheel", "--no-deps", "-w", str(place / "dist"), str(ROOT)], check=True)
    (wheel,) = (place / "dist").glob("pickrig-*.whl")
    subprocess.run([*pip, "install", "--no-deps", "--target", str(place / "site"), str(wheel)], check=True)
    return place / "site"


def run(unpacked, tmp_path, *arguments):
    env = {**os.environ, "PYTHONPATH": str(unpacked)}
    return subprocess.run(
        [sys.executable, *arguments], cwd=tmp_path, env=env, capture_output=True, text=True, check=False
    )


def test_it_runs_from_the_wheel_alone_in_an_empty_folder(unpacked, tmp_path):
    assert run(unpacked, tmp_path, "-c", "import pickrig; print(pickrig.__file__)").stdout.startswith(str(unpacked))
    done = run(unpacked, tmp_path, "-m", "pickrig", "pick", "--language", "es")
    assert done.returncode == 0, done.stderr
    assert "Wide-track 68 con horquillas" in done.stdout
    assert (tmp_path / "pickrig-muddy-lot.html").stat().st_size > 10_000
    assert "soils" in run(unpacked, tmp_path, "-m", "pickrig", "rules").stdout


def test_it_holds_every_file_that_is_not_code(unpacked):
    for folder, inside in (("rules", "rules"), ("examples", "examples"), ("pickrig", ".")):
        wanted = {p.relative_to(ROOT / folder) for p in (ROOT / folder).rglob("*") if p.is_file()}
        wanted = {p for p in wanted if "__pycache__" not in p.parts}
        there = {p.relative_to(unpacked / "pickrig" / inside) for p in (unpacked / "pickrig" / inside).rglob("*")}
        assert wanted - there == set()
