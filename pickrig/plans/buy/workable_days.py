"""Workable days: the water balance over every day of a record, and on how many of them each machine could work."""

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from pickrig.checks import Case
from pickrig.checks.carrying import carry
from pickrig.checks.case import MissingError
from pickrig.checks.ground.demand import needed, own_error
from pickrig.checks.ground.draws import Array, Luck, draw_luck
from pickrig.checks.ground.fine_soil import fine_days
from pickrig.checks.ground.frozen import at_work, heaviest, plate_chances
from pickrig.checks.ground.moisture import Moist
from pickrig.checks.ground.site import Site, draw_site
from pickrig.inputs import Day, Job, Machine, soft_share
from pickrig.inputs.weather import record_of
from pickrig.inputs.year import Work, Year
from pickrig.rulebook import Rules

_BEFORE = 30  # days of weather that run in the water balance before a year starts


@dataclass(frozen=True)
class Days:
    """share[machine, year, month]: part of the working days of that month on which a machine could work."""

    years: tuple[int, ...]
    share: Array


def workable(
    works: tuple[Work, ...],
    machines: tuple[Machine, ...],
    year: Year,
    rules: Rules,
    draws: int,
    seed: int,
    step: Callable[[int, int], None] = lambda _done, _of: None,
) -> list[Days]:
    """For each kind of work, each machine's workable share of every month of the record.

    A day is workable where the ground holds the machine, loaded as the work loads it, with the chance that makes it a
    go; on paving, sand and gravel every day is. The same ground is run once for all works on it. step: told (done, of)
    as it goes.
    """
    years = year.years
    grounds: dict[tuple[object, ...], list[int]] = {}
    for index, work in enumerate(works):
        grounds.setdefault(_ground_key(work.job, rules), []).append(index)
    out: list[Days | None] = [None] * len(works)
    done, of = 0, len(grounds) * len(years)
    for key, indexes in grounds.items():
        shares = {i: np.ones((len(machines), len(years), 12)) for i in indexes}
        if key == _EVERY_DAY:
            for i in indexes:
                shares[i] *= _always(works[i].job, machines, rules, draws, seed)[:, None, None]
            done += len(years)
            step(done, of)
        else:
            asked = {i: _asked(works[i].job, machines, rules, draws, seed) for i in indexes}
            for y, calendar in enumerate(years):
                chances = _year(works[indexes[0]].job, calendar, year, machines, asked, rules, draws, seed)
                for i in indexes:
                    shares[i][:, y, :] = chances[i]
                done += 1
                step(done, of)
        for i in indexes:
            out[i] = Days(years, shares[i])
    return [days for days in out if days is not None]


_EVERY_DAY = ("always",)


def _ground_key(job: Job, rules: Rules) -> tuple[object, ...]:
    """What decides how the ground wets and dries; paving, sand, gravel and snow have one answer for every day."""
    ground = job.ground
    if job.snow is not None or soft_share(ground, rules) == 0:
        return _EVERY_DAY
    if ground.soil is not None and rules.soils[ground.soil].family != "fine":
        return _EVERY_DAY
    return ground.soil, ground.ribbon, ground.drainage, ground.cover


def _always(job: Job, machines: tuple[Machine, ...], rules: Rules, draws: int, seed: int) -> Array:
    """1 where the ground holds the machine as the job file has it, else 0."""
    site = draw_site(job.model_copy(update={"weather": None}), rules, draws, seed)
    from pickrig.checks.floats import floats

    def holds(machine: Machine) -> bool:
        try:
            chance = floats(Case(job, machine, site, rules)).chance
        except MissingError:
            return False
        return chance is not None and chance >= rules.limits.floats.caution

    return np.array([float(holds(machine)) for machine in machines])


@dataclass(frozen=True)
class _Asked:
    """What a machine, loaded as the work loads it, asks of the ground. strength: Pa. load: of its heaviest contact, N.
    radius: of a circle as large as that contact, m. own: spread of the logarithm of its own error. Infinite where a
    figure is missing."""

    strength: float = float("inf")
    load: float = float("inf")
    radius: float = 0.0
    own: float = 0.0


def _asked(job: Job, machines: tuple[Machine, ...], rules: Rules, draws: int, seed: int) -> list[_Asked]:
    moist = job.model_copy(update={"ground": _bare(job), "weather": None})
    site = draw_site(moist, rules, draws, seed)
    return [_asked_by(moist, machine, site, rules) for machine in machines]


def _asked_by(job: Job, machine: Machine, site: Site, rules: Rules) -> _Asked:
    case = Case(job, machine, site, rules)
    try:
        loading = carry(case)
        return _Asked(needed(case, loading, loading.payload), *heaviest(case, loading), own_error(case))
    except MissingError:
        return _Asked()


def _bare(job: Job) -> object:
    """The job's ground without what was seen or tested on one day."""
    seen = dict.fromkeys(("wetness", "moisture", "frost", "thumb", "boot", "heel", "pocket", "dcp", "cone"))
    return job.ground.model_copy(update={**seen, "standing_water": False})


def _year(
    job: Job,
    calendar: int,
    year: Year,
    machines: tuple[Machine, ...],
    asked: dict[int, list[_Asked]],
    rules: Rules,
    draws: int,
    seed: int,
) -> dict[int, Array]:
    """For each work on this ground, [machine, month]: share of the days on which the ground holds."""
    start = dt.date(calendar, 1, 1)
    days = [d for d in year.days if start - dt.timedelta(_BEFORE) <= d.date <= dt.date(calendar, 12, 31)]
    weather = record_of(_with_a_day_before(days, start), start, year.latitude)
    whole = job.model_copy(update={"ground": _bare(job), "weather": weather})
    luck = draw_luck(draws, seed)
    spread = np.log(rules.strength["machine_error"].value)
    errors = {gear: np.exp(spread * luck.normal[gear]) for gear in ("tracks", "tyres")}
    fine = fine_days(whole, rules, luck)
    months = np.array([day.moist.date.month - 1 for day in fine if day.moist.date is not None])
    by_gear = {gear: np.array([day.strength for day in fine]) / error for gear, error in errors.items()}
    count = np.maximum(np.bincount(months, minlength=12), 1)
    out = {}
    for index, wanted in asked.items():
        share = np.empty((len(machines), 12))
        for m, machine in enumerate(machines):
            carried = by_gear[machine.gear] / np.exp(wanted[m].own * luck.own(machine.name))
            chance = 1 - np.sum(carried < wanted[m].strength, axis=1) / draws
            frozen = np.array([_bears(day.moist, wanted[m], rules, luck) for day in fine])
            good = (chance >= rules.limits.floats.go) | frozen
            share[m] = np.bincount(months, good, minlength=12) / count
        out[index] = share
    return out


def _bears(moist: Moist, asked: _Asked, rules: Rules, luck: Luck) -> bool:
    """Whether frost stays deep enough through the working hours, and carries the machine with the chance of a go."""
    if not moist.crust:
        return False
    depth = at_work(moist.crust)
    if min(float(np.median(crust)) for crust in depth.values()) < rules.strength["frost_bears"].value:
        return False
    return min(plate_chances(depth, asked.load, asked.radius, rules, luck).values()) >= rules.limits.floats.go


def _with_a_day_before(days: list[Day], start: dt.date) -> list[Day]:
    """A record that begins on the first of January gets a day before it like its first: day one is asked for too."""
    if days[0].date < start:
        return days
    return [days[0].model_copy(update={"date": start - dt.timedelta(1)}), *days]
