"""How long a machine is at work on a job."""

import numpy as np

from pickrig.checks.case import Case, MissingError
from pickrig.checks.snow.findings import unders
from pickrig.checks.snow.grip import counted
from pickrig.checks.snow.work import clearing
from pickrig.checks.work_time import work_time


def job_seconds(case: Case) -> float | None:
    """Of the snow or the work, else a working day. None where it never ends.

    A job that leaves its own rate open counts as a working day too; "is it done in time" asks for the rate.
    """
    if case.job.snow is None:
        try:
            work = work_time(case)
        except MissingError as missing:
            if missing.how is None:
                raise
            work = None
        day = 3600 * case.rules.money["job_hours"].value
        return work.middle if work else min(day, case.job.task.window or day)
    times = [float(np.median(clearing(case, under, counted(case)).time)) for under in unders(case)]
    return max(times) if np.isfinite(max(times)) else None
