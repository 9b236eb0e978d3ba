"""Bad input: one clear sentence with file, line, key, what was read, what is accepted and the mend; exit status 2."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from pickrig import quantities
from pickrig.errors import InputError, RulesError
from pickrig.facts import Quantity
from pickrig.inputs import read_fleet, read_job
from pickrig.report.words.voice import ENGLISH
from pickrig.rulebook import load_rules

JOB_FAULTS = [
    # edit of the muddy lot, fragments that the sentence must hold
    (('gate = "72 in"', 'gate = "72 kg"'), ["line 23", "access.gate", '"72 kg" is a weight', '"72 in"']),
    (('gate = "72 in"', 'gate = "72 kN"'), ["access.gate", '"72 kN" is a force', '"72 in"']),
    (('gate = "72 in"', 'gate = "72 mph"'), ["access.gate", '"72 mph" is a speed', '"72 in"']),
    (('gate = "72 in"', 'gate = "72 gpm"'), ["access.gate", '"72 gpm" is a flow of oil', '"72 in"']),
    (('gate = "72 in"', 'gate = "72 K"'), ["access.gate", "72 K"]),
    (('gate = "72 in"', "gate = 72"), ["access.gate", "72 has no unit", '"72 in"']),
    (('gate = "72 in"', 'gate = "72"'), ["access.gate", '"72" has no unit']),
    (('gate = "72 in"', 'gate = "-72 in"'), ["access.gate", "below zero"]),
    (('gate = "72 in"', 'gate = "0 in"'), ["access.gate", "is zero"]),
    (('gate = "72 in"', "gate = nan"), ["access.gate", "nan has no unit"]),
    (('gate = "72 in"', "gate = inf"), ["access.gate", "inf has no unit"]),
    (('gate = "72 in"', 'gate = "nan in"'), ["access.gate", "cannot be read as a quantity"]),
    (('gate = "72 in"', 'gate = "inf in"'), ["access.gate", "cannot be read as a quantity"]),
    (('gate = "72 in"', 'gate = "1e999 in"'), ["access.gate", "not a finite number"]),
    (('gate = "72 in"', 'gate = "72 parsecs"'), ["access.gate", "'parsecs'", "not known"]),
    (('gate = "72 in"', 'gate = "72 mi"'), ["access.gate", "looks wrong", 'did you mean "72 in"?']),
    (('gate = "72 in"', 'gate = ""'), ["access.gate", "is empty"]),
    (('gate = "72 in"', "gate = true"), ["access.gate", "True should be a length as one text"]),
    (('gate = "72 in"', 'gat = "72 in"'), ["access.gat", "not a known key", 'did you mean "gate"?']),
    (('soil = "lean clay"', 'soil = "leen clay"'), ["ground.soil", '"leen clay"', 'did you mean "lean clay"?']),
    (('soil = "lean clay"\n', ""), ["ground", "says nothing of the soil", "thumb"]),
    (('wetness = "wet"', 'wetness = "soggy"'), ["ground.wetness", '"soggy"', '"dry", "moist", and "wet"']),
    (('wetness = "wet"', 'thumb = "firm"'), ["ground.thumb", '"firm"', "thumb easily"]),
    (('wetness = "wet"', 'moisture = ["30 %", "20 %", "34 %"]'), ["low, best, high"]),
    (('wetness = "wet"', 'moisture = ["30 %", "34 %"]'), ["one value or three"]),
    (('kind = "carry pallets"', 'kind = "cary pallets"'), ["task.kind", 'did you mean "carry pallets"?']),
    (('kind = "carry pallets"\n', ""), ["task.kind", "is missing", 'kind = "carry pallets"']),
    (
        ('attachment = "pallet forks"', 'attachment = "pallet fork"'),
        ["task.attachment", 'did you mean "pallet forks"?'],
    ),
    (('asphalt = "20 %"', 'asphalt = "30 %"'), ["sum to 110 %", "100 %"]),
    (('asphalt = "20 %"', 'asfalt = "20 %"'), ["asfalt", 'did you mean "asphalt"?']),
    (("pieces = 14", "pieces = 0"), ["task.pieces", "0 is too small; at least 1"]),
    (("pieces = 14", 'pieces = "many"'), ["task.pieces", "whole number"]),
    (('load = "1,600 lb" ', 'load = "1,700 t" '), ["task.load", 'did you mean "1700 lb"?']),
    (('title = "Back lot on Miller Road, paver pallets"', 'title = "unclosed'), ["not valid TOML", "line 2"]),
    (("[access]", "[weights]\nranking = ['flots']\n[access]"), ["weights.ranking", "name questions, each once"]),
    (("[access]", "[weights]\n[access]"), ["weights", "ranking", "points"]),
    (('gate = "72 in"', 'gate = "1,83 m"'), ["access.gate", "comma", "decimal point"]),
    (('gate = "72 in"', 'gate = ["72 in"]'), ["access.gate", "one text with its unit"]),
    (('gate = "72 in"', 'gate = "1 1/0 in"'), ["access.gate", "fraction over zero"]),
    (('gate = "72 in"', 'gate = "+-72 in"'), ["access.gate", "cannot be read"]),
    (("pieces = 14", "pieces = true"), ["task.pieces", "whole number"]),
    (("pieces = 14", "pieces = " + "9" * 5000), ["number too long"]),
    (('wetness = "wet"', 'wetness = "dry"\nstanding_water = true'), ["ground", "take out the one"]),
    (('wetness = "wet"', 'wetness = "wet"\nmoisture = "30 %"'), ["ground", "keep one of them"]),
    (('soil = "lean clay"', 'soil = "mud"'), ["ground.soil", "mostly clay, silt, sand or gravel?", "thumb"]),
    (('soil = "lean clay"', 'soil = "sand"\ncone = "100 psi"'), ["ground.cone", "says nothing of poorly graded sand"]),
    (('wetness = "wet"', "moisture = 0.26"), ["ground.moisture", "has no unit"]),
    (('title = "Back lot on Miller Road, paver pallets"', 'title = " "'), ["title", "blank"]),
    (('title = "Back lot on Miller Road, paver pallets"', 'title = "a\\u202eb"'), ["title", "invisible"]),
]


@pytest.mark.parametrize(("edit", "fragments"), JOB_FAULTS, ids=[f[0][1].strip()[:30] for f in JOB_FAULTS])
def test_job_faults(edited, rules, edit, fragments):
    path = edited("muddy-lot.toml", edit)
    with pytest.raises(InputError) as caught:
        read_job(path, rules)
    assert len(caught.value.problems) == 1, str(caught.value)
    sentence = str(caught.value).splitlines()[0]
    assert sentence.startswith(str(path))
    for fragment in fragments:
        assert fragment in sentence


FLEET_FAULTS = [
    (('mass = "3,300 lb"', 'mass = "700 t"'), ["machine[1].mass", '"700 t" looks wrong', 'did you mean "700 lb"?']),
    (('mass = "3,300 lb"', 'mass = "3,300 in"'), ["machine[1].mass", "is a length", "weight"]),
    (('name = "Wheeled 60"', 'name = "stand-on 36"'), ["machine[2].name", "also the name of machine[1]"]),
    (
        ('tipping_load = "4,000 lb"', 'rated_capacity = "2,150 lb"'),
        ["rated_capacity", "tipping_load and tipping_share"],
    ),
    (('kind = "skid steer"', 'kind = "skidsteer"'), ["machine[2].kind", 'did you mean "skid steer"?']),
    (('size_class = "wheeled, medium"', 'size_class = "wheeled, huge"'), ["size_class", "is not a size class"]),
    (
        ('size_class = "wheeled, medium"', 'size_class = "tracked, small"'),
        ["no class for a skid steer", '"wheeled, medium"'],
    ),
    (('width = "10.5 in"', 'width = "40 in"'), ["wider than its diameter"]),
    (("road_wheels = 8", "road_wheels = 2"), ["road_wheels", "2 is too small; at least 4"]),
    (('tipping_share = "35 %"', 'tipping_share = "135 %"'), ["tipping_share", "looks wrong"]),
    (('name = "Stand-on 36"\n', ""), ["machine[1].name", "is missing"]),
    (('mass = "3,300 lb"', 'weight = "3,300 lb"'), ["machine[1].weight", "as mass"]),
    (('contact_length = "42 in"', 'contact_length = "30 ft"'), ["contact_length", "looks wrong"]),
    (('contact_length = "42 in"', 'contact_length = "99 in"'), ["machine[1]", "cannot be built like that", "touch"]),
    (('width = "36 in"', 'width = "12 in"'), ["machine[1]", "cannot be built like that"]),
    (('inner_radius = "72 in"', 'inner_radius = "172 in"'), ["machine[6]", "inner_radius is more than outer_radius"]),
    (('size_class = "stand-on, tracks"', 'size_class = "stand-on, wheels"'), ["does not stand on", "tracks"]),
    (('set_price = "$2,300"', 'set_price = "$2.300"'), ["set_price", "looks wrong"]),
    (('tipping_share = "50 %"', 'tipping_share = "100 %"'), ["tipping_share", "80 %"]),
]


@pytest.mark.parametrize(("edit", "fragments"), FLEET_FAULTS, ids=[f[0][1].strip()[:30] for f in FLEET_FAULTS])
def test_fleet_faults(edited, rules, edit, fragments):
    path = edited("fleet.toml", edit)
    with pytest.raises(InputError) as caught:
        read_fleet(path, rules)
    told = str(caught.value)
    assert told.startswith(str(path))
    for fragment in fragments:
        assert fragment in told


LENGTHS = {
    "72 IN": 1.8288, "72 Inches": 1.8288, "6 Ft": 1.8288, "72 in.": 1.8288, "6'": 1.8288, "1 yd 1 ft": 1.2192,
    "1/2 in": 0.0127, "72½ in": 1.8415, "72 1/2 in": 1.8415, "6'0.5\"": 1.8415, "1,000 mm": 1.0, "2 m": 2.0,
}  # fmt: skip


@pytest.mark.parametrize(("text", "metres"), LENGTHS.items())
def test_lengths_as_people_write_them(text, metres):
    assert quantities.parse(text, "length") == pytest.approx(metres, rel=1e-9)


def test_other_quantities_as_people_write_them():
    assert quantities.parse("1700 lbs.", "mass") == pytest.approx(771.107, abs=0.001)
    assert quantities.parse("800 KG", "mass") == quantities.parse("800 kilos", "mass") == 800
    assert quantities.parse("52 kw", "power") == 52e3
    assert quantities.parse("3600 $", "money") == quantities.parse("$3,600", "money") == 3600
    assert quantities.parse("41 °F", "temperature") == pytest.approx(5)
    assert quantities.parse("-4 C", "temperature") == -4


@pytest.mark.parametrize("system", ["us", "metric"])
def test_what_is_shown_reads_back_the_same(system):
    for metres in (0.05, 0.5, 1.83, 2.44, 4.0):
        shown = ENGLISH.write(Quantity(metres, "length", system))
        assert quantities.parse(shown, "length") == pytest.approx(metres, abs=0.013), shown


def test_the_line_is_the_line_of_the_key(edited, rules):
    path = edited("fleet.toml", ('contact_length = "62 in"', 'contact_length = "62 lb"'))
    with pytest.raises(InputError) as caught:
        read_fleet(path, rules)
    lines = path.read_text(encoding="utf-8").splitlines()
    number = next(i for i, line in enumerate(lines, start=1) if line == 'contact_length = "62 lb"')
    assert f"line {number}, machine[5].tracks.contact_length" in str(caught.value).splitlines()[0]


@pytest.mark.parametrize(
    ("make", "fragment"),
    [
        (lambda _: None, "no such file"),
        (lambda p: p.mkdir(), "is a folder"),
        (lambda p: p.write_text(""), "is empty"),
        (lambda p: p.write_text("  \n\n"), "is empty"),
        (lambda p: p.write_bytes(b'title = "\xff\xfe"'), "is not UTF-8"),
        (lambda p: p.write_text("a = " + "[" * 5000), "nested too deeply"),
        (lambda p: p.write_text('title = "x"\n' + "# long\n" * 200_000), "MB"),
        (lambda p: p.write_text("just words"), "not valid TOML"),
    ],
)
def test_files_that_are_no_job(tmp_path, rules, make, fragment):
    path = tmp_path / "job.toml"
    make(path)
    with pytest.raises(InputError) as caught:
        read_job(path, rules)
    assert len(caught.value.problems) == 1
    assert fragment in str(caught.value).splitlines()[0]


def test_figures_that_contradict_the_size_class_are_told(edited, rules):
    path = edited("fleet.toml", ('length = "96 in"\n', ""), ('contact_length = "42 in"', 'contact_length = "150 in"'))
    with pytest.raises(InputError, match="against its size class"):
        read_fleet(path, rules)


def test_a_near_file_name_is_offered(tmp_path, rules):
    (tmp_path / "lot.toml").write_text("x = 1")
    with pytest.raises(InputError, match=r"did you mean .*lot\.toml"):
        read_job(tmp_path / "lott.toml", rules)


def test_byte_order_mark_and_windows_line_ends_read_the_same(edited, rules):
    path = edited("muddy-lot.toml")
    plain = read_job(path, rules)
    path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes().replace(b"\n", b"\r\n"))
    assert read_job(path, rules) == plain


def run(*arguments: str, cwd: Path, **environment: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "pickrig", *arguments],
        cwd=cwd,
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, **environment},
    )


def test_exit_statuses_and_streams(edited, tmp_path):
    fleet = edited("fleet.toml")
    good = run("pick", cwd=tmp_path)
    assert good.returncode == 0
    assert "Wide-track 68 with pallet forks. Best bet" in good.stdout
    assert (tmp_path / "pickrig-muddy-lot.html").exists()
    narrow = edited("muddy-lot.toml", ('gate = "72 in"', 'gate = "30 in"'))
    none = run("pick", str(narrow), "--fleet", str(fleet), cwd=tmp_path)
    assert none.returncode == 3
    assert "What would make each usable" in none.stdout
    bad = edited("muddy-lot.toml", ('gate = "72 in"', 'gate = "72 kg"'))
    wrong = run("pick", str(bad), "--fleet", str(tmp_path / "nowhere.toml"), cwd=tmp_path)
    assert wrong.returncode == 2
    assert "Traceback" not in wrong.stderr
    assert len(wrong.stderr.strip().splitlines()) == 2  # the job's fault and the fleet's
    assert wrong.stdout == ""


def test_json_on_standard_output_is_json_alone(tmp_path):
    import json

    done = run("pick", "--json", "-", cwd=tmp_path)
    assert json.loads(done.stdout)["pick"] == "Wide-track 68"
    assert "Wide-track 68 with pallet forks. Best bet" in done.stderr


def test_a_page_that_cannot_be_written_is_told_and_nothing_is_left(tmp_path):
    done = run("pick", "-o", str(tmp_path / "missing" / "page.html"), cwd=tmp_path)
    assert done.returncode == 2
    assert "cannot be written" in done.stderr
    folder = run("pick", "-o", str(tmp_path), cwd=tmp_path)
    assert folder.returncode == 2
    assert "is a folder" in folder.stderr
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("columns", ["20", "80", "200"])
def test_terminal_text_keeps_to_the_width(tmp_path, columns):
    done = run("pick", "-o", "page.html", cwd=tmp_path, COLUMNS=columns)
    answer = done.stdout.split("The whole page")[0]
    assert max(map(len, answer.splitlines())) <= max(40, min(100, int(columns)))


def test_check_and_rules_commands(edited, tmp_path):
    fleet, job = edited("fleet.toml"), edited("muddy-lot.toml")
    good = run("check", str(fleet), str(job), cwd=tmp_path)
    assert good.returncode == 0
    assert "as a fleet" in good.stdout
    assert "as a job" in good.stdout
    assert run("rules", cwd=tmp_path).returncode == 0
    table = run("rules", "questions", cwd=tmp_path)
    assert "floats" in table.stdout
    assert "our judgment" in table.stdout
    unknown = run("rules", "question", cwd=tmp_path)
    assert unknown.returncode == 2
    assert 'did you mean "questions"?' in unknown.stderr


def test_every_command_shows_an_example(tmp_path):
    for command in ("pick", "check", "rules"):
        assert "Example: pickrig" in run(command, "--help", cwd=tmp_path).stdout


def test_own_rules_are_laid_over_ours(tmp_path, rules):
    (tmp_path / "limits.toml").write_text('[floats]\ncaution = 0.80\nstatus = "our judgment"\n')
    own = load_rules(tmp_path)
    assert own.limits.floats.caution == 0.80
    assert own.limits.floats.go == rules.limits.floats.go
    assert own.soils == rules.soils


@pytest.mark.parametrize(
    ("name", "text", "fragment"),
    [
        ("limit.toml", "", "no table has that name"),
        ("limits.toml", "[floats\n", "is not valid TOML"),
        ("limits.toml", "[floats]\ngo = 'x'\n", "floats.go"),
        ("questions.toml", '[floats]\nstatus = "published"\n', "needs a source"),
        ("questions.toml", '[floats]\nstatus = "published"\nsource = "NOBODY"\n', "NOBODY"),
    ],
)
def test_faults_in_own_rules(tmp_path, name, text, fragment):
    (tmp_path / name).write_text(text)
    with pytest.raises(RulesError) as caught:
        load_rules(tmp_path)
    assert fragment in str(caught.value)
    with pytest.raises(RulesError, match="not a folder"):
        load_rules(tmp_path / "nothing")
