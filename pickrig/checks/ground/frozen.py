"""Frozen ground: what the crust carries at each hour of the work, beside what the ground holds without it."""

import datetime as dt
from dataclasses import dataclass, replace
from math import pi, sqrt

import numpy as np
from numpy.typing import NDArray

from pickrig.checks.carrying import GRAVITY, Carry
from pickrig.checks.case import Case, need
from pickrig.checks.cited import source
from pickrig.checks.finding import Account, Finding
from pickrig.checks.ground.draws import Array, Luck, evenly
from pickrig.checks.ground.freezing import HALF_STEP, HOURS, WORKING
from pickrig.checks.pressing import heaviest_wheel
from pickrig.checks.tyres import tyre_patch
from pickrig.facts import Chance, Quantity, Said, Statements, Step, small
from pickrig.inputs.job import Task, hour_of
from pickrig.physics import frost
from pickrig.rulebook import Rules


@dataclass(frozen=True)
class _Crust:
    """What is frozen from the surface down at the working hours, m, and the chance that it carries the machine."""

    depth: dict[float, Array]
    chance: dict[float, float]
    steps: Statements

    @property
    def first(self) -> float:
        """The chance when work begins."""
        return next(iter(self.chance.values()))

    @property
    def lasts(self) -> float:
        """The chance at the worst of the working hours."""
        return min(self.chance.values())

    @property
    def thinnest(self) -> float:
        """Half of the draws have at least this at the worst of the working hours, m."""
        return min(float(np.median(depth)) for depth in self.depth.values())


def with_frost(case: Case, loading: Carry, thawed: Finding) -> Finding:
    """The finding for thawed ground, corrected for the frost that the job gives or that its weather makes.

    Without frost the ground has to hold; a crust that may thaw in the day's course makes a caution at best, with the
    hour until which it carries. Only frost that stays deep through the working hours makes a go, and only where nothing
    speaks against believing it.
    """
    depth = _depths(case)
    if depth is None:
        return thawed
    crust, limits = _carries(case, loading, depth), case.rules.limits.floats
    alone, doubt = thawed.chance or 0.0, _doubt(case)
    bears = doubt is None and crust.lasts >= limits.go and crust.thinnest >= case.rules.strength["frost_bears"].value
    if thawed.verdict == "go":
        chance = max(alone, crust.lasts) if bears else alone
        return replace(_told(thawed, Said("frost.either"), *crust.steps), value=chance, chance=chance)
    if bears:
        return _held(case, thawed, "go", crust.lasts, (Said("frost.holds"),), crust)
    if crust.first >= limits.caution and crust.first > alone:
        lead = (_until(case, crust),) if doubt is None else (_until(case, crust), doubt)
        return _held(case, thawed, "caution", crust.first, lead, crust)
    return _told(thawed, Said("frost.thin"), *crust.steps)


def _doubt(case: Case) -> Said | None:
    """What keeps frost from being believed for more than a caution: water that stands, organic soil, weather since it
    was found that is not followed here, temperatures that nobody measured or forecast."""
    ground, weather, day = case.job.ground, case.job.weather, case.site.date
    soil = case.rules.soils[ground.soil] if ground.soil else None
    if ground.standing_water:
        return Said("frost.ponds")
    if soil is not None and soil.family == "fine" and soil.clay is None:
        return Said("frost.organic")
    if weather is None:
        return None
    if day is None:
        return Said("frost.as_found")
    lately = dt.timedelta(case.rules.strength["frost_guessed"].value)
    guessed = any(day - lately <= guess <= day for guess in weather.guessed)
    return Said("frost.guessed") if guessed else None


def _depths(case: Case) -> dict[float, Array] | None:
    """The crust at the working hours: from the weather, where the soil's water is worked out from it, else as the job
    says, all day; None without any."""
    given, hours = case.job.ground.frost, _hours(case.job.task)
    if given is not None and case.site.date is None:
        return dict.fromkeys(hours, np.full(case.luck.draws, given)) if given > 0 else None
    return at_work(case.site.crust, hours) if case.site.crust else None


def _hours(task: Task) -> tuple[float, ...]:
    """The steps of the day in which it works: by the job's own start and end, else a working day."""
    start = hour_of(task.start) if task.start is not None else WORKING[0] - HALF_STEP
    end = hour_of(task.end) if task.end is not None else max(WORKING[-1], start) + HALF_STEP
    return tuple(hour for hour in HOURS if hour + HALF_STEP > start and hour - HALF_STEP < end)


