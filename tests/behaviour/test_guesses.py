"""The guess of ours that the chance hangs on most, and what settles it."""

import pytest

from pickrig.plans.pick.answer import pick
from tests.conftest import english


def asked(job, fleet, rules, **ground):
    changed = job.model_copy(update={"ground": job.ground.model_copy(update=ground)})
    return pick(changed, fleet, rules, draws=2000)


def test_what_the_chance_hangs_on_is_told_with_both_ends_and_how_to_settle_it(muddy_lot, fleet, rules):
    told = asked(muddy_lot, fleet, rules).hangs_on
    assert told is not None
    assert english((told,)).startswith("It hangs most on")
    assert "tonight" in english((told,))


def test_where_nothing_moves_it_nothing_is_told(muddy_lot, fleet, rules):
    assert asked(muddy_lot, fleet, rules, wetness="dry").hangs_on is None
    assert asked(muddy_lot, fleet, rules, travel={"asphalt": 1.0}).hangs_on is None


def test_a_reading_of_the_cone_takes_the_place_of_the_equations(muddy_lot, fleet, rules):
    read = asked(muddy_lot, fleet, rules, cone=4.5e5).hangs_on
    assert read is None or "equation" not in english((read,))


@pytest.mark.parametrize("soil", ["CL", "ML", "MH", "SM"])
def test_its_two_ends_lie_apart(muddy_lot, fleet, rules, soil):
    told = asked(muddy_lot, fleet, rules, soil=soil).hangs_on
    if told is not None:
        ends = dict(told.values)
        assert ends["high"].value - ends["low"].value >= rules.limits.tiers.tell_guess
