"""A machine clearing snow: its grip behind the pusher, what a full box takes, how far it gets, how long the lot takes.

Every uncertain figure is drawn once and shared by all machines: the snow and the pavement are the same for all of them,
only weight, pressure, tread and the share of contact that reaches the pavement differ.
"""

from dataclasses import dataclass, replace
from math import atan, cos
from typing import Literal

import numpy as np

from pickrig.checks.carrying import GRAVITY, carry
from pickrig.checks.case import Case, need
from pickrig.checks.engine import engine_pull
from pickrig.checks.ground.draws import Array, Three
from pickrig.checks.pressing import most_pressure
from pickrig.checks.snow.grip import View, air, grip_on, kind_of, practice, snow_of
from pickrig.checks.snow.ways import Hours, Pace, blown, cast, pace_of, pushed, swept, way_of, with_docks
from pickrig.checks.tyres import tyre_patch
from pickrig.inputs.snow import Snow
from pickrig.physics import snow, traction
from pickrig.rulebook.tables import UnderSnow

_BITES = (1.0, 0.5, 1 / 3)  # of the width: what an operator tries when the whole of it will not move


@dataclass(frozen=True)
class Clearing:
    """One machine on the lot; arrays hold one number a draw, SI. full: force to push a full box, pull: at the edge.

    traction: of the drive, a share of weight_on_drive. resists: rolling, grade and left snow. fills: how far until
    the box is full. hours: what it takes, by the way it is cleared. belly: clearance over sinkage in snow not yet
    cleared, None where it need not drive on any. by_engine: the engine gives out before the grip.
    """

    row: UnderSnow
    weight_on_drive: float
    pressure: float
    traction: Array
    resists: Array
    pull: Array
    full: Array
    least: Array
    box: Array
    fills: Array
    hours: Hours
    push_speed: float
    return_speed: float
    width: float
    density: Array
    sinks: Array
    belly: Array | None
    by_engine: bool

    @property
    def time(self) -> Array:
        return self.hours.time

    @property
    def ratio(self) -> Array:
        """Traction over all that resists it, with a full box."""
        return (self.pull + self.resists) / (self.full + self.resists)


@dataclass(frozen=True)
class _Load:
    """What one load of snow meets on its way; arrays hold one number a draw, SI."""

    width: float
    depth: float
    density: Array
    speed: float
    slides: Array
    edge: Array
    on_edge: float
    crush: Array
    slope: float

    def force(self, mass: Array) -> Array:
        """Force to push this much snow, N."""
        return snow.pusher_force(
            mass,
            self.width,
            self.depth,
            self.density,
            self.speed,
            self.slides,
            self.edge,
            self.on_edge,
            self.crush,
            self.slope,
        )

    def most(self, pull: Array) -> Array:
        """Most snow this pull moves, kg."""
        return snow.most_snow(
            pull,
            self.width,
            self.depth,
            self.density,
            self.speed,
            self.slides,
            self.edge,
            self.on_edge,
            self.crush,
            self.slope,
        )

    @property
    def gathers(self) -> Array:
        """Snow taken up a metre, kg/m."""
        return np.maximum(self.density * self.width * self.depth, 1e-6)


def clearing(case: Case, under: str, view: View) -> Clearing:
    """The machine on the lot with this under the snow. Raises MissingError for a figure nobody gave."""
    return case.once((under, view), lambda: _clearing(case, under, view))


