"""What the schedule of a year is made from: every machine asked about a typical job of every kind of work."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from pickrig.checks import Case, ask_all
from pickrig.checks.ground.site import draw_site
from pickrig.checks.hours import job_seconds, round_the_work
from pickrig.inputs import Fleet, Machine, soft_share
from pickrig.inputs.year import Work, Year
from pickrig.plans.buy.schedule import working_hours
from pickrig.plans.buy.workable_days import WORDS, Able, ByKind, Days, Kind, Word, on_a_day, wets, workable
from pickrig.plans.pick.rig import rig
from pickrig.rulebook import Rules
from pickrig.scoring import Array

_JOB_DRAWS = 400


@dataclass(frozen=True)
class Field:
    """Machines by works by periods, a period a month of the record.

    hours[machine, work] of one job on the site, infinite where it cannot do it; meter[machine, work]: those of them
    that the machine runs; rubber[machine, work], $ an hour of the meter; days: by kind, shares[machine, work, period]
    of the working days on which it could work, and reach[machine, work, period] of the lots on which it could do a job;
    wanted[work, period] jobs to be had; available[period] hours; paved[work]: no travel on soil. why: the question that
    stops a machine, by (machine, work).
    """

    machines: tuple[Machine, ...]
    years: tuple[int, ...]
    hours: Array
    meter: Array
    rubber: Array
    days: ByKind
    wanted: Array
    available: Array
    paved: Array
    why: dict[tuple[int, int], str]

    @property
    def shares(self) -> Array:
        return self.days["lots"].shares

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
    """The ground is left to the record of weather, every other question is the job file's, asked on ground as wet as
    the day's. Raises InputError where a job names a truck or trailer that the fleet does not have."""
    shape = (len(machines), len(year.works))
    hours, meter, rubber = np.full(shape, np.inf), np.zeros(shape), np.zeros(shape)
    why: dict[tuple[int, int], str] = {}
    able: list[Able] = []
    for w, work in enumerate(year.works):
        able.append({word: np.zeros(len(machines), bool) for word in WORDS})
        for m, told in enumerate(_told(work, machines, fleet, rules, seed)):
            for word, one in told.items():
                able[w][word][m] = not one.stop
            best = next((one for one in told.values() if not one.stop), None)
            if best is None:
                why[m, w] = told["moist"].stop
                for word in WORDS:
                    able[w][word][m] = True  # its days are told all the same
            elif best.work is not None:
                meter[m, w] = work.times * best.work
                hours[m, w] = meter[m, w] + best.around(meter[m, w], work.times)
            rubber[m, w] = told["moist"].rubber
            if work.hours is not None and np.isfinite(hours[m, w]):
                hours[m, w] = work.hours / 3600
                meter[m, w] = min(meter[m, w], hours[m, w])
    takes = np.where(np.isfinite(hours), hours, 0.0) / (year.day / 3600)
    days = workable(year.works, machines, tuple(able), takes, year, rules, draws, seed, step)

    def periods(kind: Kind) -> Days:
        arrays = (
            np.stack([getattr(one[kind], of).reshape(len(machines), -1) for one in days], axis=1)
            for of in ("shares", "reach", "open")
        )
        return Days(*arrays)

    wanted = np.array([_by_month(work) for work in year.works])
    available = working_hours(rules.owning["working_week"].value, year.day)
    years = year.years
    return Field(
        machines=machines,
        years=years,
        hours=hours,
        meter=meter,
        rubber=rubber,
        days={kind: periods(kind) for kind in days[0]},
        wanted=np.tile(wanted, len(years)),
        available=np.tile(available, len(years)),
        paved=np.array([soft_share(work.job.ground, rules) == 0 for work in year.works]),
        why=why,
    )


@dataclass(frozen=True)
class _Told:
    """What a machine is told on one ground: the question that stops it, if any; h of work of the job file; $/h of
    rubber; around: h on the site besides so many h of work, so many times the job file's."""

    stop: str
    work: float | None
    rubber: float
    around: Callable[[float, float], float]


def _told(work: Work, machines: tuple[Machine, ...], fleet: Fleet, rules: Rules, seed: int) -> list[dict[Word, _Told]]:
    """Each machine on dry, moist and wet ground, moist first; once where the ground is always the same."""
    dry_or_wet = wets(work.job, rules)
    order: tuple[Word, ...] = ("moist", "dry", "wet")
    jobs = {word: on_a_day(work.job, word) for word in order}
    always = work.job.model_copy(update={"weather": None})
    out: list[dict[Word, _Told]] = [{} for _ in machines]
    for word in order if dry_or_wet else order[:1]:
        job = jobs[word] if dry_or_wet else always
        site = draw_site(job, rules, _JOB_DRAWS, seed)
        truck, trailer = rig(job, fleet)
        for m, machine in enumerate(machines):
            out[m][word] = _asked(Case(job, machine, site, rules, truck=truck, trailer=trailer))
    return out if dry_or_wet else [dict.fromkeys(order, told["moist"]) for told in out]


def _asked(case: Case) -> _Told:
    findings = ask_all(case)
    rubber = next(f.value or 0.0 for f in findings if f.check == "wears")
    stops = [
        f.check for f in findings if f.check != "floats" and (f.verdict == "no-go" or _is_open(f.verdict, f.depends_on))
    ]
    seconds = None if stops else job_seconds(case)
    return _Told(
        stops[0] if stops else "",
        None if seconds is None else seconds / 3600,
        rubber,
        lambda hours, times: round_the_work(case, 3600 * hours, times) / 3600,
    )


def _is_open(verdict: str, depends_on: tuple[str, ...]) -> bool:
    """A question the machine's own missing figures leave open, but for the price of its rubber."""
    return verdict == "unknown" and depends_on[0].startswith("machine.") and "set_price" not in depends_on[-1]


def _by_month(work: Work) -> list[float]:
    """A year's jobs, evenly over their months."""
    return [work.jobs / len(work.months) if month in work.months else 0.0 for month in range(1, 13)]
