"""More of what helps never makes a verdict worse, and more of what harms never makes it better."""

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from pickrig.checks import Case, ask_all
from pickrig.checks.carrying import carry
from pickrig.checks.ground.site import draw_site
from tests.properties.strategies import FLEET, RULES, SNOW_FLEET, jobs, snow_jobs

ORDER = ("no-go", "caution", "go")
unhurried = settings(max_examples=30, deadline=None, suppress_health_check=list(HealthCheck))

# input, from, to, question, and whether more is better (1) or worse (-1)
OF_A_JOB = [
    ("access.gate", 0.5, 5, "fits", 1),
    ("access.headroom", 1, 4, "fits", 1),
    ("access.aisle", 1, 8, "fits", 1),
    ("ground.grade", 0, 1, "climbs", -1),
    ("ground.grade", 0, 1, "grips", -1),
    ("ground.grade", 0, 1, "lifts", -1),
    ("ground.grade_across", 0, 1, "climbs", -1),
    ("ground.grade_across", 0, 1, "grips", -1),
    ("ground.frost", 0.001, 1.5, "floats", 1),
    ("ground.cone", 1e4, 3e6, "floats", 1),
    ("ground.slab", 0.05, 0.3, "spares_surface", 1),
    ("task.load", 1, 5000, "lifts", -1),
    ("task.push", 50, 1e5, "grips", -1),
    ("task.down_force", 50, 1e5, "grips", -1),
    ("task.set_height", 0.1, 4, "lifts", -1),
    ("task.truck_side", 0.5, 4, "lifts", -1),
    ("task.volume", 0.5, 500, "produces", -1),
    ("task.area", 5, 2e4, "produces", -1),
    ("task.pieces", 1, 200, "produces", -1),
    ("task.haul", 1, 300, "produces", -1),
    ("task.day", 3600, 43_200, "produces", 1),
]
OF_A_LOT = [
    ("snow.depth", 0.005, 2, "produces", -1),
    ("snow.window", 300, 1e5, "produces", 1),
    ("snow.length", 1, 500, "produces", -1),
    ("snow.breadth", 1, 500, "produces", -1),
]
OF_A_MACHINE = [
    ("width", 0.8, 2.5, "fits", -1),
    ("height", 1, 3, "fits", -1),
    ("tipping_load", 300, 5000, "lifts", 1),
    ("lift_height", 1, 4, "lifts", 1),
    ("power", 5e3, 1e5, "grips", 1),
    ("gauge", 0.5, 2, "climbs", 1),
    ("centre_height", 0.4, 1.2, "climbs", -1),
    ("travel_speed", 0.5, 6, "produces", 1),
    ("tracks.width", 0.15, 0.6, "floats", 1),
    ("tyres.width", 0.15, 0.5, "floats", 1),
    ("tyres.diameter", 0.6, 1.2, "floats", 1),
    ("tyres.inflation", 1e5, 6e5, "floats", -1),
]


def name_of(row):
    return f"{row[0]} and {row[3]}"


def changed(model, path, value):
    head, _, tail = path.partition(".")
    return model.model_copy(update={head: changed(getattr(model, head), tail, value) if tail else value})


def asked(job, machine, check):
    findings = ask_all(Case(job, machine, draw_site(job, RULES, 400), RULES))
    return next((f for f in findings if f.check == check), None)


def never_worse(low, high, better):
    """The finding for the higher input against that for the lower, where both can be given."""
    assume(low is not None and high is not None)
    assume("unknown" not in (low.verdict, high.verdict))
    good, bad = (high, low) if better == 1 else (low, high)
    assert ORDER.index(good.verdict) >= ORDER.index(bad.verdict), (good, bad)
    for_some_hours = bad.provided is not None and bad.verdict != good.verdict  # a crust carries surely while it lasts
    if good.chance is not None and bad.chance is not None and not for_some_hours:
        assert good.chance >= bad.chance - 1e-9, (good, bad)
    if good.value is not None and bad.value is not None and not for_some_hours:
        way = 1 if RULES.questions[good.check].better == "more" else -1
        assert way * good.value >= way * bad.value - 1e-9, (good, bad)


def two(data, low, high):
    """Two values of the input, the lower first; whole ones stay whole."""
    numbers = st.integers(low, high) if isinstance(low, int) and high > 100 and low == 1 else st.floats(low, high)
    return sorted(data.draw(st.tuples(numbers, numbers)))


@pytest.mark.parametrize("row", OF_A_JOB, ids=name_of)
@unhurried
@given(data=st.data(), job=jobs(), machine=st.sampled_from(FLEET.machines))
def test_inputs_of_a_job(row, data, job, machine):
    path, low, high, check, better = row
    if path == "ground.cone":
        job = changed(changed(job, "ground.thumb", None), "ground.soil", data.draw(st.sampled_from(["CL", "ML", "CH"])))
    changes = [changed(job, path, value) for value in two(data, low, high)]
    if check == "grips" and path.startswith("ground.grade"):
        assume(same_load(changes, machine))  # on a steeper slope it carries less, which may grip better on sand
    never_worse(*(asked(change, machine, check) for change in changes), better)


def same_load(changes, machine):
    first, second = (carry(Case(job, machine, draw_site(job, RULES, 10), RULES)).payload for job in changes)
    return first == second


@pytest.mark.parametrize("row", OF_A_LOT, ids=name_of)
@unhurried
@given(data=st.data(), job=snow_jobs(), machine=st.sampled_from(SNOW_FLEET.machines))
def test_inputs_of_a_lot(row, data, job, machine):
    path, low, high, check, better = row
    values = two(data, low, high)
    never_worse(*(asked(changed(job, path, value), machine, check) for value in values), better)


@pytest.mark.parametrize("row", OF_A_MACHINE, ids=name_of)
@unhurried
@given(data=st.data(), job=jobs(), machine=st.sampled_from(FLEET.machines))
def test_inputs_of_a_machine(row, data, job, machine):
    path, low, high, check, better = row
    assume(all(getattr(machine, part) is not None for part in path.split(".")[:-1]))
    values = two(data, low, high)
    never_worse(*(asked(job, changed(machine, path, value), check) for value in values), better)
