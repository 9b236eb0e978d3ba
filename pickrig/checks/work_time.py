"""How long the work takes: trips and cycles, area and passes, or the contractor's own rate."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from pickrig.checks.carrying import carry
from pickrig.checks.case import Case, MissingError, need
from pickrig.checks.grips import loaded_ratio
from pickrig.checks.ground.draws import Array
from pickrig.inputs import Job, soft_share
from pickrig.physics import cycle
from pickrig.rulebook import Rules
from pickrig.rulebook.tables import Material, Value

_REACHES = ((15.0, "near"), (60.0, "middling"), (120.0, "far"))  # m: 50, 200 and 400 ft


@dataclass(frozen=True)
class WorkTime:
    """time: s, a number a draw. what: the amount in words. working: lines to redo it by hand."""

    time: Array
    what: str
    working: tuple[str, ...]

    @cached_property
    def middle(self) -> float:
        return float(np.median(self.time))


def has_an_amount(job: Job, rules: Rules) -> bool:
    """Whether it is known how much there is to do: the job says it, or its kind of work has a usual amount."""
    task = job.task
    given = task.pieces > 1 or rules.work[task.kind].usual_area is not None
    return given or any(getattr(task, key) is not None for key in ("volume", "area", "run", "holes"))


def work_time(case: Case) -> WorkTime | None:
    """The time of this machine on this job; None where the job gives no amount, or the machine cannot carry the "
    "load."""
    return case.once("work time", lambda: _work_time(case))


def _work_time(case: Case) -> WorkTime | None:
    task = case.job.task
    if not has_an_amount(case.job, case.rules):
        return None
    if task.run is not None:
        run = case.show(task.run, "length")
        return _own_rate(
            case, task.run, task.run_per_hour, f"{run} to trench", "run_per_hour", 'run_per_hour = "60 ft"'
        )
    if task.holes is not None:
        return _own_rate(
            case, task.holes, task.holes_per_hour, f"{task.holes} holes", "holes_per_hour", "holes_per_hour = 12"
        )
    usual = case.rules.work[task.kind].usual_area
    if task.area is not None or (usual is not None and task.volume is None and task.pieces == 1):
        return _over_an_area(case, task.area or usual or 0.0)
    if task.volume is not None:
        return _moved(case, task.volume)
    return _carried(case)


def _own_rate(case: Case, amount: float, rate: float | None, what: str, key: str, example: str) -> WorkTime:
    """Nobody publishes rates for tools: the contractor's own, spread by the working share of the time."""
    if rate is None:
        raise MissingError(f"task.{key}", of_the_job=True, how=f"Give what your crew does in an hour: {example}.")
    efficiency = _drawn(case, "efficiency", "pace")
    spread = case.rules.cycles.values["efficiency"].value / efficiency
    time = 3600 * amount / rate * spread
    return WorkTime(time, what, (f"{what} over the file's own {key.replace('_', ' ')}, spread by how a day goes",))


def _over_an_area(case: Case, area: float) -> WorkTime:
    values, width = case.rules.cycles.values, _tool_width(case)
    passes = values["grading_passes"].value if case.rules.work[case.job.task.kind].digs else 1
    speed = min(values["grading"].value, 0.5 * need(case.machine.travel_speed, "travel_speed"))
    efficiency = _drawn(case, "efficiency", "pace")
    time = passes * area / cycle.area_rate(speed, width, efficiency)
    shown = case.show(area, "area")
    line = (
        f"area rate v w e: {case.show(speed, 'speed')} x {case.show(width, 'length')} x "
        f"{values['efficiency'].value:.2f}, {passes:.0f} passes over {shown}"
    )
    return WorkTime(time, shown, (line,))


def _tool_width(case: Case) -> float:
    width = case.rules.attachments[case.attachment][case.machine.frame].width
    return need(case.machine.width, "width") if width == "machine" else width


