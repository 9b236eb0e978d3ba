"""Who drives: a class that the driver lacks is a no, and a beginner is asked for more room and less slope."""

import pytest

from pickrig.inputs import read_job
from pickrig.plans.pick.answer import pick
from tests.conftest import english


@pytest.fixture
def asked(edited, fleet, rules):
    def ask(driver, *edits, **options):
        job = read_job(edited("muddy-lot.toml", ("[access]", f"[driver]\n{driver}\n\n[access]"), *edits), rules)
        return pick(job, fleet, rules, draws=500, **options)

    return ask


def haul(answer):
    return [next((f for f in s.findings if f.check == "hauls"), None) for s in answer.ranking]


HEAVY = ("[task]", '[haul]\ntruck = "{truck}"\ntrailer = "{trailer}"\n\n[task]')


def rig(fleet):
    truck = max(fleet.trucks, key=lambda one: one.gvwr)
    trailer = max(fleet.trailers, key=lambda one: one.gvwr)
    return HEAVY[0], HEAVY[1].format(truck=truck.name, trailer=trailer.name)


def test_a_class_the_driver_lacks_ends_it_and_stands_in_the_headline(asked, fleet):
    answer = asked('licence = "none"', rig(fleet))
    needs = english(haul(asked('licence = "A"', rig(fleet)))[0].says)
    assert "Group A" in needs or "Group B" in needs
    assert answer.pick is None
    assert "Whoever drives may not" in english(answer.answer)
    assert "driver with that class" in english(haul(answer)[0].remedy)


@pytest.mark.parametrize("holds", ["A", "CDL A", "group a"])
def test_a_class_that_covers_it_says_nothing(asked, fleet, holds):
    found = haul(asked(f'licence = "{holds}"', rig(fleet)))
    assert "may not" not in english(tuple(said for one in found for said in one.says))


def test_a_beginner_is_asked_for_more_room_and_told_so_once(asked):
    gate = ('gate = "72 in"', 'gate = "74 in"')
    practised, beginner = asked("weeks = 200", gate), asked("weeks = 3", gate)
    verdicts = [{s.name: s.finding("fits").verdict for s in answer.ranking} for answer in (practised, beginner)]
    order = ("no-go", "unknown", "caution", "go")
    assert all(order.index(verdicts[1][name]) <= order.index(verdicts[0][name]) for name in verdicts[0])
    assert verdicts[0] != verdicts[1]
    assert english(beginner.assumed).count("A beginner drives") == 1
    assert "beginner" not in english(practised.assumed)


def test_a_slope_that_calls_for_care_of_the_practised_is_too_steep_for_a_beginner(asked):
    slope = ("[ground]", '[ground]\ngrade_across = "10 %"')
    shares = [
        {s.name: s.finding("climbs").verdict for s in asked(weeks, slope).ranking}
        for weeks in ("weeks = 200", "weeks = 3")
    ]
    assert shares[0] != shares[1]
