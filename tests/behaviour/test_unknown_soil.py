"""Soil that nobody knows: an answer all the same, soil by soil, and what is nearest where nothing is fit."""

import pytest

from pickrig.checks.ground.soils import groups_of
from pickrig.inputs import Job, read_job
from pickrig.plans.pick.answer import pick
from tests.conftest import english


def asked(fleet, rules, **ground):
    job = Job.of(
        rules=rules,
        title="Nobody looked",
        task={"kind": "carry pallets", "load": 600.0, "pieces": 10, "split": True},
        ground=ground,
        access={"gate": "open"},
    )
    return pick(job, fleet, rules, draws=1000)


@pytest.mark.parametrize("word", ["unknown", "Unknown", "not known"])
def test_it_may_be_any_fine_soil(rules, word):
    job = Job.of(rules=rules, task={"kind": "carry pallets"}, ground={"soil": word})
    assert job.ground.soil is None
    assert {"CL", "ML", "SM"} <= set(groups_of(job, rules))


def test_each_soil_it_may_be_is_told_once(fleet, rules):
    answer = asked(fleet, rules, soil="unknown", wetness="wet")
    told = english(answer.by_soil)
    for key in groups_of(answer.job, rules):
        assert told.count(rules.soils[key].name) >= 1
    assert "any fine soil" in english(answer.assumed)


def test_a_soil_that_is_known_is_not_spread_out(fleet, rules):
    assert asked(fleet, rules, soil="CL", wetness="wet").by_soil == ()


def test_where_the_ground_lets_all_down_the_nearest_is_named(fleet, rules):
    answer = asked(fleet, rules, soil="MH", wetness="wet", standing_water=True)
    assert answer.pick is None
    holds = {s.name: s.finding("floats").chance for s in answer.ranking}
    assert f"Nearest: {max(holds, key=holds.get)}" in english(answer.answer)


def test_a_file_that_says_unknown_reads(tmp_path, rules):
    path = tmp_path / "lot.toml"
    path.write_text('title = "Lot"\n[task]\nkind = "carry pallets"\n[ground]\nsoil = "unknown"\n', encoding="utf-8")
    assert read_job(path, rules).ground.soil is None
