"""Is the work done in time?"""

import numpy as np

from pickrig.checks.case import Case
from pickrig.checks.cited import source
from pickrig.checks.finding import Account, Finding, Verdict
from pickrig.checks.snow.findings import snow_time
from pickrig.checks.work_time import WorkTime, has_an_amount, work_time
from pickrig.facts import Quantity, Said, Statements, number
from pickrig.inputs import Job
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
    chance = float(np.mean(work.time <= day))
    verdict = _verdict(case, chance)
    return Finding(
        check="produces",
        verdict=verdict,
        unit="share",
        value=work.middle / day,
        limit=1.0,
        margin=day / work.middle,
        chance=chance,
        depends_on=("task.pieces", "task.haul", "machine.travel_speed"),
        seconds=work.middle,
        account=lambda: Account(
            says=(*_says(case, work, day), work.what),
            remedy=() if verdict == "go" else (Said("produces.mend"),),
            working=work.working(),
            sources=(*case.cite("cycle"), source(case.rules, case.rules.cycles.values["fixed"], "source.trip")),
        ),
    )


def _day(case: Case) -> float:
    """Time there is, s."""
    given = case.job.task.window
    return given if given is not None else 3600 * case.rules.money["job_hours"].value


def _verdict(case: Case, chance: float) -> Verdict:
    """Over the day the job names is a no; over a usual day, work for tomorrow as well."""
    limits = case.rules.limits.floats
    if chance >= limits.go:
        return "go"
    return "no-go" if chance < limits.caution and case.job.task.window is not None else "caution"


def _says(case: Case, work: WorkTime, day: float) -> Statements:
    low, high = (Quantity(float(q), "duration") for q in np.quantile(work.time, (0.1, 0.9)))
    key = "produces.given" if case.job.task.window is not None else "produces.usual"
    told = [Said(key, time=Quantity(work.middle, "duration"), low=low, high=high, day=Quantity(day, "duration"))]
    days = work.middle / day
    return (*told, Said("produces.days", days=number(days, 1))) if days > 1.05 else tuple(told)


def _cannot(case: Case) -> Finding:
    return Finding(
        check="produces",
        verdict="no-go",
        unit="share",
        depends_on=("task.load",),
        follows="lifts",
        account=lambda: Account((Said("produces.never"),), (Said("produces.see_load"),), sources=case.cite("cycle")),
    )
