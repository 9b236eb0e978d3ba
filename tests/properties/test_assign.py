"""The programme behind the board against published assignments and against trying everything."""

from dataclasses import replace
from itertools import pairwise, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pickrig.plans.day.assignment import NONE, Limit, Problem, assignment, is_assignment, programme, solve
from pickrig.plans.day.candidates import Rig, is_alone
from pickrig.plans.day.limits import of_people, of_vehicles
from pickrig.plans.day.timetable import Slot, Yard, timetable


def one_to_one(worth):
    """Every machine may do every job, one each a day."""
    worth = np.asarray(worth, float)
    jobs, _machines = worth.shape
    job, machine = (axis.ravel() for axis in np.indices(worth.shape))
    none = np.full(worth.size, NONE)
    return Problem(
        job=job,
        machine=machine,
        day=np.zeros(worth.size, int),
        tool=none,
        hours=np.ones(worth.size),
        worth=worth.ravel(),
        allowed=np.ones(worth.size, bool),
        hire=np.full(jobs, np.nan),
        undone=np.zeros(jobs),
        must=np.zeros(jobs, bool),
        length=1.0,
        tools=np.zeros(0, int),
    )


SCIPY = [[4, 1, 3], [2, 0, 5], [3, 2, 2]]
WORKERS = [[90, 76, 75, 70], [35, 85, 55, 65], [125, 95, 90, 105], [45, 110, 95, 115]]


@pytest.mark.parametrize("way", [solve, programme])
@pytest.mark.parametrize(
    ("costs", "least", "columns", "penalties"),
    [
        # SciPy reference guide, linear_sum_assignment, its example: 5; penalties computed by hand in our notes
        (SCIPY, 5, [1, 0, 2], [[1, 0, 1], [0, 1, 4], [1, 2, 0]]),
        # developers.google.com/optimization/assignment: 265; penalties computed independently
        (WORKERS, 265, [3, 2, 1, 0], [[80, 11, 15, 0], [30, 25, 0, 11], [95, 0, 11, 16], [0, 40, 30, 51]]),
    ],
)
def test_published_assignments_and_what_forcing_a_pair_costs(way, costs, least, columns, penalties):
    costs = np.array(costs, float)
    problem = one_to_one(1000 - costs)
    assert is_assignment(problem)
    choice = way(problem)
    assert 1000 * len(costs) - choice.worth == pytest.approx(least)
    assert problem.machine[choice.taken].tolist() == columns
    assert choice.gap == 0
    for row, column in np.ndindex(costs.shape):
        pair = (problem.job == row) & (problem.machine == column)
        assert choice.worth - way(problem.forced(row, pair)).worth == pytest.approx(penalties[row][column], abs=1e-6)


@given(st.integers(0, 2**32 - 1))
def test_both_ways_agree_where_both_apply(seed):
    luck = np.random.default_rng(seed)
    problem = one_to_one(luck.uniform(-50, 300, (5, 4)))
    problem = replace(
        problem,
        allowed=luck.random(20) < 0.7,
        must=luck.random(5) < 0.4,
        hire=np.where(luck.random(5) < 0.4, luck.uniform(-50, 100, 5), np.nan),
        undone=-luck.uniform(0, 50, 5),
        day=luck.integers(0, 2, 20),
    )
    plain, whole = assignment(problem), programme(problem)
    assert len(plain.broken) == len(whole.broken)
    assert plain.worth == pytest.approx(whole.worth, abs=1e-4)


def random_problem(seed, machines=2):
    luck = np.random.default_rng(seed)
    jobs, days = 4, 2
    rows = [
        (j, m, d, t, r)
        for j in range(jobs)
        for m in range(machines)
        for d in range(days)
        for t, r in ([(0, 0)] if luck.random() < 0.7 else [(0, 0), (1, 0)])
        if luck.random() < 0.6
    ]
    n = len(rows)
    column = np.array(rows, int).reshape(n, 5).T
    hauling = luck.uniform(1, 5, n)
    return Problem(
        job=column[0],
        machine=column[1],
        day=column[2],
        tool=np.where(column[0] < 2, 0, NONE),
        hours=luck.uniform(2, 7, n),
        worth=luck.uniform(-50, 300, n),
        allowed=np.ones(n, bool),
        hire=np.where(luck.random(jobs) < 0.3, luck.uniform(-20, 100, jobs), np.nan),
        undone=-luck.uniform(0, 60, jobs),
        must=luck.random(jobs) < 0.3,
        length=9.0,
        tools=np.array([1]),
        limits=tuple(Limit(hauling * (column[3] == truck), 9.0) for truck in (0, 1)),
    )


