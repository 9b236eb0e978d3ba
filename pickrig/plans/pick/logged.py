"""What an answer said of one machine, for the log: frozen before anybody knows what comes of it."""

import datetime as dt
import json

from pickrig.checks.case import Case, MissingError
from pickrig.checks.hours import job_seconds, round_the_work
from pickrig.errors import InputError
from pickrig.facts import Said
from pickrig.log.entry import Entry
from pickrig.plans.pick.record import Recommendation, Standing, by_strength
from pickrig.reading import nearest
from pickrig.rulebook import Rules


def entry_of(answer: Recommendation, rules: Rules, machine: str, day: dt.date, release: str) -> Entry:
    """Raises InputError where the fleet has no such machine."""
    names = [standing.name for standing in answer.ranking]
    name = next((one for one in names if one.lower() == machine.strip().lower()), None)
    if name is None:
        raise InputError([Said("fault.log_machine", name=machine, near=nearest(machine, names, "known.it_has"))])
    standing, job = next(one for one in answer.ranking if one.name == name), answer.job
    floats = standing.finding("floats")
    alone, on_site = _hours(answer, standing, rules)
    inputs = {
        "job": job.model_dump(mode="json", exclude_none=True, exclude_defaults=True),
        "machine": standing.machine.model_dump(mode="json", exclude_none=True, exclude_defaults=True),
        "seed": answer.seed,
    }
    return Entry(
        job=job.title,
        machine=name,
        day=day.isoformat(),
        site=job.site or "",
        soil=job.ground.soil or "",
        work=job.task.kind,
        chance=floats.chance,
        margin=_margin(answer, standing),
        expected=alone,
        on_site=on_site,
        answer=json.dumps(inputs, ensure_ascii=False),
        release=release,
    )


def _margin(answer: Recommendation, standing: Standing) -> float | None:
    """Strength over need in the middle, by the books alone: what the log already teaches must not be learned twice.
    None where something else than strength decides: clean sand, frost, another soil along the way."""
    floats = standing.finding("floats")
    if not by_strength(floats, answer.site):
        return None
    before = answer.by_log.before.get(standing.name) if answer.by_log is not None else None
    return before.margin if before is not None else floats.margin


def _hours(answer: Recommendation, standing: Standing, rules: Rules) -> tuple[float | None, float | None]:
    """Hours of the machine, and of all on the site with setting up, hand work and cleaning, by the books alone."""
    case = Case(answer.job.with_learned(None), standing.machine, answer.site, rules)
    try:
        seconds = job_seconds(case)
    except MissingError:
        return None, None
    return (None, None) if seconds is None else (seconds / 3600, (seconds + round_the_work(case, seconds)) / 3600)
