"""What has changed between two plans: since the one of before, or if it stays dry."""

import datetime as dt
import hashlib
import json
from collections.abc import Sequence
from dataclasses import dataclass

from pickrig.facts import Quantity, Said, Statements
from pickrig.inputs.board import Board, Call
from pickrig.inputs.earlier_plan import EarlierPlan
from pickrig.inputs.job import Job

_SHIFT = dt.timedelta(minutes=15)  # nobody is told of less


@dataclass(frozen=True)
class Placed:
    """A job on a board: the machine that goes, the day, and when it is there."""

    job: str
    machine: str
    date: dt.date
    arrive: dt.datetime


def placed_before(earlier: EarlierPlan, board: Board) -> list[Placed]:
    """What is still to come of a plan of before."""
    return [Placed(line.job, line.machine, line.date, line.arrive) for line in earlier.lines if line.date >= board.date]


def differences(before: Sequence[Placed], after: Sequence[Placed]) -> Statements:
    """A statement for every job that goes otherwise, comes on or drops out."""
    was, now = ({one.job: one for one in plan} for plan in (before, after))
    told = [Said("board.now_new", job=job, machine=one.machine) for job, one in now.items() if job not in was]
    told += [Said("board.now_off", job=job, machine=one.machine) for job, one in was.items() if job not in now]
    for job in now.keys() & was.keys():
        told += _moved(was[job], now[job])
    return tuple(sorted(told, key=lambda said: str(said.value("job"))))


def _moved(was: Placed, now: Placed) -> list[Said]:
    told = []
    if was.machine != now.machine:
        told.append(Said("board.now_machine", job=now.job, machine=now.machine, before=was.machine))
    if was.date != now.date:
        told.append(Said("board.now_day", job=now.job, date=now.date, before=was.date))
    elif abs(now.arrive - was.arrive) >= _SHIFT:
        told.append(Said("board.now_time", job=now.job, at=clock_of(now.arrive), before=clock_of(was.arrive)))
    return told


def clock_of(moment: dt.datetime) -> Quantity:
    """To five minutes: nobody knows it better."""
    return Quantity(300.0 * round((3600 * moment.hour + 60 * moment.minute + moment.second) / 300), "clock")


def without_rain(board: Board) -> Board | None:
    """The board as it is where no rain comes that is only forecast; None where none is."""
    dry: dict[int, Job] = {}
    for call in board.calls:
        weather = call.job.weather
        if weather is None or id(call.job) in dry:
            continue
        last = max(max(other.days) for other in board.calls if other.job is call.job)
        coming = [day for day in weather.days if weather.last_measured < day.date <= last and day.expected > 0]
        if coming:
            days = [day.model_copy(update={"rain": 0.0}) if day in coming else day for day in weather.days]
            dry[id(call.job)] = call.job.model_copy(update={"weather": weather.model_copy(update={"days": days})})
    if not dry:
        return None
    calls = tuple(call.model_copy(update={"job": dry.get(id(call.job), call.job)}) for call in board.calls)
    return board.model_copy(update={"calls": calls})


def event_of(board: Board, call: Call, earlier: EarlierPlan | None) -> str:
    """The mark of a job's entry in a calendar, which it keeps whatever machine goes and on whatever day."""
    before = earlier.line(call.name) if earlier else None
    return before.event if before and before.date >= board.date else mark(board.title, str(board.date), call.name)


def mark(*names: str) -> str:
    """A mark that no other names give, whatever signs they share."""
    return hashlib.sha256(json.dumps(names).encode()).hexdigest()[:32]
