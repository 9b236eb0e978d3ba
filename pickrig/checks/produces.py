"""Is the work done in time?"""

from pickrig.checks.case import Case
from pickrig.checks.finding import Finding
from pickrig.checks.snow_findings import snow_time
from pickrig.inputs import Job
from pickrig.rulebook import Rules


def applies(job: Job, _rules: Rules) -> bool:
    return job.snow is not None


def produces(case: Case) -> Finding:
    """Time the work takes over the time there is. See `Finding`."""
    return snow_time(case)