def _clearing(case: Case, under: str, view: View) -> Clearing:
    row, lot, slope = case.rules.snow.under[under], snow_of(case), case.job.ground.grade or 0.0
    loading = carry(case)
    weight = loading.mass * GRAVITY
    on_edge = loading.fitted * GRAVITY + (case.job.task.down_force or 0.0)
    on_drive = max(weight - on_edge, 1.0) * cos(atan(slope))
    pressure = on_drive / _area(case, on_drive)
    most = most_pressure(case, loading, 0.0)  # which the sinkage rule asks for
    grip, density = grip_on(case, row, view, pressure), _density(case)
    resists = _resists(case, row, on_drive, most, density) + float(traction.grade_resistance(weight, slope))
    push, back = _speeds(case)
    engine = engine_pull(case, push)
    pull = np.minimum(grip * on_drive, engine) - resists
    pull = np.where(pull > 0, practice(case, row, view) * pull, pull)
    load = _Load(
        width=case.tool_width,
        depth=max(lot.depth - row.left, 0.0),
        density=density,
        speed=push,
        slides=_three(case, "slides"),
        edge=case.luck.draw("edge", row.edge),
        on_edge=on_edge,
        crush=1e3 * _three(case, "crush"),
        slope=slope,
    )
    box = np.minimum(_box_mass(case, density), load.gathers * _lane(lot))
    fills = box / load.gathers
    bites = [replace(load, width=bite * load.width) for bite in _BITES]
    pace = pace_of(case, pile_sizes(case)[1])
    return Clearing(
        row=row,
        weight_on_drive=on_drive,
        pressure=pressure,
        traction=grip,
        resists=resists,
        pull=pull,
        full=load.force(box),
        least=bites[-1].force(case.rules.snow.values["least_box"].value * box),
        box=box,
        fills=fills,
        hours=_by_log(case, with_docks(case, _hours(case, bites, pull, box, (push, back), pace), (push, back))),
        push_speed=push,
        return_speed=back,
        width=load.width,
        density=density,
        sinks=_sinks(case, lot.depth, density, most),
        belly=_belly(case, lot.depth, density, most) if row.over else None,
        by_engine=engine < float(np.median(grip)) * on_drive,
    )


def _by_log(case: Case, hours: Hours) -> Hours:
    """The same at the pace the log of the yard tells."""
    return hours if case.job.pace == 1 else replace(hours, time=case.job.pace * hours.time)


def _hours(case: Case, bites: list[_Load], pull: Array, box: Array, speeds: tuple[float, float], pace: Pace) -> Hours:
    """By the way the tool clears; pushing, in the bite of its width that is quickest: a narrower one where a whole one
    will not move."""
    way, density = way_of(case), bites[0].density
    if way == "blow":
        return blown(case, density, speeds, pace)
    if way == "sweep":
        return swept(case, density, speeds, pace)
    if way == "windrow":
        hours = cast(case, density, _carried(case, density), speeds, pace)
        return replace(hours, time=np.where(pull > bites[0].force(0.0 * box), hours.time, np.inf))
    ways = [pushed(case, np.minimum(box, one.most(pull)) / one.gathers, one.width, speeds, pace) for one in bites]
    return min(ways, key=lambda hours: (float(np.median(hours.time)), -float(np.mean(np.isfinite(hours.time)))))


def _lane(lot: Snow) -> float:
    """Length of one push, m: a short lane never fills the box."""
    return lot.sides[0] / (2 if lot.stack == "both ends" else 1)


def _area(case: Case, on_drive: float) -> float:
    """Nominal contact area of all driven elements on hard ground, m2."""
    machine = case.machine
    if machine.tracks:
        length = need(machine.tracks.contact_length, "tracks.contact_length")
        return 2 * need(machine.tracks.width, "tracks.width") * length
    return 4 * tyre_patch(case, on_drive / 4)[1]


def _density(case: Case) -> Array:
    """Density of the snow as it lies, kg/m3."""
    lot, kind = snow_of(case), case.rules.snow.kinds[kind_of(case)]
    if lot.density is not None:
        return np.full_like(case.luck.uniform["density"], lot.density)
    low, best, high = kind.density
    if kind.fresh and case.job.ground.temperature is not None:
        best = float(np.clip(snow.new_snow_density(air(case)), low, high))
    return case.luck.draw("density", (low, best, high))


def _three(case: Case, field: Literal["slides", "crush", "packs", "fills"]) -> Array:
    spread: Three = getattr(case.rules.snow.kinds[kind_of(case)], field)
    return case.luck.draw(_LUCK.get(field, field), spread)


