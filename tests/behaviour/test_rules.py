"""The rule tables: every number sourced, every source used, every name pointing somewhere."""

import re
from pathlib import Path

import pytest
from typer.testing import CliRunner

from pickrig.checks import CHECKS
from pickrig.cli import app
from pickrig.errors import RulesError
from pickrig.inputs.job import Hazards
from pickrig.report.tables import audit_summary
from pickrig.rulebook import load_rules, read_tables
from pickrig.rulebook.audit import audit
from pickrig.rulebook.tables import HAZARDS
from tests.conftest import english

METHOD = Path(__file__).parents[2] / "rules" / "method.md"


def test_every_value_has_a_source_and_a_status_and_every_source_is_cited_and_used():
    assert audit(read_tables()).faults == []


def test_the_method_says_how_much_of_what_we_say_is_published():
    summary = audit_summary(audit(read_tables()))
    assert summary in METHOD.read_text(encoding="utf-8"), f"put this into rules/method.md:\n{summary}"


@pytest.mark.parametrize(
    ("spoil", "says"),
    [
        (lambda t: t["limits"]["floats"].pop("status"), "limits.toml, floats / go = 0.85: has no status"),
        (lambda t: t["limits"].update(new={"value": 3}), "limits.toml, new / value = 3: has no status"),
        (lambda t: t["strength"]["frost_skin"].pop("source"), "frost_skin / value = 0.05: says published"),
        (lambda t: t["limits"]["floats"].update(source="NOBODY"), 'names the source "NOBODY"'),
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
    told = [english(fault) for fault in audit(tables).faults]
    assert any(says in fault for fault in told), told


def test_the_audit_counts_every_number_once():
    def numbers(node):
        children = node.values() if isinstance(node, dict) else node if isinstance(node, list) else ()
        return sum(map(numbers, children)) + (type(node) in (int, float))

    tables = {name: table for name, table in read_tables().items() if name != "physics"}  # places, no numbers of ours
    assert sum(entry.numbers for entry in audit(tables).entries) == numbers(tables)


def test_every_question_has_its_check(rules):
    assert set(rules.questions) == set(CHECKS)


def test_curves_run_from_nothing_to_one_and_begin_where_a_no_ends(rules):
    for name, curve in rules.questions.items():
        assert {curve.values[0], curve.values[-1]} == {0.0, 1.0}, name
    assert rules.questions["floats"].points[0] == rules.limits.floats.caution
    assert rules.questions["fits"].points[0] == rules.limits.fits.caution_m


def test_the_words_that_forbid_are_those_a_job_may_say():
    for hazard, words in HAZARDS.items():
        told = re.findall(r"'([^']+)'", str(Hazards.model_fields[hazard].annotation))
        assert tuple(told) == words, hazard


def test_a_folder_of_ones_own_is_audited_too(tmp_path):
    (tmp_path / "limits.toml").write_text("[floats]\ngo = 0.9\n", encoding="utf-8")
    result = CliRunner().invoke(app, ["rules", "--audit", "--rules", str(tmp_path)])
    assert result.exit_code == 0
    assert "limits: floats / go = 0.9: our judgment" in result.stdout


SCUFFS = 'harm = "scuffs"\ncare_from = 1\nlateral = { tracks = 1, tyres = 1 }\nremedy = "x"\nstatus = "our judgment"'
OURS = 'presumptive = "none"\nstatus = "our judgment"'
# What a folder of one's own may get wrong: table, text, and what the sentence must hold.
SPOILED = [
    ("snow", '[reach."tyres plain"]\nshare = [0.4, 0.9, 0.5]', "line 2, reach.tyres plain.share", "lowest first"),
    ("traction", '["asphalt dry"]\nrolling = { tyres = [1, 2], tracks = [1, 2, 3] }', "rolling", "is missing"),
    ("questions", "[floats]\nvalues = [1.25, 0.5, 0.0]", "line 2, floats.values[1]", "at most 1"),
    ("questions", "[floats]\nvalues = [1.0, 0.5, 0.0]", "floats", "do not rise"),
    ("questions", "[wears]\nvalues = [0.0, 0.5, 1.0]", "wears", "do not fall"),
    ("questions", "[floats]\nvalues = [0.0, 1.0]", "floats", "3 points and 2 values"),
    ("questions", "[floats]\npoints = [0.5, 0.4, 1.0]", "floats.points", "do not rise"),
    ("questions", '[floats]\ndimension = "mass"', "floats.dimension", "stays it"),
    ("questions", '[shines]\nasks = "?"', "shines", "is not a known key"),
    ("limits", "[floats]\ngo = 1.5", "floats.go", "at most 1"),
    ("limits", "[floats]\ngo = 0.0", "floats.go", "more than 0"),
    ("limits", "[floats]\ngo = 0.4", "floats", "caution above go"),
    ("limits", "[climbs]\ngo = 0.9", "climbs", "go above caution"),
    ("limits", "[fits]\ncaution_m = 1.0", "fits", "caution_m above go_m"),
    ("limits", '[floats]\ngo = "0.9"', "floats.go", "should be a number"),
    ("limits", "[floats]\ngo = true", "floats.go", "should be a number"),
    ("limits", "[floats]\ngo = inf", "floats.go", "number with an end"),
    ("limits", "[floats]\nog = 0.9", "floats.og", '"go"'),
    ("limits", "[flots]\ngo = 0.9", "flots", 'did you mean "floats"?'),
    ("limits", "floats = 3", "floats", "[floats] on a line by itself"),
    ("strength", "[cone_facter]\nvalue = 12", "cone_facter", 'did you mean "cone_factor"?'),
    ("strength", "[cone_factor]\nlow = 30", "cone_factor", "out of order"),
    ("strength", "[cone_factor]\nvalue = 1e300", "cone_factor.value", "too large"),
    ("strength", "[equation_scatter]\nvalue = 0", "equation_scatter.value", "too far from ours"),
    ("strength", "[solids_density]\nvalue = 2.7", "solids_density.value", "too far from ours, 2650"),
    ("strength", f"[cone_factor]\nvalue = {'9' * 400}", "cone_factor.value", "should be a number"),
    ("strength", f"[cone_factor]\nvalue = {'9' * 5000}", "strength.toml", "number too long"),
    ("strength", f"[{'.'.join('a' * 3000)}]", "strength.toml", "nested too deeply"),
    ("strength", f"a = {'[' * 3000}{']' * 3000}", "strength.toml", "nested too deeply"),
    ("strength", "", "strength.toml", "is empty"),
    ("soils", "[CL]\ndry_density = 3000", "CL.dry_density", "at most 2500"),
    ("soils", "[GW.cone_index_psi]\nwet = [500, 600]", "GW.cone_index_psi", "stronger than a dry one"),
    ("soils", '[CL]\npresumptive = "mud"', "CL.presumptive", "is not in presumptive.toml"),
    ("soils", f'[XX]\nname = "lean clay"\nfamily = "sand"\n{OURS}', "XX", "name of CL"),
    ("soils", f'[XX]\nname = "x"\nfamily = "fine"\n{OURS}', "XX", "needs texture"),
    ("attachments", "[bucket.compact]\nmass = 5000", "bucket.compact.mass", "at most 3000"),
    ("attachments", "[rake.compact]\nmass = 100", "rake.compact.load_centre", "is missing"),
    ("work", '["cut grade"]\nranking = ["floats"]', "cut grade.ranking", "each question once"),
    ("work", '["cut grade"]\nattachment = "buckit"', "cut grade.attachment", 'did you mean "bucket"?'),
    ("wear", "[tyre_load]\npoints = [1.0, 1.2]", "tyre_load", "2 points and 3 factors"),
    ("care", '[forbidden.septic]\nword = "dragons"', "forbidden.septic", "no job file can say"),
    ("care", f"[surfaces.moon]\n{SCUFFS}", "surfaces.moon", "not in surfaces.toml"),
    ("seasons", "[winter]\nmonths = [12, 1]", "seasons.toml", "each month to one season"),
    ("cautions", '[bogged]\nwhen = ["soft", "wett"]', "bogged.when", '"wett" is never true; did you mean "wet"?'),
    ("cautions", "[bogged]\nwhen = []", "bogged.when", "at least 1"),
    ("cautions", '[bogged]\nsource = "NOBODY"', "bogged.source", "NOBODY"),
    ("field_tests", '[ribbon.groups]\n"over 2 in" = ["mud"]', "ribbon.groups.over 2 in", "is not in soils.toml"),
    ("covers", '[grass.apart]\nnothing = "our judgment"', "grass", "tells apart"),
]


@pytest.mark.parametrize(("table", "text", "place", "says"), SPOILED, ids=[f"{s[0]} {s[1][:40]!r}" for s in SPOILED])
def test_a_table_of_ones_own_is_checked_as_a_job_is(tmp_path, table, text, place, says):
    (tmp_path / f"{table}.toml").write_text(text, encoding="utf-8")
    with pytest.raises(RulesError) as caught:
        load_rules(tmp_path)
    told = [problem for problem in str(caught.value).splitlines() if says in problem]
    assert told, str(caught.value)
    assert any(place in problem and f"{table}.toml" in problem for problem in told)


def test_a_folder_without_tables_or_with_strange_ones_is_told(tmp_path):
    with pytest.raises(RulesError, match="holds no tables"):
        load_rules(tmp_path)
    (tmp_path / "limit.toml").write_text("x = 1", encoding="utf-8")
    with pytest.raises(RulesError, match='did you mean "limits"'):
        load_rules(tmp_path)
    (tmp_path / "limit.toml").rename(tmp_path / "limits.TOML")
    with pytest.raises(RulesError, match="small letters"):
        load_rules(tmp_path)


def test_a_row_of_ones_own_is_laid_over_key_by_key(tmp_path, rules):
    (tmp_path / "limits.toml").write_text("[floats]\ngo = 0.95\n", encoding="utf-8")
    (tmp_path / "money.toml").write_text("[recovery]\nvalue = 0\n", encoding="utf-8")
    own = load_rules(tmp_path)
    assert (own.limits.floats.go, own.limits.floats.caution) == (0.95, rules.limits.floats.caution)
    assert own.money["recovery"].value == 0
    assert own.soils == rules.soils