def keeps_the_rules(p, taken):
    """Written out again, slowly."""
    for d in range(2):
        today = [k for k in taken if p.day[k] == d]
        for machine in {int(p.machine[k]) for k in today}:
            if sum(p.hours[k] for k in today if p.machine[k] == machine) > p.length + 1e-9:
                return False
        if any(sum(limit.weight[k] for k in today) > limit.most + 1e-9 for limit in p.limits):
            return False
        if len({int(p.machine[k]) for k in today if p.tool[k] == 0}) > p.tools[0]:
            return False
    return True


def best_by_trying_everything(p):
    """The fewest musts broken, then the most worth."""
    ways = []
    for j in range(len(p.must)):
        own = [(float(p.worth[k]), [int(k)], 0) for k in np.flatnonzero((p.job == j) & p.allowed)]
        hired = [(float(p.hire[j]), [], 0)] if np.isfinite(p.hire[j]) else []
        ways.append([*own, *hired, (float(p.undone[j]), [], int(p.must[j]))])
    tried = (
        (-sum(way[2] for way in combination), sum(way[0] for way in combination))
        for combination in product(*ways)
        if keeps_the_rules(p, [k for way in combination for k in way[1]])
    )
    return max(tried)


@settings(max_examples=40)
@given(st.integers(0, 2**32 - 1))
def test_it_finds_what_trying_everything_finds(seed):
    p = random_problem(seed)
    choice = solve(p)
    broken, worth = best_by_trying_everything(p)
    assert len(choice.broken) == -broken
    assert choice.worth == pytest.approx(worth, abs=1e-4)
    assert keeps_the_rules(p, choice.taken.tolist())
    assert len(set(p.job[choice.taken].tolist())) == len(choice.taken)


@settings(max_examples=30)
@given(st.integers(0, 2**32 - 1))
def test_another_machine_never_makes_the_board_worse(seed):
    p = random_problem(seed, machines=3)
    without = solve(replace(p, allowed=p.allowed & (p.machine != 2)))
    whole = solve(p)
    assert (-len(whole.broken), whole.worth) >= (-len(without.broken), without.worth - 1e-4)


@settings(max_examples=30)
@given(st.integers(0, 2**32 - 1))
def test_forcing_never_makes_the_board_better(seed):
    p = random_problem(seed)
    free = solve(p)
    for offer in range(min(len(p.job), 3)):
        forced = solve(p.forced(int(p.job[offer]), np.arange(len(p.job)) == offer))
        if len(forced.broken) <= len(free.broken):
            assert forced.worth <= free.worth + 1e-4 or len(forced.broken) < len(free.broken)
        if int(p.job[offer]) not in forced.broken:
            assert offer in forced.taken


def test_nothing_to_do_is_a_board_too():
    p = one_to_one(np.zeros((2, 0)))
    choice = solve(p)
    assert choice.undone.tolist() == [0, 1]
    assert choice.worth == 0


def random_slots(luck, people, stays):
    """Seven jobs of three machines, two trucks and two trailers; where nobody else can drive, the rig stays."""
    rigs = [
        Rig(t, r, None if not people else tuple(sorted({int(p) for p in luck.integers(0, people, 2)})))
        for t in range(2)
        for r in range(2)
    ]
    some = [tuple(rigs), tuple(rigs[:1]), tuple(rigs[2:])]
    slots = []
    for k in range(7):
        able = None if not people else tuple(p for p in range(people) if p == 0 or luck.random() < 0.7)
        rigs = () if luck.random() < 0.2 else some[int(luck.integers(3))]
        move = float(luck.uniform(0.2, 1))
        slots.append(
            Slot(
                machine=int(luck.integers(3)),
                rigs=rigs,
                hours=float(luck.uniform(0.2, 4)),
                move=move,
                empty=move * 0.6,
                there=k == 0 and bool(luck.random() < 0.5),
                operators=able,
                stays=is_alone(rigs, able) or bool(luck.random() < stays),
            )
        )
    return slots


