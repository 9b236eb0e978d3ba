"""Rain that may come before the job: what holds if it stays dry, and what if it comes."""

import datetime as dt

from pickrig.checks.ground.site import draw_site
from pickrig.facts import Chance, Said, Statements
from pickrig.inputs import Fleet, Job
from pickrig.plans.pick.ranking import rank, weigh
from pickrig.plans.pick.record import Standing
from pickrig.rulebook import Rules

_DRAWS = 4_000


def if_rain(job: Job, fleet: Fleet, first: Standing | None, rules: Rules, seed: int) -> Statements:
    """How often the ground holds the pick either way, who would go then, and when to look; () without rain that may or
    may not come by the end of the job's day."""
    coming = _uncertain(job)
    if first is None or not coming or job.weather is None or first.finding("floats").chance is None:
        return ()
    dry, wet = (_ranked(job, fleet, comes, rules, seed) for comes in (False, True))
    chances = [
        next(s for s in ranking if s.name == first.name).finding("floats").chance or 0.0 for ranking in (dry, wet)
    ]
    told = [
        Said("rain.either", dry=Chance(chances[0]), wet=Chance(chances[1])),
    ]
    goes = [ranking[0].name if ranking[0].usable else None for ranking in (dry, wet)]
    for way, name in zip(("dry", "wet"), goes, strict=True):
        if name != first.name:
            told.append(Said(f"rain.{way}_none") if name is None else Said(f"rain.{way}_other", machine=name))
    return (*told, Said("rain.look", rain=Chance(coming), date=job.weather.job_day - dt.timedelta(days=1)))


def _uncertain(job: Job) -> float:
    """Chance that any of the rain comes that is not sure, by the end of the job's day; zero where none is left open."""
    weather, none = job.weather, 1.0
    if weather is None:
        return 0.0
    for day in weather.days:
        if weather.last_measured < day.date <= weather.job_day and day.rain > 0 and day.chance is not None:
            none *= 1.0 - day.chance
    return 1.0 - none if none > 0 else 0.0


def _ranked(job: Job, fleet: Fleet, comes: bool, rules: Rules, seed: int) -> list[Standing]:
    """The machines where all of it comes, or none."""
    weather = job.weather
    assert weather is not None
    days = [
        day.model_copy(update={"chance": float(comes)})
        if weather.last_measured < day.date <= weather.job_day and day.chance is not None
        else day
        for day in weather.days
    ]
    changed = job.model_copy(update={"weather": weather.model_copy(update={"days": days})})
    return rank(changed, fleet, rules, draw_site(changed, rules, _DRAWS, seed), weigh(changed, rules))
