"""How long the lot takes, by the way it is cleared: pushed, cast to the side by an angled blade, blown or swept."""

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from pickrig.checks.case import Case, need
from pickrig.checks.ground.draws import Array
from pickrig.checks.snow.grip import drawn, kind_of, snow_of
from pickrig.physics import hydraulics, snow
from pickrig.physics.cycle import trips

Way = Literal["push", "windrow", "blow", "sweep"]


@dataclass(frozen=True)
class Pace:
    """What the clock hangs on, a number a draw: working share of the time, time at the end of a push, what is cleaned
    up after as a share of the pushing."""

    share: Array
    turn: float
    trickles: Array


@dataclass(frozen=True)
class Hours:
    """One way of clearing the lot. time: s, infinite where it cannot. width: of a lane, m. length: how far a load gets,
    None where nothing is carried. passes: side by side until a blade spills over. speed: while clearing, m/s."""

    way: Way
    time: Array
    width: float
    pace: Pace
    speed: Array
    length: Array | None = None
    passes: Array | None = None

    @property
    def middle(self) -> int:
        """The draw in the middle: its figures give its time. To the millisecond, so that what a processor leaves in the
        last digit does not choose."""
        return int(np.argsort(np.round(self.time, 3), kind="stable")[len(self.time) // 2])


def way_of(case: Case) -> Way:
    """By the attachment, and by where the snow may lie; beside a walk a blade casts it to the verge."""
    if case.tool.clears is not None:
        return case.tool.clears
    lot = snow_of(case)
    walk = case.tool.box is not None and case.tool.box.is_blade and is_walk(case)
    return "windrow" if lot.windrow is not None or walk else "push"


def is_walk(case: Case) -> bool:
    """Whether what is cleared is a walk rather than a lot."""
    return snow_of(case).sides[1] < case.rules.snow.values["walk_breadth"].value


def pace_of(case: Case, bank: float) -> Pace:
    """bank: how high the snow ends up where it is stacked, m."""
    values, box = case.rules.snow.values, case.tool.box
    high = max(
        1 - (values["stack_high"].value / max(bank, 1e-6)) ** 2, 0.0
    )  # of the loads, where the bank is that high
    stack = values["stack_time"].value + values["stack_high_time"].value * high
    share = drawn(case, "walk_pace" if is_walk(case) else "efficiency", "pace")
    trickles = case.luck.draw("push", box.trickles) if box is not None else np.zeros_like(share)
    return Pace(share, values["turn_time"].value + stack, trickles)


def pushed(case: Case, length: Array, width: float, speeds: tuple[float, float], pace: Pace) -> Hours:
    """Lanes of this width, a load at a time, each as far as it gets; nearest the pile first."""
    values, lot = case.rules.snow.values, snow_of(case)
    along, across = lot.sides
    ends = 2 if lot.stack == "both ends" else 1
    least = values["least_push"].value
    once = snow.clearing_time(
        along / ends,
        across,
        width,
        overlap(case, width),
        np.maximum(length, least),
        *speeds,
        pace.turn,
        pace.share,
        lot.beyond or 0.0,
    )
    time = np.where(length >= least, ends * once * (1 + pace.trickles), np.inf)
    return Hours("push", time, width, pace, np.full_like(time, speeds[0]), length)


def cast(case: Case, density: Array, carried: Array, speeds: tuple[float, float], pace: Pace) -> Hours:
    """Passes along the lot, each beside the last; where the blade would spill over, the windrows are pushed off."""
    values, lot = case.rules.snow.values, snow_of(case)
    along, across = lot.sides
    length, angle = case.tool_width, values["blade_angle"].value
    width = length * float(np.cos(np.radians(angle)))
    width -= overlap(case, width)
    assert case.tool.box is not None
    holds = snow.blade_capacity(carried, length, case.tool.box.height, values["blade_slope"].value)
    spills = snow.windrow_passes(holds, angle, length, np.maximum(density * width * lot.depth, 1e-6))
    passes = np.maximum(np.floor(spills), 1.0)
    sides = 2 if lot.windrow == "both sides" else 1
    lanes = float(trips(across, width))
    speed = np.full_like(density, min(speeds[0], values["walk_speed"].value) if is_walk(case) else speeds[0])
    driven = lanes * (along / speed + values["turn_time"].value)
    windrows = np.ceil(lanes / sides / passes) - 1
    off = across / (2 * sides) * (1 / speed + 1 / speeds[1]) + pace.turn
    pushing = sides * windrows * float(trips(along, length)) * off
    time = (driven + pushing) * (1 + pace.trickles) / pace.share
    return Hours("windrow", time, width, pace, speed, passes=passes)


def blown(case: Case, density: Array, speeds: tuple[float, float], pace: Pace) -> Hours:
    """As fast as the oil's power throws it, and no faster than anyone drives behind a blower."""
    values, lot, kind = case.rules.snow.values, snow_of(case), case.rules.snow.kinds[kind_of(case)]
    aux = case.machine.auxiliary
    flow = aux.high_flow or need(aux.flow, "auxiliary.flow")
    oil = float(hydraulics.hydraulic_power(flow, need(aux.pressure, "auxiliary.pressure")))
    clogs = values["blow_wet"].value if kind.thawing else 1.0
    rate = snow.blower_rate(clogs * values["blow_shaft"].value * oil, drawn(case, "blow_energy", "crush"))
    speed = np.minimum(rate / (density * case.tool_width * lot.depth), min(speeds[0], values["blow_most"].value))
    return _driven(case, "blow", np.where(kind_of(case) == "slush", 0.0, speed), pace)


def swept(case: Case, density: Array, speeds: tuple[float, float], pace: Pace) -> Hours:
    """A broom takes a little dry snow."""
    values, kind = case.rules.snow.values, case.rules.snow.kinds[kind_of(case)]
    takes = snow_of(case).depth <= values["sweep_most"].value and not kind.thawing
    speed = min(speeds[0], values["blow_most"].value) if takes else 0.0
    return _driven(case, "sweep", np.full_like(density, speed), pace)


def _driven(case: Case, way: Way, speed: Array, pace: Pace) -> Hours:
    """Lanes driven once each at this speed; never at none."""
    along, across = snow_of(case).sides
    width = case.tool_width - overlap(case, case.tool_width)
    lane = along / np.maximum(speed, 1e-9) + case.rules.snow.values["turn_time"].value
    time = np.where(speed > 0, float(trips(across, width)) * lane / pace.share, np.inf)
    return Hours(way, time, width, pace, speed)


def with_docks(case: Case, hours: Hours, speeds: tuple[float, float]) -> Hours:
    """Snow at walls and doors dragged back first, and the whole shared with machines like it."""
    return replace(hours, time=(hours.time + dock_time(case, hours.pace, speeds)) / beside(case))


def beside(case: Case) -> float:
    """What machines side by side do against one: each further one a share of the one before, as they wait for it."""
    each = case.rules.snow.values["beside"].value
    return sum(each**n for n in range(snow_of(case).machines))


def dock_time(case: Case, pace: Pace, speeds: tuple[float, float]) -> Array:
    """Strips as wide as the tool, dragged back as far as it takes to get before them, s."""
    values, lot = case.rules.snow.values, snow_of(case)
    if lot.dock is None:
        return np.zeros_like(pace.share)
    strips, far = float(trips(lot.dock, case.tool_width)), values["drag_back"].value
    return strips * (far * (1 / speeds[0] + 1 / speeds[1]) + values["dock_time"].value) / pace.share


def overlap(case: Case, width: float) -> float:
    """Of two lanes of this width, m."""
    return min(case.rules.snow.values["overlap"].value, width / 2)
