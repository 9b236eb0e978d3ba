"""Cautions: each is said when what it warns of is there, and only then; the six that come first stand on the sheet."""

import datetime as dt
import math

import pytest
from hypothesis import given, settings
from markupsafe import escape

from pickrig.checks.ground.site import draw_site
from pickrig.inputs import Day, Weather
from pickrig.inputs.snow import Snow
from pickrig.plans.pick.advice import cautions, fitting, tags_of, walkaround
from pickrig.plans.pick.answer import pick
from pickrig.plans.pick.ranking import rank, weigh
from pickrig.report.pick.page import as_page
from pickrig.report.pick.sheet import as_sheet
from pickrig.rulebook.tables import TAGS
from tests.conftest import english, si
from tests.properties.strategies import FLEET, MUDDY, RULES, SNOW_FLEET, jobs, snow_jobs


def changed(model, path, value):
    head, _, tail = path.partition(".")
    return model.model_copy(update={head: changed(getattr(model, head), tail, value) if tail else value})


def rainy(rain):
    day = dt.date(2026, 5, 12)
    days = [si(Day, date=day + dt.timedelta(d), rain=rain, tmin=8.0, tmax=15.0) for d in (-1, 0)]
    return si(Weather, job_day=day, today=None, latitude=45.0, days=days)


LOT = Snow(depth="8 in", area="0.5 acre", under="ice")
HAUL = {"truck": "One-ton flatbed", "trailer": "Tilt deck, 14,000 lb"}
# What makes a tag true of a job, and what makes it false, every other part left as it is. Written down from what the
# words mean, not from the code.
TRUE = {
    "US": {"country": "US"}, "UK": {"country": "UK"}, "EU": {"country": "EU"},
    "soft": {"ground.travel": {"site soil": 1.0}},
    "wet": {"ground.wetness": "wet"},
    "rain": {"weather": rainy(0.03)},
    "standing water": {"ground.standing_water": True},
    "frozen": {"ground.frost": 0.1},
    "septic": {"hazards.septic": None},
    "forks": {"task.attachment": "pallet forks"},
    "throws": {"task.attachment": "brush cutter"},
    "hydraulic": {"task.attachment": "auger"},
    "auger": {"task.attachment": "auger"},
    "bucket": {"task.attachment": "bucket"},
    "digs": {"task.kind": "trench"},
    "hard surface": {"ground.travel": {"concrete": 1.0}},
    "breaks": {"task.attachment": "breaker"},
    "loads trucks": {"task.truck_side": 2.0},
    "services unknown": {"hazards.services": None},
    "services marked": {"hazards.services": "marked"},
    "headroom": {"access.headroom": 2.1, "hazards.indoors": None},
    "hot asphalt": {"ground.travel": {"asphalt": 1.0}, "ground.temperature": 35.0},
    "turf": {"ground.travel": {"turf": 1.0}},
    "snow": {"snow": LOT, "task.attachment": "bucket"}, "ice": {"snow": LOT, "task.attachment": "bucket"},
    "slope": {"ground.grade": 0.02},
    "may tip": {"hazards.edges": True},
    "edge": {"hazards.edges": True},
    "indoors": {"hazards.indoors": True},
    "people": {"hazards.people": True},
    "power lines": {"hazards.power_lines": "clear"},
    "power lines near": {"hazards.power_lines": "near"},
    "power lines unknown": {"hazards.power_lines": None},
    "hauled": {"haul": HAUL}, "not hauled": {"haul": None},
    "hot": {"ground.temperature": 27.0}, "cold": {"ground.temperature": 0.0},
    "irrigation": {"hazards.irrigation": True}, "roots": {"hazards.roots": True},
    "tight": {"access.gate": 0.0},  # set to the machine's width below
}  # fmt: skip
FALSE = {
    "US": {"country": "EU"}, "UK": {"country": "US"}, "EU": {"country": "UK"},
    "soft": {"ground.travel": {"concrete": 1.0}},
    "wet": {"ground.wetness": "moist", "ground.standing_water": False},
    "rain": {"weather": rainy(0.0)},
    "standing water": {"ground.standing_water": False},
    "frozen": {"ground.frost": None},
    "septic": {"hazards.septic": "none"},
    "forks": {"task.attachment": "bucket"},
    "throws": {"task.attachment": "bucket"},
    "hydraulic": {"task.attachment": "bucket"},
    "auger": {"task.attachment": "bucket"},
    "bucket": {"task.attachment": "pallet forks"},
    "digs": {"task.kind": "carry pallets"},
    "hard surface": {"ground.travel": {"site soil": 1.0}},
    "breaks": {"task.attachment": "bucket"},
    "loads trucks": {"task.truck_side": None},
    "services unknown": {"hazards.services": "none"},
    "services marked": {"hazards.services": "none"},
    "headroom": {"access.headroom": math.inf},
    "hot asphalt": {"ground.temperature": 29.0},
    "turf": {"ground.travel": {"site soil": 1.0}},
    "snow": {"snow": None}, "ice": {"snow": LOT.model_copy(update={"under": "gravel"})},
    "slope": {"ground.grade": 0.0},
    "may tip": {"hazards.edges": False, "hazards.trench": "none", "ground.grade": 0.04},
    "edge": {"hazards.edges": False, "hazards.trench": "none"},
    "indoors": {"hazards.indoors": False},
    "people": {"hazards.people": False},
    "power lines": {"hazards.power_lines": "none"},
    "power lines near": {"hazards.power_lines": "clear"},
    "power lines unknown": {"hazards.power_lines": "none"},
    "hauled": {"haul": None}, "not hauled": {"haul": HAUL},
    "hot": {"ground.temperature": 26.0}, "cold": {"ground.temperature": 1.0},
    "irrigation": {"hazards.irrigation": False}, "roots": {"hazards.roots": False},
    "tight": {"access.gate": math.inf},
}  # fmt: skip
OF_THE_MACHINE = {"tracks", "tyres", "ride-in", "stand-on", "articulated"}
PLAIN = {**FALSE, **{tag: {} for tag in ("US", "UK", "EU", "hauled", "not hauled", "soft", "turf", "ice")}}


