"""Rain that may come before the job: what holds if it stays dry, and what if some of it comes."""

import datetime as dt

import numpy as np
from numpy.typing import NDArray

from pickrig.checks import Case
from pickrig.checks.carrying import carry
from pickrig.checks.ground.demand import needed, own_error
from pickrig.checks.ground.site import Site, draw_site
from pickrig.checks.ground.water import comes
from pickrig.facts import Chance, Said, Statements
from pickrig.inputs import Day, Fleet, Job
from pickrig.plans.pick.ranking import rank, weigh
from pickrig.plans.pick.record import Standing
from pickrig.rulebook import Rules

_DRAWS = 4_000
_FEW = 30  # draws of which nothing is told


def if_rain(job: Job, fleet: Fleet, first: Standing | None, site: Site, rules: Rules) -> Statements:
    """How often the ground holds the pick where none of the rain comes that is not sure, and where some does; who would
    go in the dry; and when to look. () without such rain by the end of the job's day, or without soil to hold it."""
    coming = _uncertain(job)
    if first is None or not coming or job.weather is None or site.strength is None or site.family != "fine":
        return ()
    wet = _some_comes(coming, job, site)
    if min(np.sum(wet), np.sum(~wet)) < _FEW:
        return ()
    case = Case(job, first.machine, site, rules)
    loading = carry(case)
    holds = site.holds(first.machine, needed(case, loading, loading.payload), own_error(case))
    dry, rained = (Chance(float(np.mean(holds[draws]))) for draws in (~wet, wet))
    told = [Said("rain.either", dry=dry, wet=rained)]
    in_the_dry = _ranked_dry(coming, job, fleet, rules)[0]
    if in_the_dry.usable and in_the_dry.name != first.name:
        told.append(Said("rain.dry_other", machine=in_the_dry.name))
    eve = job.weather.job_day - dt.timedelta(days=1)
    return (*told, Said("rain.look", rain=Chance(float(np.mean(wet))), date=eve))


def _uncertain(job: Job) -> list[Day]:
    """Days up to the job's whose rain may come or not."""
    weather = job.weather
    if weather is None:
        return []
    days = (day for day in weather.days if weather.last_measured < day.date <= weather.job_day)
    return [day for day in days if day.rain > 0 and day.chance is not None and 0 < day.chance < 1]


def _some_comes(coming: list[Day], job: Job, site: Site) -> NDArray[np.bool_]:
    """Draw by draw, whether any of it comes: the same draws as those of the ground."""
    assert job.weather is not None
    leads = [(day, (day.date - job.weather.last_measured).days) for day in coming]
    return np.asarray(np.any([np.asarray(comes(day, lead, site.luck)) > 0 for day, lead in leads], axis=0), bool)


def _ranked_dry(coming: list[Day], job: Job, fleet: Fleet, rules: Rules) -> list[Standing]:
    """The machines where none of it comes."""
    weather = job.weather
    assert weather is not None
    days = [day.model_copy(update={"chance": 0.0}) if day in coming else day for day in weather.days]
    changed = job.model_copy(update={"weather": weather.model_copy(update={"days": days})})
    return rank(changed, fleet, rules, draw_site(changed, rules, _DRAWS), weigh(changed, rules))
