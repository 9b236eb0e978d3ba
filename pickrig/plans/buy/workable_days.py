"""Workable days: the water balance over every day of a record, and on how many of them each machine could work."""

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from pickrig.checks import Case
from pickrig.checks.carrying import carry
from pickrig.checks.case import MissingError
from pickrig.checks.ground.demand import needed, own_error
from pickrig.checks.ground.draws import Array, Luck, draw_luck
from pickrig.checks.ground.fine_soil import fine_days
from pickrig.checks.ground.frozen import at_work, heaviest, plates_hold
from pickrig.checks.ground.moisture import Moist
from pickrig.checks.ground.site import Site, draw_site
from pickrig.inputs import Day, Job, Machine, soft_share
from pickrig.inputs.weather import record_of
from pickrig.inputs.year import Work, Year
from pickrig.plans.buy.schedule import working_hours
from pickrig.rulebook import Rules

_BEFORE = 30  # days of weather that run in the water balance before a year starts


Word = Literal["dry", "moist", "wet"]
WORDS: tuple[Word, ...] = ("dry", "moist", "wet")
Able = dict[Word, NDArray[np.bool_]]  # which machines pass every other question, on ground so wet


@dataclass(frozen=True)
class Days:
    """[machine, year, month]: shares, the part of the working days of that month on which a machine could work; reach,
    the part of the lots that carry it for as many of them as a job takes; open, its days on those lots."""

    shares: Array
    reach: Array
    open: Array


Kind = Literal["lots", "soft", "firm", "sure"]
ByKind = dict[Kind, Days]
"""Of all lots that the job file may mean; of the softest and the firmest fifth of them; and of the days on which `pick`
would send the machine without having seen the lot."""


def workable(
    works: tuple[Work, ...],
    machines: tuple[Machine, ...],
    able: tuple[Able, ...],
    takes: Array,
    year: Year,
    rules: Rules,
    draws: int,
    seed: int,
    step: Callable[[int, int], None] = lambda _done, _of: None,
) -> list[ByKind]:
    """For each kind of work, each machine's workable share of every month of the record.

    Each draw is a lot: its soil, its density, the equations' error on it hold all year, and whoever works there finds
    out. On a lot a day counts where the ground of that day holds the machine, loaded as the work loads it, and the
    other questions (able, a work each) do not stop it on ground so wet. Ground without weather is the same every day.
    The same ground is run once for all works on it. takes[machine, work]: days of one job. step: told (done, of) as it
    goes.
    """
    years = year.years
    grounds: dict[tuple[object, ...], list[int]] = {}
    for index, work in enumerate(works):
        grounds.setdefault(_ground_key(work.job, rules), []).append(index)
    out: list[ByKind | None] = [None] * len(works)
    done, of = 0, len(grounds) * len(years)
    for key, indexes in grounds.items():
        if key == _EVERY_DAY:
            for i in indexes:
                out[i] = _always(works[i].job, machines, years, rules, draws, seed)
            done += len(years)
            step(done, of)
            continue
        asked = {i: _asked(works[i].job, machines, rules, draws, seed) for i in indexes}
        held = {i: np.empty((len(machines), len(years), 12, draws), np.float32) for i in indexes}
        sure = {i: np.empty((len(machines), len(years), 12)) for i in indexes}
        for y, calendar in enumerate(years):
            for i, of_year in _year(works, indexes, calendar, year, machines, asked, able, rules, draws, seed).items():
                held[i][:, y], sure[i][:, y] = of_year
            done += 1
            step(done, of)
        for i in indexes:
            out[i] = _over_lots(held[i], sure[i], takes[:, i], [month - 1 for month in works[i].months], rules)
    return [days for days in out if days is not None]


