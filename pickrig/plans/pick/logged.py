"""What an answer said of one machine, for the log: frozen before anybody knows what comes of it."""

import datetime as dt
import json

from pickrig.errors import InputError
from pickrig.facts import Said
from pickrig.log.entry import Entry
from pickrig.plans.pick.record import Recommendation
from pickrig.reading import nearest


def entry_of(answer: Recommendation, machine: str, day: dt.date, release: str) -> Entry:
    """Raises InputError where the fleet has no such machine."""
    names = [standing.name for standing in answer.ranking]
    name = next((one for one in names if one.lower() == machine.strip().lower()), None)
    if name is None:
        raise InputError([Said("fault.log_machine", name=machine, near=nearest(machine, names, "known.it_has"))])
    standing, job = next(one for one in answer.ranking if one.name == name), answer.job
    floats = standing.finding("floats")
    cost = next((one for one in answer.costs if one.machine == name), None)
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
        margin=floats.margin,
        expected=cost.hours if cost is not None else None,
        answer=json.dumps(inputs, ensure_ascii=False),
        release=release,
    )