def _carries(case: Case, loading: Carry, depth: dict[float, Array]) -> _Crust:
    load, radius = heaviest(case, loading)
    held = plates_hold(depth, load, radius, case.rules, case.luck)
    chance = {hour: float(np.mean(draws)) for hour, draws in held.items()}
    middle = float(np.median(next(iter(depth.values()))))
    carried = float(frost.plate_capacity(middle, radius, case.rules.strength["frozen_strength"].value))
    step = Step(
        "frost.plate", h=small(middle), a=small(radius), P=Quantity(carried, "force"), F=Quantity(load, "force")
    )
    return _Crust(depth, chance, (step,))


def at_work(crust: tuple[Array, ...], hours: tuple[float, ...] = WORKING) -> dict[float, Array]:
    """The crust at the working hours, of that at all of `HOURS`."""
    return {hour: depth for hour, depth in zip(HOURS, crust, strict=True) if hour in hours}


def plates_hold(
    depth: dict[float, Array], load: float, radius: float, rules: Rules, luck: Luck
) -> dict[float, NDArray[np.bool_]]:
    """At each hour, the draws in which the crust carries a contact of this load, N, and radius, m."""
    ice = evenly(luck.uniform["ice"], *rules.strength["frozen_strength"].three)
    return {hour: np.asarray(frost.plate_capacity(crust, radius, ice) >= load) for hour, crust in depth.items()}


def heaviest(case: Case, loading: Carry) -> tuple[float, float]:
    """Load of the heaviest track or wheel, loaded, N, and the radius of a circle as large as its contact, m."""
    machine, total = case.machine, loading.mass + loading.payload
    if machine.tracks is not None:
        area = need(machine.tracks.width, "tracks.width") * loading.base
        return total * GRAVITY / 2, sqrt(area / pi)
    wheel = heaviest_wheel(loading, loading.payload)
    return wheel, sqrt(tyre_patch(case, wheel)[1] / pi)


def _until(case: Case, crust: _Crust) -> Said:
    """How long the crust carries: to the hour from which it does so less often than a caution needs."""
    limit, chance = case.rules.limits.floats.caution, Chance(crust.first)
    late = next((hour for hour, chance in crust.chance.items() if chance < limit), None)
    if late is None:
        return Said("frost.between", chance=chance)
    return Said("frost.until", chance=chance, hour=Quantity((late - HALF_STEP) * 3600, "clock"))


def frozen_hard(case: Case) -> bool:
    """Whether the machine drives on frost through the working hours, deep enough for the field rule."""
    return _stays(case, case.rules.strength["frost_skin"].value)


def carried_by_frost(case: Case) -> bool:
    """Whether frost stays deep enough through the working hours for a go, whatever drives on it."""
    return _stays(case, case.rules.strength["frost_bears"].value)


def _stays(case: Case, deep: float) -> bool:
    """Whether half of the draws have frost of this depth, m, at every working hour."""
    depth = None if case.site.family == "sand" else _depths(case)  # drained sand has no ice to bind it
    return depth is not None and all(float(np.median(crust)) >= deep for crust in depth.values())


def _held(case: Case, thawed: Finding, verdict: str, chance: float, lead: Statements, crust: _Crust) -> Finding:
    """A finding that the frost decides; thawed ground stands beside it."""
    named = ("frozen layer",) if case.site.date is None else ("frozen layer", "frost depth")

    def account() -> Account:
        was = thawed.told
        return replace(
            was,
            says=(*lead, Said("frost.thawed", chance=Chance(thawed.chance or 0.0)), *was.says[1:]),
            remedy=(),
            working=(*was.working, *crust.steps),
            sources=(*was.sources, source(case.rules, case.rules.strength["frost_bears"]), *case.cite(*named)),
        )

    return replace(
        thawed,
        verdict="go" if verdict == "go" else "caution",
        value=chance,
        chance=chance,
        provided=Said("frost.while"),
        account=account,
    )


def _told(thawed: Finding, *lines: Said) -> Finding:
    """The finding for thawed ground, with what the frost adds to it."""

    def account() -> Account:
        was = thawed.told
        says = tuple(line for line in lines if not isinstance(line, Step))
        return replace(was, says=(*was.says, *says), working=(*was.working, *lines))

    return replace(thawed, account=account)
