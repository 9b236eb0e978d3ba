"""How long the work takes: trips and cycles, area and passes, or the contractor's own rate."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from pickrig.checks.carrying import carry, material
from pickrig.checks.case import Case, MissingError, need
from pickrig.checks.grips import loaded_ratio
from pickrig.checks.ground.draws import Array
from pickrig.facts import Quantity, Said, Statements, Step, number
from pickrig.inputs import Job, soft_share
from pickrig.physics import cycle
from pickrig.rulebook import Rules
from pickrig.rulebook.tables import Value

_REACHES = ("near", "middling", "far")  # hauls, each with its length and its speed in rules/cycles.toml


@dataclass(frozen=True)
class WorkTime:
    """time: s, a number a draw. what: the amount there is to do. working: steps to redo it by hand."""

    time: Array
    what: Said
    working: Callable[[], Statements]

    @cached_property
    def middle(self) -> float:
        return float(np.median(self.time))


def has_an_amount(job: Job, rules: Rules) -> bool:
    """Whether it is known how much there is to do: the job says it, or its kind of work has a usual amount."""
    task = job.task
    given = task.pieces > 1 or rules.work[task.kind].usual_area is not None
    return given or any(getattr(task, key) is not None for key in ("volume", "area", "run", "holes"))


def work_time(case: Case) -> WorkTime | None:
    """The time of this machine on this job; None where the job gives no amount or the machine cannot carry the load."""
    return case.once("work_time", lambda: _by_log(case, _work_time(case)))


def _by_log(case: Case, work: WorkTime | None) -> WorkTime | None:
    """The same at the pace the log of the yard tells."""
    hours = case.job.pace
    if work is None or hours == 1:
        return work
    step = Step("work.by_log", k=number(hours, 2), t=Quantity(hours * work.middle, "duration"))
    return WorkTime(hours * work.time, work.what, lambda: (*work.working(), step))


def _work_time(case: Case) -> WorkTime | None:
    task = case.job.task
    if not has_an_amount(case.job, case.rules):
        return None
    if task.run is not None:
        what = Said("work.run", run=Quantity(task.run, "length"))
        return _own_rate(case, task.run, task.run_per_hour, what, "run_per_hour")
    if task.holes is not None:
        return _own_rate(case, task.holes, task.holes_per_hour, Said("work.holes", holes=task.holes), "holes_per_hour")
    usual = case.rules.work[task.kind].usual_area
    if task.area is not None or (usual is not None and task.volume is None and task.pieces == 1):
        return _over_an_area(case, task.area or usual or 0.0)
    if task.volume is not None:
        return _moved(case, task.volume)
    return _carried(case)


def _own_rate(case: Case, amount: float, rate: float | None, what: Said, key: str) -> WorkTime:
    """Nobody publishes rates for tools: the contractor's own, spread by the working share of the time."""
    if rate is None:
        raise MissingError(f"task.{key}", how=Said(f"missing.{key}"))
    efficiency = _drawn(case, "efficiency", "pace")
    spread = case.rules.cycles.values["efficiency"].value / efficiency
    return WorkTime(3600 * amount / rate * spread, what, lambda: (Said("work.own_rate"),))


def _over_an_area(case: Case, area: float) -> WorkTime:
    values, width = case.rules.cycles.values, case.tool_width
    passes = values["grading_passes"].value if case.rules.work[case.job.task.kind].digs else 1
    speed = min(values["grading"].value, 0.5 * need(case.machine.travel_speed, "travel_speed"))
    efficiency = _drawn(case, "efficiency", "pace")
    time = passes * area / cycle.area_rate(speed, width, efficiency)

    def working() -> Statements:
        return (
            Step(
                "work.area_rate",
                n=int(passes),
                A=Quantity(area, "area"),
                v=Quantity(speed, "speed"),
                w=Quantity(width, "length"),
                e=number(values["efficiency"].value, 2),
                t=Quantity(float(np.median(time)), "duration"),
            ),
        )

    return WorkTime(time, Said("work.area", area=Quantity(area, "area")), working)


