"""Machines by plate and tape measure: gaps filled and told, missing figures never good."""

import pytest

from pickrig.inputs import read_fleet
from pickrig.plans.pick import pick

BARE = """
title = "Invented"
[[machine]]
name = "Bare"
kind = "skid steer"
{line}
[machine.tyres]
kind = "{kind}"
"""


def write(tmp_path, line="", kind="pneumatic"):
    path = tmp_path / "fleet.toml"
    path.write_text(BARE.format(line=line, kind=kind))
    return path


def test_a_size_class_fills_and_the_answer_lists_it(tmp_path, rules, muddy_lot):
    fleet = read_fleet(write(tmp_path, 'size_class = "wheeled, medium"'), rules)
    answer = pick(muddy_lot, fleet, rules)
    told = "\n".join(answer.assumed)
    assert "tipping load" in told
    assert "tyres wheelbase" in told
    assert "from memory" in told
    assert {f.verdict for f in answer.ranking[0].findings} <= {"go", "caution", "no-go", "unknown"}
    assert answer.ranking[0].finding("wears").verdict == "unknown"  # no price is ever filled in


def test_without_a_size_class_missing_figures_are_unknown_and_say_how(tmp_path, rules, muddy_lot):
    standing = pick(muddy_lot, read_fleet(write(tmp_path), rules), rules).ranking[0]
    assert {f.verdict for f in standing.findings} == {"unknown"}
    assert standing.score == 0
    assert all(f.remedy for f in standing.findings)


def test_a_known_machine_ranks_before_an_unknown_one_whatever_its_score(tmp_path, rules, fleet, muddy_lot):
    unknown = read_fleet(write(tmp_path), rules).machines[0]
    answer = pick(muddy_lot, fleet.model_copy(update={"machines": (unknown, *fleet.machines)}), rules)
    assert answer.pick.name == "Wide-track 68"
    assert [s.name for s in answer.ranking if s.usable][-1] == "Bare"


@pytest.mark.parametrize("softer", [("pneumatic", "foam-filled"), ("foam-filled", "solid")])
def test_stiffer_tyres_need_stronger_ground(tmp_path, rules, muddy_lot, softer):
    needs = []
    for kind in softer:
        fleet = read_fleet(write(tmp_path, 'size_class = "wheeled, medium"', kind), rules)
        finding = pick(muddy_lot, fleet, rules).ranking[0].finding("floats")
        needs.append(max(d.strength for d in finding.demands))
    assert needs[1] > needs[0]


def test_own_change_out_hours_beat_the_table(edited, rules, muddy_lot):
    path = edited("fleet.toml", ('set_price = "$4,100"', 'set_price = "$4,100"\nchange_hours = "1640 h"'))
    answer = pick(muddy_lot, read_fleet(path, rules), rules)
    finding = answer.pick.finding("wears")
    assert finding.value == pytest.approx(4100 / 1640)
    assert "the owner's own" in finding.working[0]
