"""A year of work: the jobs it is made of, its weather record, and what money costs."""

from pathlib import Path
from typing import Annotated, Any

from pydantic import Field, model_validator

from pickrig.errors import InputError, WrongError
from pickrig.facts import Said
from pickrig.inputs.fields import Count, Duration, FromFile, Latitude, Money, Name, Share, SiteTime, Strict, Text
from pickrig.inputs.job import Job
from pickrig.inputs.job_file import read_job
from pickrig.inputs.weather import Day, Written, read_record
from pickrig.reading import check, read_toml
from pickrig.rulebook import Rules

Month = Annotated[int, Field(ge=1, le=12, strict=True)]


class WorkEntry(Strict):
    """Jobs of one kind: the file of a typical one, how many a year, in which months, and what one pays.

    name: else the job file's title. pays: net of materials, trucking and the office, before tax.

    times: how many times what the job file says makes one job. hours: of one job on the site, all told, in place of
    what its work comes to.
    """

    job: Annotated[Name, Field(examples=['"muddy-lot.toml"'])]
    name: Name | None = None
    jobs: Annotated[Count, Field(examples=["40"])]
    times: Annotated[float, Field(gt=0, le=1000)] = 1.0
    hours: SiteTime | None = None
    months: Annotated[list[Month], Field(min_length=1, max_length=12)]
    pays: Annotated[Money, Field(examples=['"$900"'])]

    @model_validator(mode="after")
    def _each_month_once(self) -> "WorkEntry":
        if len(set(self.months)) != len(self.months):
            raise WrongError("fault.month_twice")
        return self


class Loan(Strict):
    """How a purchase is paid. down: share of the price paid at once. trade_in: for what stands in the yard."""

    down: Share = 0.0
    trade_in: Money = 0.0
    rate: Share
    months: Annotated[int, Field(ge=1, le=120, strict=True)]


class YearFile(Strict):
    """have: machines of the fleet that are in the yard. operators: how many run machines at once; one a machine where
    none is given."""

    title: Annotated[Name, Field(examples=['"Our year"'])]
    note: Text = ""
    weather: Annotated[Name, Field(examples=['"ten-years.csv"'])]
    written: Written = Written()
    latitude: Latitude | None = None
    rate: Share
    keep_years: Annotated[int, Field(ge=1, le=20, strict=True)] | None = None
    fuel_gallon: Annotated[Money, Field(examples=['"$4.00"'])]
    operator_hour: Money
    insurance: Share
    storage: Money = 0.0
    budget: Money | None = None
    day: Duration | None = None
    loan: Loan | None = None
    have: list[Name] = Field(default_factory=list)
    operators: Annotated[int, Field(ge=1, le=100, strict=True)] | None = None
    work: Annotated[list[WorkEntry], Field(min_length=1, max_length=40)]


class Work(Strict):
    """One kind of work with its typical job read."""

    name: Name
    job: Job
    jobs: int
    times: float
    hours: float | None
    months: tuple[int, ...]
    pays: float


class Year(FromFile):
    """The owner's year, in SI and dollars. days: the whole record without gaps. years: those that count. notes: what
    was filled in."""

    title: Name
    note: Text
    latitude: float | None
    rate: float
    keep_years: int
    fuel_gallon: float
    operator_hour: float
    insurance: float
    storage: float
    budget: float | None
    day: float
    have: tuple[str, ...]
    operators: int | None
    loan: Loan | None
    works: tuple[Work, ...]
    days: tuple[Day, ...]
    years: tuple[int, ...]
    notes: tuple[Any, ...]  # statements

    @property
    def country(self) -> str:
        """Of the first kind of work: a yard works in one."""
        return self.works[0].job.country


def read_year(path: Path, rules: Rules) -> Year:
    """Read a year file, the job files and the weather record it names. Raises InputError, one sentence a fault."""
    document = read_toml(path, "year")
    entries = check(YearFile, document)
    problems: list[Said] = []
    works = []
    for entry in entries.work:
        try:
            job = read_job(path.parent / entry.job, rules)
        except InputError as error:
            problems += error.problems
            continue
        works.append(
            Work(
                name=entry.name or job.title,
                job=job,
                jobs=entry.jobs,
                times=entry.times,
                hours=entry.hours,
                months=tuple(sorted(entry.months)),
                pays=entry.pays,
            )
        )
    try:
        country = works[0].job.country if works else "US"
        record = read_record(path.parent / entries.weather, entries.written, entries.latitude, rules, country)
    except InputError as error:
        problems += error.problems
    names = [work.name for work in works]
    for index, name in enumerate(names):
        if name in names[:index]:
            problems.append(document.fault(("work", index), "fault.work_twice", name=name))
    if problems:
        raise InputError(problems)
    kept = entries.model_dump(exclude={"weather", "written", "work", "have", "loan"})
    usual = {"keep_years": int(rules.owning["keep_years"].value), "day": 3600 * rules.money["job_hours"].value}
    return Year(
        **{**kept, **{key: value for key, value in usual.items() if kept[key] is None}},
        have=tuple(entries.have),
        loan=entries.loan,
        works=tuple(works),
        days=record.days,
        years=record.years,
        notes=record.notes,
    ).read_from(document)
