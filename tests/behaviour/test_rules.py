"""The rule tables: every number sourced, every source used, every name pointing somewhere."""

from pathlib import Path

import pytest
from typer.testing import CliRunner

from pickrig.checks import CHECKS
from pickrig.cli import app
from pickrig.errors import RulesError
from pickrig.report.tables import audit_summary
from pickrig.rulebook import read_tables
from pickrig.rulebook.audit import audit
from pickrig.scoring import piecewise_value

README = Path(__file__).parents[2] / "README.md"


def test_every_question_has_a_curve_and_a_place_in_every_ranking(rules):
    assert set(rules.questions) == set(CHECKS)
    for work in rules.work.values():
        assert sorted(work.ranking) == sorted(CHECKS)
        assert work.attachment in rules.attachments


def test_curves_are_monotone_and_cover_their_limits(rules):
    for name, curve in rules.questions.items():
        piecewise_value(curve.points, curve.points, curve.values)  # raises on a curve that turns back
        assert {curve.values[0], curve.values[-1]} == {0.0, 1.0}, name
    assert rules.questions["floats"].points[0] == rules.limits.floats.caution
    assert rules.questions["fits"].points[0] == rules.limits.fits.caution_m


def test_names_of_soils_and_surfaces_are_never_shared(rules):
    for table in (rules.soils, rules.surfaces):
        names = [n.lower() for key, row in table.items() for n in {key, getattr(row, "name", key), *row.also}]
        assert len(names) == len(set(names))


def test_soils_point_at_presumptive_rows_and_stay_below_saturation(rules):
    for key, soil in rules.soils.items():
        assert soil.presumptive == "none" or soil.presumptive in rules.presumptive
        if soil.family == "fine":
            assert soil.moisture.dry < soil.moisture.moist < soil.moisture.wet
            assert soil.moisture.wet < 1000 / soil.dry_density - 1000 / rules.strength["solids_density"].value, key


def test_every_attachment_comes_in_every_frame_a_machine_may_have(rules):
    for sizes in rules.attachments.values():
        assert set(sizes) == {"stand-on", "compact"}


def test_every_value_has_a_source_and_a_status_and_every_source_is_cited_and_used():
    assert audit(read_tables()).faults == []


def test_the_readme_says_how_much_of_what_we_say_is_published():
    summary = audit_summary(audit(read_tables()))
    assert summary in README.read_text(encoding="utf-8"), f"put this into README.md:\n{summary}"


@pytest.mark.parametrize(
    ("spoil", "says"),
    [
        (lambda t: t["limits"]["floats"].pop("status"), "limits.toml, floats / go = 0.85: has no status"),
        (lambda t: t["limits"].update(new={"value": 3}), "limits.toml, new / value = 3: has no status"),
        (lambda t: t["strength"]["cone_factor"].pop("source"), "cone_factor / low = 10: says published"),
        (lambda t: t["limits"]["floats"].update(source="NOBODY"), "names the source 'NOBODY'"),
        (lambda t: t["sources"]["SR04-1"].update(citation=" "), "sources.toml, SR04-1: has no citation"),
        (lambda t: t["sources"].update(NEW={"citation": "A book", "read": "first-hand"}), "NEW: no row names it"),
        (lambda t: t["covers"]["grass"].update(apart={"gras": "our judgment"}), "grass: tells apart"),
        (lambda t: t["covers"]["grass"].update(apart={"curve_number": "our judgment"}), "grass: tells apart"),
        (lambda t: t["covers"]["grass"].update(apart={"says": "our judgment"}), "grass: tells apart"),
        (lambda t: t["covers"]["grass"].update(apart={"grass": "sure"}), "its status 'sure' is none of"),
        (lambda t: t["limits"]["floats"].update(status="sure"), "its status 'sure' is none of"),
        (lambda t: t["limits"].update(ours=[{"value": 1}]), "limits.toml, ours"),
        (lambda t: t["sources"].update(NEW="a book"), "sources.toml, NEW: has no citation"),
    ],
)  # fmt: skip
def test_the_audit_finds_what_is_amiss(spoil, says):
    tables = read_tables()
    spoil(tables)
    assert any(says in fault for fault in audit(tables).faults), audit(tables).faults


def test_the_audit_counts_every_number_once():
    def numbers(node):
        children = node.values() if isinstance(node, dict) else node if isinstance(node, list) else ()
        return sum(map(numbers, children)) + (type(node) in (int, float))

    tables = read_tables()
    assert sum(entry.numbers for entry in audit(tables).entries) == numbers(tables)


def test_a_folder_of_ones_own_is_audited_too(tmp_path):
    (tmp_path / "limits.toml").write_text("[floats]\ngo = 0.9\n[ours]\nvalue = 2\n", encoding="utf-8")
    result = CliRunner().invoke(app, ["rules", "--audit", "--rules", str(tmp_path)])
    assert isinstance(result.exception, RulesError)
    assert "limits: floats / go = 0.9: our judgment" in result.stdout
    assert "limits.toml, ours / value = 2: has no status" in str(result.exception)
