"""What would change the answer: each input moved until another machine is picked, found on the real model."""

import datetime as dt
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from pickrig.checks.ground.site import Site
from pickrig.checks.passes import counted
from pickrig.facts import Quantity, Ruled, Said, Value
from pickrig.halving import halve
from pickrig.inputs import Job
from pickrig.physics import cone_index
from pickrig.plans.pick.record import Flip, Standing
from pickrig.rulebook import Rules


@dataclass(frozen=True)
class Changed:
    """A job with one part changed, on ground of this many times its strength."""

    job: Job
    part: str
    strength: float = 1.0


Picked = Callable[[Changed], tuple[str | None, list[Standing]]]
"""The pick and the ranking of a changed job."""

_STEPS = 6
_HALVINGS = 8


@dataclass(frozen=True)
class _Dial:
    """An input that can be turned: its value now, the ends worth looking at, and the job at any value between."""

    name: str
    dimension: str
    now: float
    low: float
    high: float
    at: Callable[[float], Changed]
    date: dt.date | None = None


def find_flips(job: Job, pick: Standing | None, picked: Picked, site: Site, rules: Rules) -> tuple[Flip, ...]:
    """The nearest value either way of each input at which the pick changes. Wetness is tried word by word."""
    name = pick.name if pick else None
    return (
        *_wetness_flips(job, name, picked),
        *_under_flips(job, name, picked, rules),
        *_passes_flips(job, name, picked, rules),
        *_dial_flips(job, name, picked),
        *_strength_flips(job, name, picked, site),
    )


def _wetness_flips(job: Job, name: str | None, picked: Picked) -> Iterator[Flip]:
    ground = job.ground
    if ground.moisture is not None or ground.soil is None or job.weather is not None:
        return
    now = "standing water" if ground.standing_water else ground.wetness or "wet"
    for word in ("dry", "moist", "wet", "standing water"):
        if word == now:
            continue
        wetness = "wet" if word == "standing water" else word
        changed = ground.model_copy(update={"wetness": wetness, "standing_water": word == "standing water"})
        then, standings = picked(Changed(job.model_copy(update={"ground": changed}), "ground"))
        if then != name:
            yield _flip("wetness", Ruled(now), Ruled(word), then, _by(name, standings))


def _under_flips(job: Job, name: str | None, picked: Picked, rules: Rules) -> Iterator[Flip]:
    """What is under the snow, word by word."""
    if job.snow is None:
        return
    now = job.snow.under or "unknown"
    for under in rules.snow.under:
        if under == now or rules.surfaces[rules.snow.under[under].surface].carries == "soil":
            continue  # unpaved ground asks about the soil, which this job may not know
        snow = job.snow.model_copy(update={"under": under})
        travel = {rules.snow.under[under].surface: 1.0}
        ground = job.ground.model_copy(update={"travel": travel})
        then, standings = picked(Changed(job.model_copy(update={"snow": snow, "ground": ground}), "snow"))
        if then != name:
            yield _flip("under_the_snow", Ruled(now), Ruled(under), then, _by(name, standings))


def _flip(name: str, now: Value, at: Value, then: str | None, by: str, way: str = "", **more: Value) -> Flip:
    """A flip with what it says: the input by its key, and whether it lies above or below."""
    key = f"flip.{name}{way}"
    return Flip(name, now, at, then, by, Said(key, now=now, at=at, **more))


def _dial_flips(job: Job, name: str | None, picked: Picked) -> Iterator[Flip]:
    for dial in _dials(job):
        yield from _turned(dial, name, picked)


def _turned(dial: _Dial, name: str | None, picked: Picked) -> Iterator[Flip]:
    """The nearest flip towards each end of a dial."""
    for end in (dial.low, dial.high):
        found = _nearest_flip(dial, end, name, picked)
        if found is None:
            continue
        value, then, standings = found
        if dial.name == "asphalt" and abs(value - end) < 0.02:
            continue  # only where the machine never, or always, leaves paving: that goes without saying
        if dial.name == "asphalt" and abs(value - dial.now) < 0.02:
            continue  # where any asphalt at all changes it, the size of the share does not
        now, at = (Quantity(amount, dial.dimension) for amount in (dial.now, value))
        way = "_below" if value < dial.now else "_above"
        more: dict[str, Value] = {} if dial.date is None else {"date": dial.date}
        yield _flip(dial.name, now, at, then, _by(name, standings), way, **more)


def _passes_flips(job: Job, name: str | None, picked: Picked, rules: Rules) -> Iterator[Flip]:
    """A day's work against a single crossing."""
    now = job.task.passes or ("all day" if rules.work[job.task.kind].passes > 1 else "once")
    by_trips = job.task.passes is None and (job.task.volume is not None or counted(job.task))
    if not isinstance(now, str) or by_trips:
        return
    other = "once" if now == "all day" else "all day"
    then, standings = picked(Changed(_with_task(job, passes=other), "task.passes"))
    if then != name:
        yield _flip("passes", Ruled(now), Ruled(other), then, _by(name, standings), f"_{other.replace(' ', '_')}")


