"""The face for Python: jobs and fleets made by hand, answers that show themselves, and the notebook."""

import ast
import json
import subprocess
import sys
from pathlib import Path

import jsonschema
import pytest

import pickrig
from pickrig.errors import InputError
from pickrig.inputs.schemas import MODELS, schema_of
from pickrig.reading import read_toml
from pickrig.report.words.catalogue import languages

EXAMPLES = Path(__file__).parents[2] / "examples"
TASK = {"kind": "carry pallets", "load": "1,600 lb"}
GROUND = {"soil": "lean clay", "wetness": "wet"}


def test_a_job_takes_texts_with_units_or_numbers_in_si():
    said = pickrig.Job.of(task=TASK, ground=GROUND, access={"gate": "72 in"})
    counted = pickrig.Job.of(task=TASK | {"load": 1600 * 0.45359237}, ground=GROUND, access={"gate": 72 * 0.0254})
    assert (said.task.load, said.access.gate) == pytest.approx((counted.task.load, counted.access.gate))
    assert said.ground.soil == counted.ground.soil == "CL"


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: pickrig.Job.of(task=TASK | {"load": 1e9}, ground=GROUND), "job, task.load: 1000000000.0 looks wrong"),
        (lambda: pickrig.Job.of(task=TASK, ground={"soil": "lean cley"}), 'did you mean "lean clay"?'),
        (lambda: pickrig.Job.of(task=TASK, grund=GROUND), 'did you mean "ground"?'),
        (lambda: pickrig.Machine.of(name="x", kind="skid steer", mass=1), "machine[1].mass: 1 looks wrong"),
        (lambda: pickrig.Machine.of(name="x", kind="skid steer"), "give exactly one of"),
    ],
)
def test_what_cannot_be_is_told_as_for_a_file(make, says):
    with pytest.raises(InputError) as caught:
        make()
    assert says in str(caught.value)


def test_a_machine_is_filled_from_its_class_and_a_fleet_wants_names_of_their_own():
    tracks = pickrig.Machine.of(name="A", kind="tracked loader", size_class="tracked, medium", tracks={"width": 0.45})
    assert tracks.tracks.width == 0.45
    assert "mass" in tracks.filled
    with pytest.raises(InputError, match="give each machine a name of its own"):
        pickrig.Fleet.of(tracks, tracks)
    truck = {"name": "T", "mass": "8,000 lb", "gvwr": 6350}
    assert pickrig.Fleet.of(tracks, trucks=[truck]).trucks[0].mass == pytest.approx(8000 * 0.45359237)


@pytest.fixture(scope="module")
def answers(yard):
    fleet = pickrig.read_fleet(EXAMPLES / "fleet.toml")
    return [
        pickrig.pick(pickrig.read_job(EXAMPLES / "muddy-lot.toml"), fleet, draws=300),
        pickrig.plan_day(pickrig.read_day(EXAMPLES / "tuesday.toml"), fleet),
        pickrig.plan_year(pickrig.read_year(yard / "year.toml"), pickrig.read_fleet(yard / "candidates.toml")),
    ]


def test_every_answer_shows_itself(answers):
    for answer in answers:
        assert "\n" not in repr(answer)
        assert len(repr(answer)) < 200
        assert json.loads(json.dumps(answer.to_dict())) == answer.to_dict()
        assert answer.page().startswith("<!doctype html>")
        assert answer._repr_html_().startswith("<iframe")
        assert answer.text().strip()
    assert answers[0].to_dict()["pick"] == "Wide-track 68"
    assert "<h1>" in answers[0].sheet()


def test_languages_and_units_are_asked_for_by_name():
    job, fleet = pickrig.read_job(EXAMPLES / "muddy-lot.toml"), pickrig.read_fleet(EXAMPLES / "fleet.toml")
    answer = pickrig.pick(job, fleet, draws=200)
    told = {code: answer.text(language=code, units="metric") for code in languages()}
    assert answer.page(language="es") == pickrig.pick(job, fleet, language="es", draws=200).page()
    assert len(set(told.values())) == len(told)
    assert all(" mm" in text and " lb" not in text for text in told.values())


def test_nothing_is_loaded_before_it_is_asked_for():
    code = "import sys, pickrig; print([name for name in ('pydantic', 'numpy', 'jinja2') if name in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_the_notebook_runs(monkeypatch):
    monkeypatch.chdir(EXAMPLES)
    cells = json.loads((EXAMPLES / "from-python.ipynb").read_text(encoding="utf-8"))["cells"]
    space, shown = {}, []
    for cell in cells:
        if cell["cell_type"] != "code":
            continue
        tree = ast.parse("".join(cell["source"]))
        last = tree.body.pop() if isinstance(tree.body[-1], ast.Expr) else None
        exec(compile(tree, "cell", "exec"), space)
        if last is not None:
            shown.append(eval(compile(ast.Expression(last.value), "cell", "eval"), space))
    assert space["record"]["pick"] == "Wide-track 68"
    by_wetness = shown[-2]
    assert all(by_wetness["dry"][name] >= by_wetness["wet"][name] for name in by_wetness["wet"])


@pytest.mark.parametrize("kind", MODELS)
def test_the_examples_fit_the_schema_of_their_kind_and_slips_do_not(rules, kind):
    schema = schema_of(kind, rules)
    jsonschema.Draft202012Validator.check_schema(schema)
    name = {"job": "muddy-lot", "fleet": "fleet", "day": "tuesday", "year": "year", "site": "sites/quarry-lane"}[kind]
    data = read_toml(EXAMPLES / f"{name}.toml", kind).data
    plain = json.loads(json.dumps(data, default=str))
    jsonschema.validate(plain, schema)
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(plain | {"slip": 1}, schema)
