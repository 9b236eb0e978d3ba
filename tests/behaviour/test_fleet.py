"""Machines by plate and tape measure: gaps filled and told, missing figures never good."""

import pytest

from pickrig.checks import Case
from pickrig.checks.carrying import rear_share
from pickrig.checks.ground.site import draw_site
from pickrig.errors import InputError
from pickrig.guide.fleet_text import machines_of, with_machine
from pickrig.inputs import read_fleet
from pickrig.plans.pick.answer import pick
from tests.conftest import EXAMPLES, english

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
    told = english(answer.assumed)
    assert "tipping_load" in told
    assert "tyres.wheelbase" in told
    assert "from memory" in told
    assert {f.verdict for f in answer.ranking[0].findings} <= {"go", "caution", "no-go", "unknown"}
    assert "usual" in english(answer.ranking[0].finding("wears").says)  # a price nobody gave is said to be a usual one


def test_without_a_size_class_missing_figures_are_unknown_and_say_how(tmp_path, rules, muddy_lot):
    answer = pick(muddy_lot, read_fleet(write(tmp_path), rules), rules)
    standing = answer.ranking[0]
    assert answer.pick is None
    assert {f.verdict for f in standing.findings} == {"unknown"}
    assert all("size_class" in english(f.remedy) for f in standing.findings if f.check != "wears")
    assert "lacks tipping_load, mass, power" in english(standing.finding("floats").says)
    assert "Figures are missing before these can be judged" in english(answer.answer)


def test_a_machine_nobody_knows_is_never_sent(tmp_path, rules, fleet, muddy_lot):
    unknown = read_fleet(write(tmp_path), rules).machines[0]
    alone = fleet.model_copy(update={"machines": (unknown, fleet.machines[1])})
    answer = pick(muddy_lot, alone, rules)
    assert answer.pick is None
    among = pick(muddy_lot, fleet.model_copy(update={"machines": (unknown, *fleet.machines)}), rules)
    assert among.pick.name == "Wide-track 68"
    assert "Bare" not in among.why_over


def test_rubber_nobody_priced_still_costs_and_says_that_the_price_is_a_usual_one(edited, rules, muddy_lot):
    path = edited("fleet.toml", ('set_price = "$4,100"\n', ""))
    answer = pick(muddy_lot, read_fleet(path, rules), rules)
    assert answer.pick.name == "Wide-track 68"
    wears = answer.pick.finding("wears")
    priced = pick(muddy_lot, read_fleet(EXAMPLES / "fleet.toml", rules), rules).pick.finding("wears")
    usual = rules.wear.set_price.tracks * answer.pick.machine.mass
    assert wears.value / priced.value == pytest.approx(usual / 4100)
    assert "the file has no set_price" in english(wears.says)


def test_the_tipping_load_says_where_the_weight_lies(rules, fleet, muddy_lot):
    # statics: T a = W r L; Wheeled 60: 4,000 lb x (29 + 18) in / (6,600 lb x 42 in) = 0.678
    machine = next(m for m in fleet.machines if m.name == "Wheeled 60")
    case = Case(muddy_lot, machine, draw_site(muddy_lot, rules, 100), rules)
    assert rear_share(case) == pytest.approx(4000 * (29 + 0.457 / 0.0254) / (6600 * 42), rel=1e-6)


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
    assert "the owner's own" in english(finding.told.working)


def test_keys_are_read_in_either_spelling_and_kept_as_they_are_written(rules, edited):
    """American files say tires; the desk and `start` change them without another spelling beside it."""
    path = edited("fleet.toml")
    text = path.read_text(encoding="utf-8").replace("[machine.tyres]", "[machine.tires]")
    text = text.replace("centre_height", "center_height").replace("centre_at", "center_at")
    path.write_text(text, encoding="utf-8")
    assert read_fleet(path, rules).machines == read_fleet(EXAMPLES / "fleet.toml", rules).machines
    wheeled = next(n for n, machine in enumerate(machines_of(text)) if machine["gear"] == "tyres")
    answers = machines_of(text)[wheeled] | {"tyre_width": "14 in"}
    changed = with_machine(text, wheeled, answers, rules)
    assert "[machine.tyres]" not in changed
    path.write_text(text.replace("[machine.tires]", "[machine.tires]\nwidht = 1", 1), encoding="utf-8")
    with pytest.raises(InputError, match=r"line \d+, machine\[\d\]\.tyres\.widht: is not a known key"):
        read_fleet(path, rules)
