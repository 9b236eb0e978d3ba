"""The way in, stretch by stretch: the worst for each machine decides and is named."""

import pytest

from pickrig.errors import InputError
from pickrig.inputs import Job
from pickrig.plans.pick.answer import pick
from tests.conftest import english

FIRM = {"soil": "GW", "wetness": "moist"}
DIP = {"name": "the dip", "soil": "CL", "wetness": "wet", "length": 12.0}


def job(rules, *stretches, **ground):
    return Job.of(
        rules=rules,
        task={"kind": "carry pallets", "load": 550.0, "pieces": 8, "split": True},
        ground=FIRM | ground,
        access={"gate": "open"},
        stretch=list(stretches),
    )


def asked(fleet, rules, *stretches, check="floats"):
    answer = pick(job(rules, *stretches), fleet, rules, draws=1000)
    return {s.name: s.finding(check) for s in answer.ranking}


def test_a_soft_strip_across_firm_ground_decides_and_is_named(fleet, rules):
    firm, soft = asked(fleet, rules), asked(fleet, rules, DIP)
    for name, finding in soft.items():
        assert finding.chance < firm[name].chance, name
        assert "Stretch 1, the dip:" in english(finding.says[:1])


def test_firm_stretches_change_nothing(fleet, rules):
    plain, more = asked(fleet, rules), asked(fleet, rules, {"soil": "GW", "wetness": "dry"})
    assert {n: f.chance for n, f in plain.items()} == {n: f.chance for n, f in more.items()}


def test_boards_over_the_strip_help(fleet, rules):
    bare, boards = asked(fleet, rules, DIP), asked(fleet, rules, DIP | {"boards": True})
    assert all(boards[name].chance > bare[name].chance for name in bare)


def test_a_longer_strip_is_never_easier(fleet, rules):
    holds = [asked(fleet, rules, DIP | {"length": metres})["Wide-track 68"].chance for metres in (30.0, 90.0, 200.0)]
    assert holds == sorted(holds, reverse=True)


def test_a_narrow_stretch_is_a_gate_of_its_own(fleet, rules):
    found = asked(fleet, rules, {"surface": "concrete", "width": 1.2}, check="fits")
    assert found["Articulated 45"].verdict == "no-go"
    assert found["Stand-on 36"].verdict != "no-go"


def test_a_ramp_is_asked_of_every_machine(fleet, rules):
    found = asked(fleet, rules, {"surface": "concrete", "grade": 0.12}, check="climbs")
    assert all(finding.verdict != "go" for finding in found.values())


def test_the_order_of_the_stretches_plays_no_part(fleet, rules):
    ramp = {"surface": "concrete", "grade": 0.1}
    one, other = asked(fleet, rules, DIP, ramp), asked(fleet, rules, ramp, DIP)
    assert {n: f.chance for n, f in one.items()} == {n: f.chance for n, f in other.items()}


@pytest.mark.parametrize(
    ("stretch", "says"),
    [
        ({"length": 10.0}, "neither soil nor surface"),
        ({"soil": "CL", "wetness": "dry", "standing_water": True}, "standing"),
        ({"soil": "clya"}, "lean clay"),
        ({"surface": "concrtee"}, "concrete"),
    ],
)
def test_a_stretch_that_cannot_be_is_told(rules, stretch, says):
    with pytest.raises(InputError, match=says):
        job(rules, stretch)


def test_what_lies_on_a_stretch_is_spared_and_warned_of_as_elsewhere(fleet, rules):
    answer = pick(job(rules, {"name": "lawn", "surface": "turf", "length": 12.0}), fleet, rules, draws=500)
    marks = {s.name: s.finding("spares_surface") for s in answer.ranking}
    assert marks["Wheeled 60"].value > marks["Articulated 45"].value == 0
    assert "septic" in english(tuple(said for one in answer.provisos for said in one))


def test_a_lawn_on_the_way_lies_on_the_soil_of_the_job(fleet, rules):
    held = asked(fleet, rules, {"surface": "turf", "length": 12.0})
    assert all(finding.verdict == "go" for finding in held.values())  # dry gravel under it, not a soil made up


def test_a_narrow_stretch_is_widened_and_no_gate_taken_out(fleet, rules):
    found = asked(fleet, rules, {"name": "side of the mound", "soil": "GW", "width": 1.4}, check="fits")
    told = english(found["Articulated 45"].remedy)
    assert "Widen the way" in told
    assert "gate" not in told