def _moved(case: Case, bank: float) -> WorkTime | None:
    """Earth by the bucketful, capped by what the machine may carry."""
    row, loading = material(case), carry(case)
    if loading.safe <= 0:
        return None
    loose = float(cycle.loose_volume(bank, row.swell))
    heaped = need(case.machine.bucket_capacity, "bucket_capacity")
    by_volume, by_weight = row.fill[1] * heaped, loading.safe / row.density
    load = min(by_volume, by_weight)
    trips = int(cycle.trips(loose, load))
    cap = "by what it may carry" if by_weight < by_volume else "by what the bucket holds"
    line = (
        f"{case.show(bank, 'volume')} in the bank swells {row.swell:.0%} to {case.show(loose, 'volume')}; a bucket "
        "holds "
        f"{row.fill[1]:.2f} x {case.show(heaped, 'volume')}, it may carry {case.show(by_weight, 'volume')} of "
        f"{case.show(row.density, 'density')}: {case.show(load, 'volume')} a trip {cap}, {trips} trips"
    )
    return _trips(case, trips, "fixed", f"{case.show(bank, 'volume')} in {trips} trips", line)


def material(case: Case) -> Material:
    """What is dug: as the job says, else by its soil."""
    given, soil = case.job.task.material, case.job.ground.soil
    if given is None and soil is not None:
        name = case.rules.soils[soil].name
        given = next((word for word in ("clay", "sand", "gravel") if word in name), None)
    return case.rules.cycles.materials[given or "earth"]


def _carried(case: Case) -> WorkTime | None:
    """Loads as they come; None where one cannot be carried at all."""
    loading, pieces = carry(case), case.job.task.pieces
    if loading.trips == 0:
        return None
    trips = loading.trips * pieces
    fixed = "pallet" if "forks" in case.attachment else "fixed"
    parts = f" in {loading.trips} parts each" if loading.trips > 1 else ""
    return _trips(case, trips, fixed, f"{trips} trips", f"{pieces} loads{parts}: {trips} trips")


def _trips(case: Case, trips: int, fixed: str, what: str, line: str) -> WorkTime:
    values = case.rules.cycles.values
    distance, speed, slow = haul_speed(case)
    pick_up = 60 * _drawn(case, fixed, "box")
    one = cycle.cycle_time(pick_up, distance, speed, speed)
    time = trips * one / _drawn(case, "efficiency", "pace")
    if case.brief:
        return WorkTime(time, what, ())
    cycle_line = (
        f"a trip: {values[fixed].value:.2f} min to load, turn and set down + 2 x {case.show(distance, 'length')} at "
        f"{case.show(speed, 'speed')}{slow} = {float(np.median(one)) / 60:.1f} min in the middle; over a working "
        "share of "
        f"{values['efficiency'].value:.2f}"
    )
    return WorkTime(time, what, (line, cycle_line))


def haul_speed(case: Case) -> tuple[float, float, str]:
    """Haul one way, m; speed over this ground, m/s, with slip taken off; and what slows it, in words."""
    values, task = case.rules.cycles.values, case.job.task
    given = task.haul if task.haul is not None else case.job.ground.route
    distance = given if given is not None else values["usual_haul"].value
    share = float(np.interp(distance, [d for d, _ in _REACHES], [values[key].value for _, key in _REACHES]))
    speed, slow = share * need(case.machine.travel_speed, "travel_speed"), ""
    if soft_share(case.job.ground, case.rules) > 0 and speed > values["rough"].value:
        speed, slow = values["rough"].value, ", the most anyone drives on rough ground"
    slip = values["slip"].value / max(loaded_ratio(case), 1.0)
    if slip >= 0.01:
        slow += f", less {slip:.0%} slip"
    return distance, speed * (1 - slip), slow


def _drawn(case: Case, key: str, name: str) -> Array:
    value: Value = case.rules.cycles.values[key]
    return case.luck.draw(name, (value.low or value.value, value.value, value.high or value.value))
