"""A beginner at the levers: more room asked at gates and bends, less slope."""

from pickrig.facts import Key, Said, Statements, number
from pickrig.inputs import Job
from pickrig.rulebook import Rules


def is_beginner(job: Job, rules: Rules) -> bool:
    """Whether the job says that whoever drives has few weeks of practice."""
    return job.driver.weeks is not None and job.driver.weeks < rules.limits.beginner.weeks


def with_margins(job: Job, rules: Rules) -> Rules:
    """The rules with the margins of whoever drives."""
    if not is_beginner(job, rules):
        return rules
    limits, own = rules.limits, rules.limits.beginner
    fits = limits.fits.model_copy(
        update={"go_m": own.room * limits.fits.go_m, "caution_m": own.room * limits.fits.caution_m}
    )
    climbs = limits.climbs.model_copy(
        update={"go": own.slope * limits.climbs.go, "caution": own.slope * limits.climbs.caution}
    )
    return rules.model_copy(update={"limits": limits.model_copy(update={"fits": fits, "climbs": climbs})})


def told(job: Job, rules: Rules) -> Statements:
    """What that changes, once."""
    if not is_beginner(job, rules):
        return ()
    own = rules.limits.beginner
    return (Said("assumed.beginner", key=Key("driver.weeks"), room=number(own.room, 1), slope=number(own.slope, 1)),)
