"""Which numbers the verdicts hang on: moved one at a time, and told with what is known of each."""

import importlib
import pkgutil
from pathlib import Path

import pytest

import pickrig.physics
from pickrig.plans.decides import sweep as sweeping
from pickrig.plans.decides.numbers import changed, constants, status_of_constant
from pickrig.plans.decides.sweep import Weight, sweep
from pickrig.report.decides import as_decides
from pickrig.rulebook.moving import at, moved_rules, status_of
from tests.panels import decides

README = Path(__file__).parents[2] / "examples" / "trust.md"


def test_one_number_moves_and_nothing_else(rules):
    path = ("soils", "CL", "texture", "clay")
    moved = moved_rules(rules, path, 1.2)
    assert at(moved, path) == pytest.approx(1.2 * at(rules, path))
    same = {"texture": rules.soils["CL"].texture}
    assert moved.soils["CL"].model_copy(update=same) == rules.soils["CL"]
    assert moved.soils["CH"] is rules.soils["CH"]


def test_a_number_apart_has_its_own_status(rules):
    assert status_of(rules, ("soils", "CL", "sticks", "plastic_limit")) == "from memory"
    assert status_of(rules, ("soils", "CL", "texture", "clay")) == "our judgment"


def test_the_physics_is_as_it_was_after_a_move():
    constant = next(c for c in constants() if c.function == "VCI_CURVES" and c.value == 11.48)
    module = importlib.import_module("pickrig.physics.cone_index")
    before = module.VCI_CURVES["wheeled", 1].a
    with changed(constant, 12.0):
        assert module.VCI_CURVES["wheeled", 1].a == 12.0
    assert module.VCI_CURVES["wheeled", 1].a == before


def test_every_function_of_the_ground_says_where_its_numbers_come_from(rules):
    ground = ("cone_index", "contact", "sand", "tipping", "traction", "turning")
    words = {"wetness.soil_hydraulics", "wetness.gravimetric"}  # what dry, moist and wet stand for
    named = {f"{c.module}.{c.function}" for c in constants()}
    assert {name for name in named if name.split(".")[0] in ground} | words == set(rules.physics)
    assert words <= named
    assert {m.name for m in pkgutil.iter_modules(pickrig.physics.__path__)} >= set(ground)


def test_curves_from_memory_do_not_pass_for_published(rules):
    fifty = [c for c in constants() if c.function == "VCI_CURVES" and c.value in (19.27, 125.79)]
    assert [status_of_constant(rules, c) for c in fifty] == ["from memory"] * 2


def test_the_heaviest_are_found_and_told(rules, fleet, monkeypatch):
    """On wet lean clay alone, and on some tables: the whole takes minutes."""
    monkeypatch.setattr(sweeping, "_SOILS", ("CL", "ML"))
    monkeypatch.setattr(sweeping, "constants", lambda: [c for c in constants() if c.function == "VCI_CURVES"])
    monkeypatch.setattr(sweeping, "TABLES", ("soils", "countries"))
    weights = sweep(rules, fleet)
    names = [" / ".join(map(str, one.path)) for one in weights]
    assert "soils / ML / texture / organic" in names
    assert any(name.startswith("physics / cone_index / VCI_CURVES") for name in names)
    assert not any(name.startswith(("countries", "soils / CH")) for name in names)
    assert [one.changes for one in weights] == sorted((one.changes for one in weights), reverse=True)


def test_the_readme_says_what_the_verdicts_hang_on():
    kept = decides.PAGE.read_text(encoding="utf-8")
    assert f" {decides.fingerprint()}." in kept, "numbers have moved: run python -m tests.panels.decides"
    summary = kept[kept.index("| what the rules") : kept.rindex("```")].strip()
    assert summary in README.read_text(encoding="utf-8"), f"put this into examples/trust.md:\n{summary}"


def test_shares_add_up():
    told = as_decides([Weight(("a",), "published", 3), Weight(("b",), "our judgment", 1)])
    assert " 75.0 %  published" in told
    assert "| our judgment | 1 | 25% |" in told
