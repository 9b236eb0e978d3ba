"""An evening's work for the dispatcher: the jobs of tomorrow and of the days after, and what binds them."""

import datetime as dt
from pathlib import Path
from typing import Annotated, Literal

from pydantic import BeforeValidator, Field, model_validator

from pickrig.errors import InputError, WrongError
from pickrig.facts import Said
from pickrig.inputs.fields import AnyCase, FromFile, Money, Name, Road, Strict, Text, WorkDay
from pickrig.inputs.job import Job
from pickrig.inputs.job_file import read_job
from pickrig.reading import check, read_toml, shorten
from pickrig.rulebook import Rules

Weekday = Literal["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"]

_AnyCapital = BeforeValidator(lambda value: value.strip().capitalize() if isinstance(value, str) else value)

MOST_JOBS = 500
_FIRST, _LAST = dt.date(2000, 1, 1), dt.date(2100, 1, 1)
LONGEST = 7  # days of planning; beyond it no forecast is worth a plan


class CallEntry(Strict):
    """One customer's job. name: of the site, else the job file's title. pays: what doing it brings in.

    must: it is done whatever it costs. priority: how much more it counts than its money says. keep: the machine the
    dispatcher sends whatever the plan says. there: machines that stand on the site already. hire: what a hired machine
    with operator costs for it. postpone: what not doing it in its days costs. earliest, latest: its days. move:
    loading, the road and unloading, one way.
    """

    job: Annotated[Name, Field(examples=['"muddy-lot.toml"'])]
    name: Name | None = None
    pays: Money | None = None
    must: bool = False
    priority: Annotated[float, Field(gt=0, le=100)] = 1.0
    keep: Name | None = None
    there: Annotated[list[Name], Field(default_factory=list, examples=['["Wheeled 66"]'])]
    hire: Money | None = None
    postpone: Money = 0.0
    earliest: dt.date | None = None
    latest: dt.date | None = None
    move: Road | None = None

    @model_validator(mode="after")
    def _days_in_order(self) -> "CallEntry":
        if self.earliest is not None and self.latest is not None and self.latest < self.earliest:
            raise WrongError("fault.latest_first")
        if self.keep is not None and self.hire is not None:
            raise WrongError("fault.keep_and_hire")
        return self


class BoardFile(Strict):
    """out: machines, trucks and trailers that are out of service. off: days of the week on which nobody works, but for
    the first. rigs: trucks that "shuttle" bring a machine, go home empty, and fetch it so; those that "stay" wait on
    the site."""

    title: Annotated[Name, Field(examples=['"Tuesday"'])]
    note: Text = ""
    date: Annotated[dt.date, Field(examples=["2026-04-21"], ge=_FIRST, lt=_LAST)]
    start: Annotated[dt.time, Field(examples=["07:00:00"])] | None = None
    day: WorkDay | None = None
    off: tuple[Annotated[Weekday, _AnyCapital], ...] = ("Saturday", "Sunday")
    out: list[Name] = Field(default_factory=list)
    move: Road | None = None
    move_hour: Money | None = None
    rigs: Annotated[Literal["shuttle", "stay"], AnyCase] = "shuttle"
    attachments: dict[Name, Annotated[int, Field(ge=0, le=1000, strict=True)]] = Field(default_factory=dict)
    job: Annotated[list[CallEntry], Field(min_length=1, max_length=MOST_JOBS)]


class Call(Strict):
    """One customer's job with its file read. number: its place in the day file. days: on which it may be done, the
    first first. beyond: whether it may wait longer than is planned."""

    number: int
    name: Name
    job: Job
    pays: float | None
    must: bool
    priority: float
    keep: str | None
    there: tuple[str, ...]
    hire: float | None
    postpone: float
    days: tuple[dt.date, ...]
    beyond: bool
    move: float


class Board(FromFile):
    """The jobs to be planned, in SI and dollars. attachments: how many the yard has, where that binds."""

    title: Name
    note: Text
    date: dt.date
    start: dt.time
    day: float
    out: tuple[str, ...]
    move_hour: float
    rigs: str
    attachments: dict[str, int]
    calls: tuple[Call, ...]

    @property
    def country(self) -> str:
        """Of the first job: a yard works in one."""
        return self.calls[0].job.country


def read_board(path: Path, rules: Rules) -> Board:
    """Read a day file and the job files it names. Raises InputError, one sentence a fault."""
    document = read_toml(path, "day")
    entries = _with_usual(check(BoardFile, document), rules)
    problems: list[Said] = []
    jobs: dict[str, Job] = {}
    for entry in entries.job:
        if entry.job in jobs:
            continue
        try:
            jobs[entry.job] = read_job(path.parent / entry.job, rules)
        except InputError as error:
            problems += error.problems
    for name in entries.attachments:
        if name not in rules.attachments:
            known = Said("known.attachment", names=tuple(f'"{key}"' for key in rules.attachments))
            problems.append(document.fault(("attachments",), "fault.no_attachment", read=shorten(name), known=known))
    if problems:
        raise InputError(problems)
    calls = [_call(n, entry, jobs[entry.job], entries) for n, entry in enumerate(entries.job)]
    for index, call in enumerate(calls):
        if not call.days:
            first = str(entries.date)
            problems.append(document.fault(("job", index), "fault.no_day", days=LONGEST, date=first))
        if any(other.name == call.name for other in calls[:index]):
            problems.append(document.fault(("job", index), "fault.job_twice", name=call.name))
    if problems:
        raise InputError(problems)
    kept = entries.model_dump(exclude={"job", "move", "off", "out"})
    calls.sort(key=lambda call: call.name)
    return Board(**kept, out=tuple(entries.out), calls=tuple(calls)).read_from(document)


def _with_usual(entries: BoardFile, rules: Rules) -> BoardFile:
    """The file with the usual day, road and hour where it gives none."""
    usual = {
        "start": dt.time(int(rules.money["board_start"].value)),
        "day": 3600 * rules.money["board_hours"].value,
        "move": 60 * rules.money["road"].value,
        "move_hour": rules.money["machine_hour"].value,
    }
    return entries.model_copy(update={key: value for key, value in usual.items() if getattr(entries, key) is None})


def _call(number: int, entry: CallEntry, job: Job, board: BoardFile) -> Call:
    first = max(entry.earliest or board.date, board.date)
    assert board.move is not None  # the usual stands where the file gave none
    last = min(entry.latest or first, board.date + dt.timedelta(LONGEST - 1))
    days = [first + dt.timedelta(d) for d in range((last - first).days + 1)]
    days = [day for day in days if day == board.date or f"{day:%A}" not in board.off]
    kept = entry.model_dump(exclude={"job", "name", "there", "earliest", "latest", "move"})
    return Call(
        **kept,
        number=number,
        name=entry.name or job.title,
        job=job,
        there=tuple(entry.there),
        days=tuple(days),
        beyond=entry.latest is not None and entry.latest > last,
        move=entry.move if entry.move is not None else board.move,
    )
