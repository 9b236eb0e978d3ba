"""What the schedule of a year is made from: every machine asked about a typical job of every kind of work."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from pickrig.checks import Case, ask_all
from pickrig.checks.ground.site import draw_site
from pickrig.checks.hours import job_seconds
from pickrig.inputs import Fleet, Machine, soft_share
from pickrig.inputs.year import Work, Year
from pickrig.plans.buy.schedule import working_hours
from pickrig.plans.buy.workable_days import workable
from pickrig.plans.pick.rig import rig
from pickrig.rulebook import Rules
from pickrig.scoring import Array

_JOB_DRAWS = 400


@dataclass(frozen=True)
class Field:
    """Machines by works by periods, a period a month of the record.

    hours[machine, work] of one job, infinite where it cannot do it; rubber[machine, work], $/h; shares[machine, work,
    period] of the working days on which the ground holds it; wanted[work, period] jobs to be had; available[period]
    hours; paved[work]: no travel on soil. why: the question that stops a machine, by (machine, work).
    """

    machines: tuple[Machine, ...]
    years: tuple[int, ...]
    hours: Array
    rubber: Array
    shares: Array
    wanted: Array
    available: Array
    paved: Array
    why: dict[tuple[int, int], str]

    def by_year(self, periods: Array) -> Array:
        """The last axis cut into years and months."""
        return periods.reshape(*periods.shape[:-1], len(self.years), 12)


def ask_field(
    year: Year,
    machines: tuple[Machine, ...],
    fleet: Fleet,
    rules: Rules,
    draws: int,
    seed: int,
    step: Callable[[int, int], None],
) -> Field:
    """The ground is left to the record of weather, every other question is the job file's. Raises InputError where a
    job names a truck or trailer that the fleet does not have."""
    shape = (len(machines), len(year.works))
    hours, rubber = np.full(shape, np.inf), np.zeros(shape)
    why: dict[tuple[int, int], str] = {}
    for w, work in enumerate(year.works):
        job = work.job.model_copy(update={"weather": None})
        site = draw_site(job, rules, _JOB_DRAWS, seed)
        truck, trailer = rig(job, fleet)
        for m, machine in enumerate(machines):
            case = Case(job, machine, site, rules, truck=truck, trailer=trailer)
            rubber[m, w], stop = _asked(case)
            seconds = None if stop else job_seconds(case)
            if stop:
                why[m, w] = stop
            if seconds is not None:
                hours[m, w] = work.times * seconds / 3600
    days = workable(year.works, machines, year, rules, draws, seed, step)
    years = days[0].years
    shares = np.stack([one.share.reshape(len(machines), -1) for one in days], axis=1)
    wanted = np.array([_by_month(work) for work in year.works])
    available = working_hours(rules.owning["working_week"].value, year.day)
    return Field(
        machines,
        years,
        hours,
        rubber,
        shares,
        np.tile(wanted, len(years)),
        np.tile(available, len(years)),
        np.array([soft_share(work.job.ground, rules) == 0 for work in year.works]),
        why,
    )


def _asked(case: Case) -> tuple[float, str]:
    """Rubber, $/h, and the question that stops the machine; an empty string where none does."""
    findings = ask_all(case)
    rubber = next(f.value or 0.0 for f in findings if f.check == "wears")
    stops = [
        f.check for f in findings if f.check != "floats" and (f.verdict == "no-go" or _is_open(f.verdict, f.depends_on))
    ]
    return rubber, stops[0] if stops else ""


def _is_open(verdict: str, depends_on: tuple[str, ...]) -> bool:
    """A question the machine's own missing figures leave open, but for the price of its rubber."""
    return verdict == "unknown" and depends_on[0].startswith("machine.") and "set_price" not in depends_on[-1]


def _by_month(work: Work) -> list[float]:
    """A year's jobs, evenly over their months."""
    return [work.jobs / len(work.months) if month in work.months else 0.0 for month in range(1, 13)]