def _over_lots(held: NDArray[np.float32], sure: Array, takes: Array, months: list[int], rules: Rules) -> ByKind:
    """held[machine, year, month, lot]; the fifths by how often lots hold each machine in these months."""
    lots = held.shape[-1]
    fifth = max(lots // 5, 1)
    order = np.argsort(held[:, :, months].mean(axis=(1, 2)), axis=-1, kind="stable")
    working = working_hours(rules.owning["working_week"].value, 3600.0)  # days of each month
    enough = held * working[:, None] >= np.minimum(np.maximum(takes, 1.0), working.min())[:, None, None, None] - 1e-6

    def of(some: NDArray[np.int_]) -> Days:
        pairs = [(held[m][..., own], enough[m][..., own]) for m, own in enumerate(some)]
        shares, reach = (np.stack([one[k].mean(axis=-1) for one in pairs]).astype(float) for k in (0, 1))
        worked = np.stack([(one * on).mean(axis=-1) for one, on in pairs]).astype(float)
        return Days(shares, reach, np.divide(worked, reach, out=np.zeros_like(worked), where=reach > 0))

    return {
        "lots": of(order),
        "soft": of(order[:, :fifth]),
        "firm": of(order[:, -fifth:]),
        "sure": Days(sure, (sure > 0).astype(float), sure),
    }


_EVERY_DAY = ("always",)


def _ground_key(job: Job, rules: Rules) -> tuple[object, ...]:
    """What decides how the ground wets and dries; paving, sand, gravel and snow have one answer for every day."""
    ground = job.ground
    if not wets(job, rules):
        return _EVERY_DAY
    return ground.soil, ground.ribbon, ground.drainage, ground.cover


def wets(job: Job, rules: Rules) -> bool:
    """Whether the ground is one thing on a dry day and another on a wet one."""
    ground = job.ground
    if job.snow is not None or soft_share(ground, rules) == 0:
        return False
    return ground.soil is None or rules.soils[ground.soil].family == "fine"


def _always(
    job: Job, machines: tuple[Machine, ...], years: tuple[int, ...], rules: Rules, draws: int, seed: int
) -> ByKind:
    """The part of the lots that hold the machine as the job file has them, on every day or on none."""
    site = draw_site(job.model_copy(update={"weather": None}), rules, draws, seed)
    chances = np.array([_holds(Case(job, machine, site, rules)) for machine in machines])

    def of(part: Array) -> Days:
        whole = np.tile(part[:, None, None], (1, len(years), 12))
        every = (whole > 0).astype(float)
        return Days(whole, whole, every)

    return {
        "lots": of(chances),
        "soft": of(np.clip(5 * chances - 4, 0.0, 1.0)),
        "firm": of(np.clip(5 * chances, 0.0, 1.0)),
        "sure": of((chances >= rules.limits.tiers.bet).astype(float)),
    }


def _holds(case: Case) -> float:
    from pickrig.checks.floats import floats

    try:
        return floats(case).chance or 0.0
    except MissingError:
        return 0.0


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
    moist = on_a_day(job, None)
    site = draw_site(moist, rules, draws, seed)
    return [_asked_by(moist, machine, site, rules) for machine in machines]


def _asked_by(job: Job, machine: Machine, site: Site, rules: Rules) -> _Asked:
    case = Case(job, machine, site, rules)
    try:
        loading = carry(case)
        return _Asked(needed(case, loading, loading.payload), *heaviest(case, loading), own_error(case))
    except MissingError:
        return _Asked()


def on_a_day(job: Job, word: Word | None) -> Job:
    """The job on ground as wet as a word says, or as any: without what was seen or tested on one day."""
    seen = dict.fromkeys(("moisture", "frost", "thumb", "boot", "heel", "pocket", "dcp", "cone"))
    ground = job.ground.model_copy(update={**seen, "wetness": word, "standing_water": False})
    return job.model_copy(update={"ground": ground, "weather": None})


def _year(
    works: tuple[Work, ...],
    indexes: list[int],
    calendar: int,
    year: Year,
    machines: tuple[Machine, ...],
    asked: dict[int, list[_Asked]],
    able: tuple[Able, ...],
    rules: Rules,
    draws: int,
    seed: int,
) -> dict[int, tuple[NDArray[np.float32], Array]]:
    """For each work on this ground: [machine, month, draw], part of the days that count on a lot; and [machine, month],
    part of the days that count on enough of them."""
    start = dt.date(calendar, 1, 1)
    days = [d for d in year.days if start - dt.timedelta(_BEFORE) <= d.date <= dt.date(calendar, 12, 31)]
    weather = record_of(_with_a_day_before(days, start), start, year.latitude)
    whole = on_a_day(works[indexes[0]].job, None).model_copy(update={"weather": weather})
    luck = draw_luck(draws, seed)
    spread = np.log(rules.strength["machine_error"].value)
    errors = {gear: np.exp(spread * luck.normal[gear]) for gear in ("tracks", "tyres")}
    fine = fine_days(whole, rules, luck)
    months = np.array([day.moist.date.month - 1 for day in fine if day.moist.date is not None])
    by_gear = {gear: np.array([day.strength for day in fine]) / error for gear, error in errors.items()}
    count = np.maximum(np.bincount(months, minlength=12), 1)
    starts = np.searchsorted(months, np.arange(12))
    out = {}
    for i in indexes:
        share = np.empty((len(machines), 12, draws), np.float32)
        sure = np.empty((len(machines), 12))
        for m, machine in enumerate(machines):
            own = asked[i][m]
            holds = by_gear[machine.gear] / np.exp(own.own * luck.own(machine.name)) >= own.strength
            for n, day in enumerate(fine):
                if day.moist.crust:
                    holds[n] |= _borne(day.moist, own, rules, luck)
            holds &= np.array([able[i][day.wetness][m] for day in fine])[:, None]
            share[m] = np.add.reduceat(holds.astype(np.float32), starts) / count[:, None]
            often = holds.mean(axis=1) >= rules.limits.tiers.bet
            sure[m] = np.bincount(months, often, minlength=12) / count
        out[i] = share, sure
    return out


def _borne(moist: Moist, asked: _Asked, rules: Rules, luck: Luck) -> NDArray[np.bool_]:
    """In which draws frost stays deep enough through the working hours, and carries the machine."""
    depth = at_work(moist.crust)
    if min(float(np.median(crust)) for crust in depth.values()) < rules.strength["frost_bears"].value:
        return np.zeros(luck.draws, bool)
    held = plates_hold(depth, asked.load, asked.radius, rules, luck)
    return np.asarray(np.logical_and.reduce(list(held.values())))


def _with_a_day_before(days: list[Day], start: dt.date) -> list[Day]:
    """A record that begins on the first of January gets a day before it like its first: day one is asked for too."""
    if days[0].date < start:
        return days
    return [days[0].model_copy(update={"date": start - dt.timedelta(1)}), *days]