_LUCK = {"packs": "drag", "fills": "box"}  # numbers drawn for other work, which snow has none of


def _carried(case: Case, density: Array) -> Array:
    """Density of the snow before the edge, kg/m3: packed on the way, slush and what is denser already apart."""
    return np.maximum(
        np.minimum(_three(case, "packs") * density, case.rules.snow.values["carried_most"].value), density
    )


def _box_mass(case: Case, density: Array) -> Array:
    """Snow that a full box carries with the heap before it, or that lies before a blade, kg; none with a blower or a
    broom."""
    box = case.tool.box
    if box is None:
        return np.zeros_like(density)
    carried = _carried(case, density) * _three(case, "fills")
    inside = carried * case.tool_width * box.height * (box.depth or 0.0)
    if box.depth is not None and not case.rules.snow.kinds[kind_of(case)].heaps:
        return inside
    slope = case.rules.snow.values["blade_slope"].value
    return inside + snow.blade_capacity(carried, case.tool_width, box.height, slope)


def _speeds(case: Case) -> tuple[float, float]:
    """Pushing and backing, m/s: shares of the machine's top speed, within what anyone dares on a lot."""
    values, top = case.rules.snow.values, need(case.machine.travel_speed, "travel_speed")
    push = min(values["push_share"].value * top, values["push_most"].value)
    return push, min(values["return_share"].value * top, values["return_most"].value)


def _sinks(case: Case, depth: float, density: Array, pressure: float) -> Array:
    """Sinkage in undisturbed snow, m; tyres in denser snow go deeper than the equation, and slush holds nothing up."""
    if case.rules.snow.kinds[kind_of(case)].thawing:
        return np.full_like(density, depth)
    sunk = snow.sinkage(depth, density, pressure)
    if case.machine.tracks:
        return sunk
    steps = case.rules.snow.deeper_tyres
    return np.minimum(np.interp(density, steps.points, steps.factors) * sunk, depth)


def _belly(case: Case, depth: float, density: Array, pressure: float) -> Array:
    """Clearance over sinkage."""
    clearance = need(case.machine.clearance, "clearance")
    return clearance / np.maximum(_sinks(case, depth, density, pressure), 1e-3)


def _resists(case: Case, row: UnderSnow, on_drive: float, pressure: float, density: Array) -> Array:
    """Motion resistance: driveline and hard surface, and the loose snow left on unpaved ground, N."""
    machine, values = case.machine, case.rules.snow.values
    hard = values["rolls_tyres" if machine.tyres else "rolls_tracks"].value * on_drive
    if row.drives_on != "left":
        return np.full_like(density, hard)
    sunk = _sinks(case, row.left, density, pressure)
    if machine.tracks:
        arc = snow.arc_under_track(sunk, values["approach"].value)
        return hard + 2 * snow.track_resistance(density, need(machine.tracks.width, "tracks.width"), arc)
    assert machine.tyres is not None
    arc = snow.arc_under_wheel(need(machine.tyres.diameter, "tyres.diameter") / 2, sunk)
    leading = snow.leading_wheel_resistance(density, need(machine.tyres.width, "tyres.width"), arc)
    return hard + 2 * (leading + snow.following_wheel_resistance(row.left, on_drive / 4))


def pile_sizes(case: Case) -> tuple[float, float, float]:
    """Volume of the piled snow, m3; height of one bank along the stacking side, m; and of a single heap, m."""
    lot, values = snow_of(case), case.rules.snow.values
    along, across = lot.sides
    density = float(np.median(_density(case)))
    slope = values["slush_slope" if kind_of(case) == "slush" else "pile_slope"].value
    volume = along * across * lot.depth * density / max(values["pile_density"].value, density)
    bank = snow.windrow(volume / (2 if lot.stack == "both ends" else 1), across, slope)[1]
    return volume, float(bank), float(snow.pile(volume, slope)[1])
