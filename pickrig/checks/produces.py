"""Is the work done in time?"""

import numpy as np

from pickrig.checks.case import Case
from pickrig.checks.finding import Finding, Verdict
from pickrig.checks.snow.findings import snow_time
from pickrig.checks.work_time import WorkTime, has_an_amount, work_time
from pickrig.inputs import Job
from pickrig.quantities import duration
from pickrig.rulebook import Rules


def applies(job: Job, rules: Rules) -> bool:
    """Only where the job says how much there is to do."""
    return job.snow is not None or has_an_amount(job, rules)


def produces(case: Case) -> Finding:
    """Time the work takes over the time there is. See `Finding`."""
    if case.job.snow is not None:
        return snow_time(case)
    work = work_time(case)
    if work is None:
        return _cannot(case)
    day = _day(case)
    middle, chance = work.middle, float(np.mean(work.time <= day))
    verdict = _verdict(case, chance)
    return Finding(
        check="produces",
        verdict=verdict,
        unit="share",
        value=middle / day,
        limit=1.0,
        margin=day / middle,
        chance=chance,
        says="" if case.brief else _says(case, work, middle, day),
        working=() if case.brief else work.working,
        sources=(*case.cite("cycle"), f"trip: {case.rules.cite(case.rules.cycles.values['fixed'])}"),
        depends_on=("task.pieces", "task.haul", "machine.travel_speed"),
        remedy="" if verdict == "go" else "A shorter haul, a second machine, a larger one, or a second day.",
        hours=middle,
    )


def _day(case: Case) -> float:
    """Time there is, s."""
    given = case.job.task.day
    return given if given is not None else 3600 * case.rules.money["job_hours"].value


def _verdict(case: Case, chance: float) -> Verdict:
    """Over the day the job names is a no; over a usual day, work for tomorrow as well."""
    limits = case.rules.limits.floats
    if chance >= limits.go:
        return "go"
    return "no-go" if chance < limits.caution and case.job.task.day is not None else "caution"


def _says(case: Case, work: WorkTime, middle: float, day: float) -> str:
    low, high = (float(q) for q in np.quantile(work.time, (0.1, 0.9)))
    of = f"of {duration(day)}" if case.job.task.day is not None else f"of a day of {duration(day)}"
    days = middle / day
    over = f", {days:.1f} days of it" if days > 1.05 else ""
    return (
        f"{work.what[:1].upper()}{work.what[1:]}: {duration(middle)} ({duration(low)} to {duration(high)}) {of}{over}."
    )


def _cannot(case: Case) -> Finding:
    return Finding(
        check="produces",
        verdict="no-go",
        unit="share",
        says="Not done at all: it cannot carry the load, see there.",
        sources=case.cite("cycle"),
        depends_on=("task.load",),
        remedy="See the load.",
        follows="lifts",
    )
