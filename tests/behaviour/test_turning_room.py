"""Bends, turning round and backing out: the same geometry for every kind of machine, and the part that does not fit."""

import numpy as np
import pytest

from pickrig.checks import Case
from pickrig.checks.fits import fits as check
from pickrig.checks.ground.site import draw_site
from pickrig.errors import InputError
from pickrig.inputs import Job
from pickrig.physics import turning
from tests.conftest import english

INCH = 0.0254


@pytest.fixture
def case_of(rules, fleet, muddy_lot):
    def case(name, task=None, **access):
        changes = {"task": task or {}, "access": {"gate": float("inf"), **access}}
        parts = {part: getattr(muddy_lot, part).model_copy(update=change) for part, change in changes.items()}
        machine = next(m for m in fleet.machines if m.name == name)
        changed = muddy_lot.model_copy(update=parts)
        return Case(changed, machine, draw_site(changed, rules, 100), rules)

    return case


@pytest.fixture
def fits(case_of):
    def of(name, **access):
        return check(case_of(name, **access))

    return of


def test_a_lane_to_turn_round_in_refuses_what_only_drives_round_a_bend(fits):
    lane = 14 * 12 * INCH  # under the 158 in that its plate gives as the outer radius, twice
    assert fits("Articulated 45", turn_round=lane).verdict == "no-go"
    assert fits("Articulated 45", bend=(lane, lane)).verdict == "go"
    assert fits("Stand-on 36", turn_round=lane).verdict == "go"


def test_a_narrow_machine_passes_a_bend_that_it_could_not_turn_round_in(fits):
    lane = 84 * INCH
    assert fits("Stand-on 36", turn_round=lane).verdict == "no-go"
    assert fits("Stand-on 36", bend=(lane, lane)).verdict == "go"


def test_one_lane_wide_makes_up_for_the_other(fits):
    lanes = np.array([100, 90, 80, 70]) * INCH
    rooms = [fits("Wheeled 60", bend=(lane, 130 * INCH)).value for lane in lanes]
    even = [fits("Wheeled 60", bend=(lane, lane)).value for lane in lanes]
    assert rooms == sorted(rooms, reverse=True)
    assert all(one > both for one, both in zip(rooms, even, strict=True))


def test_a_tighter_turn_needs_a_narrower_lane():
    lanes = [turning.half_turn_lane(radius, 1.8, 1.6, 1.8, 1.6) for radius in (0.0, 0.01, 0.5, 1.0, 2.0, 3.0)]
    assert lanes == sorted(lanes)
    assert lanes[1] == pytest.approx(lanes[0], abs=0.02)  # next to the spot it is as on the spot


def test_three_moves_need_less_than_one_sweep():
    radius, front, width = 2.7, 1.9, 1.7
    one_sweep = 2 * float(turning.corner_radius(front, 2 * (radius + width / 2)))
    assert width < turning.half_turn_lane(radius, front, width, front, width) < one_sweep


def test_the_remedy_names_the_tool_where_the_machine_alone_passes(case_of):
    case = case_of("Stand-on 36", gate=46 * INCH, task={"attachment": "angle broom"})
    wide = check(case)
    assert wide.verdict == "no-go"
    assert "narrower tool" in english(wide.told.remedy)
    assert "fence panel" not in english(wide.told.remedy)


def job(**access):
    return Job.of(task={"kind": "carry pallets"}, ground={"soil": "CL"}, access=access)


def test_an_older_file_says_aisle_and_means_turning_round():
    assert job(aisle=4.0).access.lane == job(turn_round=4.0).access.lane == 4.0


@pytest.mark.parametrize(
    ("access", "says"),
    [
        ({"aisle": 4.0, "turn_round": 4.0}, "keep turn_round"),
        ({"back_out": True, "turn_round": 4.0}, "keep one of them"),
        ({"bend": [3.0, 3.0, 3.0]}, "two"),
    ],
)
def test_what_contradicts_itself_is_told(access, says):
    with pytest.raises(InputError, match=says):
        job(**access)
