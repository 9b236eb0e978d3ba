"""A plan of before, from the JSON that `pickrig day` wrote: what is kept where it can be, and what has changed."""

import datetime as dt
import json
from pathlib import Path
from typing import Annotated

from pydantic import BaseModel, BeforeValidator, ValidationError

from pickrig.errors import InputError
from pickrig.facts import Said
from pickrig.files import read_text

_Moment = Annotated[
    dt.datetime,
    BeforeValidator(lambda text: dt.datetime.strptime(text, "%Y-%m-%d %H:%M") if isinstance(text, str) else text),
]


class EarlierLine(BaseModel):
    """One job as it was planned. event: the mark of its entry in a calendar."""

    job: str
    machine: str
    date: dt.date
    arrive: _Moment
    event: str


class EarlierPlan(BaseModel):
    """events: the marks of all entries of its calendar, with their days."""

    lines: list[EarlierLine]
    events: dict[str, dt.date]

    def line(self, job: str) -> EarlierLine | None:
        return next((line for line in self.lines if line.job == job), None)


def read_earlier_plan(path: Path) -> EarlierPlan:
    """Raises InputError where the file is not such a plan."""
    try:
        return EarlierPlan.model_validate(json.loads(read_text(path, "day")))
    except (ValueError, ValidationError, RecursionError) as error:
        raise InputError([Said("fault.no_plan", file=str(path))]) from error
