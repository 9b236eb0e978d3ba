"""How long a machine is at work on a job, and how long the job takes whoever is paid for it."""

import numpy as np

from pickrig.checks.case import Case, MissingError
from pickrig.checks.snow.findings import unders
from pickrig.checks.snow.grip import counted
from pickrig.checks.snow.work import clearing
from pickrig.checks.work_time import work_time
from pickrig.inputs import soft_share

_THOUSAND_FEET = 1000 * 0.3048**2  # m2


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


def round_the_work(case: Case, work: float, times: float = 1.0) -> float:
    """s on the site besides the machine's own on so much work, s, so many times the job file's: setting up, hand work,
    waiting, checking grade, cleaning, loading. None of snow, where the machine comes to push and goes."""
    if case.job.snow is not None:
        return 0.0
    hours, task = case.rules.on_site, case.job.task
    muddy = case.job.ground.wetness == "wet" and soft_share(case.job.ground, case.rules) > 0
    fixed = [hours[key].value for key in ("set_up", "load_up", "clean_up_mud" if muddy else "clean_up")]
    shares = [hours["hand_work"].value] if case.rules.work[task.kind].digs else []
    shares += [hours["waiting"].value]
    checked = times * hours["checking"].value * (task.area or 0.0) / _THOUSAND_FEET if task.kind == "cut grade" else 0.0
    pace = case.job.pace  # the work itself comes at that pace
    return 3600 * pace * (sum(fixed) + checked) + sum(shares) * work
