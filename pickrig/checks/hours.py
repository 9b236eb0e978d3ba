"""How long a machine is at work on a job."""

import numpy as np

from pickrig.checks.case import Case
from pickrig.checks.snow_findings import unders
from pickrig.checks.snow_grip import counted
from pickrig.checks.snow_work import clearing
from pickrig.checks.work_time import work_time


def job_hours(case: Case) -> float | None:
    """Seconds: of the snow or the work, else a working day. None where it never ends."""
    if case.job.snow is None:
        work = work_time(case)
        return float(np.median(work.time)) if work else 3600 * case.rules.money["job_hours"].value
    times = [float(np.median(clearing(case, under, counted(case)).time)) for under in unders(case)]
    return max(times) if np.isfinite(max(times)) else None