def _moved(case: Case, bank: float) -> WorkTime | None:
    """Earth by the bucketful, capped by what the machine may carry."""
    row, loading = material(case), carry(case)
    if loading.safe <= 0:
        return None
    loose = float(cycle.loose_volume(bank, row.swell))
    heaped = need(case.machine.bucket_capacity, "bucket_capacity") * case.wider
    by_volume, by_weight = row.fill[1] * heaped, loading.safe / row.density
    load = min(by_volume, by_weight)
    trips = int(cycle.trips(loose, load))

    def filling() -> Statements:
        cap = "weight" if by_weight < by_volume else "volume"
        return (
            Step(
                "work.swell",
                V=Quantity(bank, "volume"),
                s=Quantity(row.swell, "share"),
                V_loose=Quantity(loose, "volume"),
            ),
            Step(
                f"work.bucket_{cap}",
                f=number(row.fill[1], 2),
                V_heaped=Quantity(heaped, "volume"),
                W=Quantity(loading.safe, "mass"),
                ρ=Quantity(row.density, "density"),
                V_trip=Quantity(load, "volume"),
                n=trips,
            ),
        )

    return _trips(case, trips, "fixed", Said("work.moved", volume=Quantity(bank, "volume"), trips=trips), filling)


def _carried(case: Case) -> WorkTime | None:
    """Loads as they come; None where one cannot be carried at all."""
    loading, pieces = carry(case), case.job.task.pieces
    if loading.trips == 0:
        return None
    trips = loading.trips * pieces
    fixed = "pallet" if "forks" in case.attachment else "fixed"
    what = Said("work.carried", trips=trips)
    key = "work.loads_in_parts" if loading.trips > 1 else "work.loads"
    counted = Said(key, pieces=pieces, parts=loading.trips, trips=trips)
    return _trips(case, trips, fixed, what, lambda: (counted,))


def _trips(case: Case, trips: int, fixed: str, what: Said, counted: Callable[[], Statements]) -> WorkTime:
    values, way = case.rules.cycles.values, haul_way(case)
    pick_up = 60 * _drawn(case, fixed, "box")
    one = cycle.cycle_time(pick_up, way.distance, way.speed, way.speed)
    time = trips * one / _drawn(case, "efficiency", "pace")

    def working() -> Statements:
        rough = (Said("work.rough"),) if way.rough else ()
        return (
            *counted(),
            Step(
                "work.cycle",
                t_f=Quantity(60 * values[fixed].value, "fine duration"),
                D=Quantity(way.distance, "length"),
                v=Quantity(way.speed, "speed"),
                slip=Quantity(way.slip, "share"),
                t=Quantity(float(np.median(one)), "fine duration"),
            ),
            *rough,
            Step("work.trips", n=trips, e=number(values["efficiency"].value, 2)),
        )

    return WorkTime(time, what, working)


@dataclass(frozen=True)
class Way:
    """A haul one way: m; speed over this ground with slip taken off, m/s; the slip, a share; whether rough ground, and
    not the machine, sets the speed."""

    distance: float
    speed: float
    slip: float
    rough: bool


def haul_way(case: Case) -> Way:
    """How far a load goes and how fast."""
    values, task = case.rules.cycles.values, case.job.task
    given = task.haul if task.haul is not None else case.job.ground.route
    distance = given if given is not None else values["usual_haul"].value
    lengths, shares = ([values[f"{key}{what}"].value for key in _REACHES] for what in ("_haul", ""))
    share = float(np.interp(distance, lengths, shares))
    speed, most = share * need(case.machine.travel_speed, "travel_speed"), values["rough"].value
    rough = soft_share(case.job.ground, case.rules) > 0 and speed > most
    slip = values["slip"].value / max(loaded_ratio(case), 1.0)
    return Way(distance, (most if rough else speed) * (1 - slip), slip, rough)


def _drawn(case: Case, key: str, name: str) -> Array:
    value: Value = case.rules.cycles.values[key]
    return case.luck.draw(name, value.three)