def job_with(*edits):
    job = MUDDY
    for edit in [e for tag, e in PLAIN.items() if tag not in ("auger", "hydraulic")] + list(edits):
        for path, value in edit.items():
            job = changed(job, path, value)
    return job


def standing(job, wanted):
    """A machine of the wanted kind as the pick, judged on this job."""
    machines = SNOW_FLEET.machines if job.snow else FLEET.machines
    kind = {
        "tracks": lambda m: m.tracks, "tyres": lambda m: m.tyres,
        "ride-in": lambda m: m.kind != "stand-on loader", "stand-on": lambda m: m.kind == "stand-on loader",
        "articulated": lambda m: m.kind == "articulated loader",
    }  # fmt: skip
    machine = next(m for m in (*machines, *FLEET.machines) if all(kind[tag](m) for tag in wanted))
    if job.access.gate == 0.0:
        job = changed(job, "access.gate", max(machine.width, 1.3) + 2 * 0.05)
        machine = machine.model_copy(update={"width": max(machine.width, 1.3)})
    fleet = FLEET.model_copy(update={"machines": (machine,)})
    site = draw_site(job, RULES, 200)
    job = changed(job, "haul", None)
    return rank(job, fleet, RULES, site, weigh(job, RULES))[0], site


def said(job, wanted, choose=cautions):
    pick_, site = standing(job, wanted)
    return {(row.look if choose is walkaround else row.says).text for row in choose(job, pick_, site, RULES)}


ROWS = [(table, row) for table in ("cautions", "fitting", "walkaround") for row in getattr(RULES, table)]


@pytest.mark.parametrize(("table", "row"), ROWS)
def test_a_row_is_said_when_all_it_waits_for_holds_and_never_otherwise(table, row):
    rows = getattr(RULES, table)
    choose = {"cautions": cautions, "fitting": fitting, "walkaround": walkaround}[table]
    text = rows[row].look if table == "walkaround" else rows[row].says
    tags = [tag for tag in rows[row].when if tag != "always"]
    machine = [tag for tag in tags if tag in OF_THE_MACHINE]
    edits = [TRUE[tag] for tag in tags if tag not in OF_THE_MACHINE]
    assert text in said(job_with(*edits), machine, choose)
    for tag in tags:
        if tag in OF_THE_MACHINE:
            other = {"tracks": "tyres", "tyres": "tracks", "ride-in": "stand-on", "stand-on": "ride-in"}.get(
                tag, "tracks"
            )
            assert text not in said(job_with(*edits), [*(t for t in machine if t != tag), other], choose), tag
        else:
            assert text not in said(job_with(*edits, FALSE[tag]), machine, choose), tag


