"""The sizes that the pictures of an answer are drawn from: the pick in its gate, the load on its arms, its lot of snow.

Lengths in m, masses in kg.
"""

from math import inf

import numpy as np

from pickrig.checks import Case, ask_on
from pickrig.checks.carrying import carry
from pickrig.checks.case import MissingError
from pickrig.checks.snow.findings import unders
from pickrig.checks.snow.grip import counted
from pickrig.checks.snow.ways import is_walk, overlap
from pickrig.checks.snow.work import clearing
from pickrig.facts import Ruled
from pickrig.physics.cycle import trips
from pickrig.plans.pick.record import InTheGate, OnTheArms, OnTheLot, OnTheWay, Scene, Standing


def scene(case: Case, pick: Standing) -> Scene:
    """What can be drawn of it; nothing of what the job does not ask or a figure is missing for."""
    return Scene(_gate(case), _arms(case, pick), _lot(case), _way(case))


def _gate(case: Case) -> InTheGate | None:
    """In the narrowest opening it goes straight through."""
    access, machine = case.job.access, case.machine
    walk = case.job.snow.sides[1] if case.job.snow is not None and is_walk(case) else None
    known = [width for width in (access.gate, access.passage, walk) if width is not None and width < inf]
    if not known or machine.width is None or machine.height is None:
        return None
    gear = machine.tracks or machine.tyres
    assert gear is not None
    return InTheGate(
        opening=min(known),
        width=machine.width,
        height=machine.height,
        tool=case.tool_width,
        headroom=access.headroom if access.headroom is not None and access.headroom < inf else None,
        gear_width=gear.width or machine.width / 6,
        gear_height=(machine.tyres.diameter if machine.tyres else None) or machine.height / 3,
        stands_on=machine.kind == "stand-on loader",
    )


def _arms(case: Case, pick: Standing) -> OnTheArms | None:
    """One load against what may be carried and what tips it."""
    asked = {finding.check: finding for finding in pick.findings}
    if "lifts" not in asked or asked["lifts"].value is None:
        return None
    loading = carry(case)
    return OnTheArms(loading.payload, loading.safe, loading.tipping)


def _lot(case: Case) -> OnTheLot | None:
    """The lanes of the draw in the middle."""
    lot = case.job.snow
    if lot is None:
        return None
    try:
        works = [clearing(case, under, counted(case)) for under in unders(case)]
    except MissingError:
        return None
    work = max(works, key=lambda one: float(np.median(one.time)))
    hours = work.hours
    along, across = lot.sides
    lane = hours.width - (overlap(case, hours.width) if hours.way == "push" else 0.0)
    ends = 2 if lot.stack == "both ends" else 1
    loads = 1
    if hours.length is not None and np.isfinite(hours.time[hours.middle]):
        loads = int(trips(along / ends, float(hours.length[hours.middle])))
    return OnTheLot(hours.way, along, across, int(trips(across, lane)), loads, ends)


def _way(case: Case) -> tuple[OnTheWay, ...]:
    """The stretches in order, each with what the ground says of it."""
    told = []
    for number, stretch in enumerate(case.job.stretch, 1):
        floats = ask_on(case, number, "floats")
        name = stretch.name or Ruled(stretch.surface or stretch.soil or "")
        soft = stretch.surface is None or case.rules.surfaces[stretch.surface].carries == "soil"
        grade = (stretch.grade or 0.0) * (-1 if stretch.loaded == "downhill" else 1)
        told.append(OnTheWay(name, stretch.length, grade, soft, stretch.boards, floats.verdict, floats.says[0]))
    return tuple(told)