def _strength_flips(job: Job, name: str | None, picked: Picked, site: Site) -> Iterator[Flip]:
    """The ground's own strength, all draws weaker or stronger together."""
    if site.strength is None or job.stretch:  # of a way in stretches it would be another's strength
        return
    middle = site.tenths[1]
    dial = _Dial(
        "strength",
        "strength",
        middle,
        0.1 * middle,
        cone_index.FULL_SCALE,
        lambda v: Changed(job, "ground.strength", v / middle),
    )
    yield from _turned(dial, name, picked)


def _dials(job: Job) -> Iterator[_Dial]:
    access, load = job.access, job.task.load
    for key in ("gate", "headroom", "turn_round", "aisle"):
        now = getattr(access, key)
        if now is not None and now < 1000:  # an open way in has nothing to turn
            name = "lane" if key in ("turn_round", "aisle") else key
            yield _Dial(name, "length", now, 0.5 * now, 2 * now, _access_setter(job, key))
    for key in ("grade", "grade_across"):
        slope = getattr(job.ground, key)
        if slope:
            yield _Dial(key, "share", slope, 0.0, min(3 * slope, 1.0), _ground_setter(job, key))
    if load is not None:
        yield _Dial("load", "mass", load, 0.2 * load, 3 * load, lambda v: Changed(_with_task(job, load=v), "task.load"))
    if job.snow is not None:
        yield from _snow_dials(job)
    if job.weather is not None:
        eve = job.weather.last_measured
        rain = next(day.rain for day in job.weather.days if day.date == eve)
        yield _Dial(
            "rain",
            "rain",
            rain,
            0.0,
            max(0.1, 2 * rain),
            lambda v: Changed(_with_rain(job, eve, v), "weather"),
            eve,
        )
    if job.snow is None:
        hard = job.ground.travel.get("asphalt", 0.0)
        yield _Dial(
            "asphalt",
            "share",
            hard,
            0.0,
            1.0,
            lambda v: Changed(_with_asphalt(job, v), "ground.travel"),
        )


def _snow_dials(job: Job) -> Iterator[_Dial]:
    """Depth of the snow, the window of hours, and the cold."""
    snow = job.snow
    assert snow is not None
    yield _Dial("depth_of_snow", "snow", snow.depth, 0.02, 0.75, lambda v: Changed(_with_snow(job, depth=v), "snow"))
    if snow.window is not None:
        window = snow.window
        yield _Dial(
            "window", "duration", window, 0.2 * window, 6 * window, lambda v: Changed(_with_snow(job, window=v), "snow")
        )


def _with_snow(job: Job, **update: object) -> Job:
    assert job.snow is not None
    return job.model_copy(update={"snow": job.snow.model_copy(update=update)})


def _access_setter(job: Job, key: str) -> Callable[[float], Changed]:
    return lambda value: Changed(
        job.model_copy(update={"access": job.access.model_copy(update={key: value})}), f"access.{key}"
    )


def _ground_setter(job: Job, key: str) -> Callable[[float], Changed]:
    return lambda value: Changed(
        job.model_copy(update={"ground": job.ground.model_copy(update={key: value})}), f"ground.{key}"
    )


def _with_task(job: Job, **update: object) -> Job:
    return job.model_copy(update={"task": job.task.model_copy(update=update)})


def _with_rain(job: Job, date: dt.date, rain: float) -> Job:
    """The job with other rain on one day; days after the job play no part in its pick."""
    assert job.weather is not None
    days = [
        d.model_copy(update={"rain": rain}) if d.date == date else d
        for d in job.weather.days
        if d.date <= job.weather.job_day
    ]
    return job.model_copy(update={"weather": job.weather.model_copy(update={"days": days})})


def _with_asphalt(job: Job, share: float) -> Job:
    """The job with this share of travel on asphalt, the other surfaces sharing the rest as they do now."""
    others = {k: v for k, v in job.ground.travel.items() if k != "asphalt"} or {"site soil": 1.0}
    rest = sum(others.values())
    travel = {k: v / rest * (1 - share) for k, v in others.items() if share < 1}
    if share > 0:
        travel["asphalt"] = share
    return job.model_copy(update={"ground": job.ground.model_copy(update={"travel": travel})})


def _nearest_flip(
    dial: _Dial, end: float, name: str | None, picked: Picked
) -> tuple[float, str | None, list[Standing]] | None:
    """Walk from the value now to one end; halve the first step that changes the pick."""
    same = dial.now
    for step in range(1, _STEPS + 1):
        value = dial.now + (end - dial.now) * step / _STEPS
        if value == dial.now:
            return None
        then, standings = picked(dial.at(value))
        if then != name:
            break
        same = value
    else:
        return None
    seen = {value: (then, standings)}

    def still(middle: float) -> bool:
        seen[middle] = picked(dial.at(middle))
        return seen[middle][0] == name

    _, value = halve(still, same, value, _HALVINGS)
    return value, *seen[value]


def _by(name: str | None, standings: list[Standing]) -> str:
    """By knock-out when the old pick is no longer fit (or none was), by score when it is merely beaten."""
    old = next((s for s in standings if s.name == name), None)
    return "score" if old is not None and old.usable else "knock-out"