@pytest.mark.parametrize("people", [0, 1, 2, 4])
@pytest.mark.parametrize("stays", [0, 0.5, 1])
@given(seed=st.integers(0, 2**32 - 1))
def test_nothing_and_nobody_is_in_two_places_at_once(stays, people, seed):
    slots = random_slots(np.random.default_rng(seed), people, stays)
    day = timetable(slots, Yard(length=9.0, people=[9.0] * people, reload=0.3))
    busy = {}
    for k, slot in enumerate(slots):
        t = day.times[k]
        assert t.end == pytest.approx(t.arrive + slot.hours)
        assert t.arrive >= t.start + min(slot.empty, 0.3) - 1e-9
        assert t.back >= t.end - 1e-9
        busy.setdefault(("machine", slot.machine), []).append((t.start, t.back))
        if people:
            assert t.hands.runs in slot.operators
            busy.setdefault(("person", t.hands.runs), []).append((t.arrive, t.end))
    for leg in day.legs:
        assert leg.rig in {rig for slot in slots for rig in slot.rigs}
        for thing in (("truck", leg.rig.truck), ("trailer", leg.rig.trailer)):
            busy.setdefault(thing, []).append((leg.leaves, leg.arrives))
        if people:
            assert leg.driver in leg.rig.drivers
            busy.setdefault(("person", leg.driver), []).append((leg.leaves, leg.arrives))
    for thing, spans in busy.items():
        spans.sort()
        assert all(end <= start + 1e-9 for (_, end), (start, _) in pairwise(spans)), thing
    if slots[0].there:
        own = [day.times[k].start for k, slot in enumerate(slots) if slot.machine == slots[0].machine]
        assert day.times[0].start == min(own)


@pytest.mark.parametrize("stays", [0, 0.5, 1])
@given(seed=st.integers(0, 2**32 - 1))
def test_every_machine_that_a_rig_brings_is_fetched_or_goes_on(stays, seed):
    slots = random_slots(np.random.default_rng(seed), 3, stays)
    day = timetable(slots, Yard(length=9.0, people=[9.0] * 3, reload=0.3))
    for k, slot in enumerate(slots):
        legs = [leg.what for leg in day.legs if leg.slot == k]
        if not slot.rigs:
            assert legs == []
            continue
        came = "deliver" in legs or "shift" in legs or slot.there
        gone = "fetch" in legs or any(leg.before == k and leg.what == "shift" for leg in day.legs)
        assert came
        assert gone


@settings(max_examples=40)
@given(seed=st.integers(0, 2**32 - 1), stays=st.sampled_from([0, 0.5, 1]))
def test_a_day_that_people_and_rigs_work_keeps_their_limits(seed, stays):
    """The programme never forbids what the clock allows, but for who goes straight on."""
    luck = np.random.default_rng(seed)
    slots = [slot for slot in random_slots(luck, 3, stays) if slot.rigs][: int(luck.integers(1, 5))]
    slots = [replace(s, machine=k, there=False) for k, s in enumerate(slots)]
    if not slots or any(len({*s.operators, *(p for rig in s.rigs for p in rig.drivers)}) == 1 for s in slots):
        return
    day = timetable(slots, Yard(length=9.0, people=[9.0] * 3))
    if day.over:
        return
    runs = np.array([s.hours + 2 * s.move for s in slots])
    wait = np.array([s.stays for s in slots])
    drives = np.where(wait, runs, [2 * (s.move + s.empty) for s in slots])
    drivers = [frozenset(p for rig in s.rigs for p in rig.drivers) for s in slots]
    limits = [
        *of_people(runs, [frozenset(s.operators) for s in slots], drives, drivers, [9.0] * 3, wait),
        *of_vehicles(drives, [frozenset(rig.truck for rig in s.rigs) for s in slots], 9.0, wait),
        *of_vehicles(drives, [frozenset(rig.trailer for rig in s.rigs) for s in slots], 9.0, wait),
    ]
    for limit in limits:
        assert limit.weight.sum() <= limit.most + 1e-6
