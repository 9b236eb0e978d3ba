"""How often a machine passes over the same ground: as the job says, by its own trips, or a day's work."""

from pickrig.checks.carrying import carry, material
from pickrig.checks.case import Case
from pickrig.inputs.job import Task
from pickrig.physics import cycle

_A_TRIP = 2  # out and back


def passes(case: Case) -> float:
    """Passes over the same ground, no more than the curves may be stretched to."""
    given, usual = case.job.task.passes, float(case.rules.work[case.job.task.kind].passes)
    if isinstance(given, str):
        return 1.0 if given == "once" else case.rules.strength["most_passes"].value
    if given is not None:
        return _within(case, given)
    trips = trips_of(case) if case.rules.work[case.job.task.kind].hauls else None
    return usual if trips is None else _within(case, _A_TRIP * trips)


def _within(case: Case, count: float) -> float:
    return min(float(count), case.rules.strength["most_passes"].value)


def trips_of(case: Case) -> int | None:
    """Trips this machine makes for the loads or the earth the job names; None where it names none. One that cannot
    carry a load counts it once."""
    loading, task = carry(case), case.job.task
    if task.volume is not None:
        capacity = case.machine.bucket_capacity
        if loading.safe <= 0 or capacity is None:
            return None
        row = material(case)
        load = min(row.fill[1] * capacity, loading.safe / row.density)
        return int(cycle.trips(float(cycle.loose_volume(task.volume, row.swell)), load))
    return max(loading.trips, 1) * task.pieces if counted(task) else None


def counted(task: Task) -> bool:
    """Whether the job says how many loads there are."""
    return "pieces" in task.model_fields_set