def test_every_tag_is_waited_for_by_some_row():
    rows = [row for name in ("cautions", "fitting", "walkaround") for row in getattr(RULES, name).values()]
    assert {tag for row in rows for tag in row.when} >= TAGS


@settings(max_examples=60)
@given(jobs() | snow_jobs())
def test_no_job_has_a_tag_that_no_row_could_wait_for(job):
    site = draw_site(job, RULES, 50)
    assert tags_of(job, None, site, RULES) <= TAGS | set(RULES.attachments)


@pytest.mark.parametrize(
    ("edit", "row"),
    [
        ({"access.headroom": 2.1}, "roof"),  # a roof or a branch: nobody said
        ({"access.headroom": math.inf}, None),
        ({"access.headroom": 2.1, "hazards.indoors": False}, None),
        ({"hazards.indoors": True}, "indoors"),
    ],
)
def test_exhaust_is_warned_of_where_there_is_a_roof_or_may_be(edit, row):
    told = said(job_with({"hazards.indoors": None}, edit), [])
    assert {key for key in ("indoors", "roof") if RULES.cautions[key].says in told} == ({row} if row else set())


@pytest.mark.parametrize(
    ("edit", "key"),
    [
        ({"ground.grade": 0.06}, "tip-over"),
        ({"ground.grade_across": 0.06}, "tip-over"),
        ({"hazards.trench": "unprotected"}, "tip-over"),
        ({"ground.travel": {"packed snow": 1.0}}, "snow-people"),
        ({"task.kind": "trench"}, "edge"),
        ({"task.kind": "load trucks"}, "truck"),
        ({"task.attachment": "cold planer"}, "breaks"),
        ({"ground.travel": {"asphalt": 1.0}, "ground.new_asphalt": True}, "hot-asphalt"),
        ({"ground.standing_water": True, "ground.wetness": None}, "bogged"),
        ({"ground.wetness": None, "ground.moisture": None}, "bogged"),
        ({"snow": LOT.model_copy(update={"under": None}), "task.attachment": "bucket"}, "ice"),
    ],
    ids=lambda value: str(value)[:50],
)
def test_other_ways_to_the_same_caution(edit, key):
    assert RULES.cautions[key].says in said(job_with(edit), ["ride-in"])


def test_power_lines_by_voltage_as_the_rule_prints_them():
    table = RULES.cautions["power-lines-table-US"].says
    for volts, feet in ((50, 10), (200, 15), (350, 20), (500, 25), (750, 35), ("1,000", 45)):  # 1926.1408 Table A
        assert f"{feet}{' ft up' if feet == 10 else ''} to {volts}" in table
    assert "50 ft where it may carry over 350 kV" in RULES.cautions["power-lines-US"].says  # 1926.1409
    assert "15 m" in RULES.cautions["power-lines-UK"].says
    near = {"hazards.power_lines": "near"}
    lifts = {c: RULES.care.forbidden["power_lines"].lifted_by(c) for c in ("US", "UK", "EU")}
    for country, lift in lifts.items():
        job = job_with(near, {"country": country})
        pick_, _ = standing(job, [])
        assert lift in english(pick_.finding("spares_surface").remedy)
    assert "ft" not in lifts["UK"] + lifts["EU"]


def test_the_sheet_has_the_first_six_and_the_page_all():
    answer = pick(job_with({"hazards.edges": True, "ground.grade": 0.08, "haul": None}), FLEET, RULES, draws=300)
    sheet, page = as_sheet(answer), as_page(answer)
    texts = [str(escape(caution.says.text)) for caution in answer.cautions]
    assert [text for text in texts if text in sheet] == texts[:6]
    assert f"The page has {len(texts) - 6} more" in sheet
    plain = page.replace("</a>", "")
    assert [text for text in texts if text.split(".")[0][-25:] in plain] == texts
    said_ = {caution.says.text for caution in answer.cautions}
    assert [row for row, text in RULES.cautions.items() if text.says in said_][:2] == ["slope", "tip-over"]
