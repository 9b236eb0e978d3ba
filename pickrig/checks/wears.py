"""What does it wear out? Life of tracks or tyres over the surfaces of the job, and the money an hour and a job."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from pickrig.checks.carrying import carry
from pickrig.checks.case import Case, need
from pickrig.checks.finding import Finding
from pickrig.checks.hours import job_hours
from pickrig.physics import contact, cost, turning
from pickrig.quantities import duration
from pickrig.rulebook.tables import Steps

HOUR = 3600.0


@dataclass(frozen=True)
class _Factor:
    """What lengthens or shortens life against the table: on which surfaces, why, and where from."""

    value: float
    hard_only: bool
    says: str
    source: str


def wears(case: Case) -> Finding:
    """Dollars of tracks or tyres an hour on this job's surfaces. See `Finding`."""
    travel = case.job.ground.travel or {"site soil": 1.0}
    factors = list(_factors(case))
    life = _life(case, travel, factors)
    hard = sum(share for name, share in travel.items() if case.rules.surfaces[name].hard)
    gear = case.machine.tracks or case.machine.tyres
    assert gear is not None
    says = _life_says(case, life, hard)
    finding = Finding(
        check="wears",
        verdict="go",
        unit="rate of cost",
        says=says,
        working=_working(case, travel, factors, life),
        sources=(*case.cite("linear damage"), *_sources(case, travel, factors)),
        depends_on=("ground.travel", f"machine.{case.machine.gear}.set_price"),
    )
    if gear.set_price is None:
        advice = f"The price of a set of {case.machine.gear} is not known: ask the dealer and give set_price."
        return replace(finding, verdict="unknown", says=f"{says} {advice}", remedy=advice)
    spread = case.rules.wear.life_range
    rate, low, high = (gear.set_price / (life * f) for f in (1.0, spread.high, spread.low))
    too_hard = case.machine.tracks is not None and hard >= case.rules.wear.hard_share_caution.tracks
    return replace(
        finding,
        verdict="caution" if too_hard else "go",
        value=rate,
        says=(
            f"{says} At {case.show(gear.set_price, 'money')} a set that is {case.show(rate, 'rate of cost')}, "
            f"between {case.show(low, 'rate of cost')} and {case.show(high, 'rate of cost')}"
            f"{_for_the_job(case, rate, low, high)}."
        ),
    )


def _for_the_job(case: Case, rate: float, low: float, high: float) -> str:
    time = job_hours(case)
    if time is None or case.brief:
        return ""
    each = [case.show(dollars * time / HOUR, "money") for dollars in (rate, low, high)]
    return f"; over {duration(time)} about {each[0]} ({each[1]} to {each[2]})"


def _owner(case: Case) -> float | None:
    """The owner's own change-out hours beat the table."""
    gear = case.machine.tracks or case.machine.tyres
    assert gear is not None
    return None if gear.change_hours is None else gear.change_hours / HOUR


def _life(case: Case, travel: dict[str, float], factors: list[_Factor]) -> float:
    """Hours; each surface by its own factors, mixed by the linear damage rule."""
    owner = _owner(case)
    if owner is not None:
        return owner
    return float(cost.harmonic_life(list(travel.values()), [_life_on(case, name, factors) for name in travel]))


def _life_on(case: Case, surface: str, factors: list[_Factor]) -> float:
    row = case.rules.surfaces[surface]
    life: float = getattr(row.life_hours, case.machine.gear)
    for factor in factors:
        life *= factor.value if row.hard or not factor.hard_only else 1.0
    return life


def _factors(case: Case) -> Iterator[_Factor]:
    if case.machine.tyres is not None:
        yield from _tyre_factors(case)
    else:
        yield from _track_factors(case)


def _tyre_factors(case: Case) -> Iterator[_Factor]:
    wear, tyres = case.rules.wear, case.machine.tyres
    assert tyres is not None
    kind = {"pneumatic": 1.0, "foam-filled": wear.tyre_kind.foam_filled, "solid": wear.tyre_kind.solid}[tyres.kind]
    if kind != 1:
        yield _Factor(kind, False, f"{tyres.kind} tyres", case.rules.cite(wear.tyre_kind))
    if case.machine.travel_speed is not None:
        ratio = _ratio(wear.tyre_speed, case.machine.travel_speed)
        if ratio != 1:
            speed = case.show(case.machine.travel_speed, "speed")
            yield _Factor(ratio, False, f"top speed {speed}", case.rules.cite(wear.tyre_speed))
    turned = _turned(case)
    if turned is not None and case.machine.kind != "articulated loader":
        yield _Factor(turned[1], False, turned[0], case.rules.cite(wear.tyre_curves))
    yield from _tyre_load(case)


def _tyre_load(case: Case) -> Iterator[_Factor]:
    """Only where the file has the tyre's rated load, and something is carried."""
    tyres = case.machine.tyres
    assert tyres is not None
    if tyres.rated_load is None:
        return
    loading = carry(case)
    axles = contact.axle_loads(loading.mass, loading.base, loading.rear_share, loading.payload, loading.low_reach)
    over = float(max(axles)) / 2 / tyres.rated_load
    ratio = _ratio(case.rules.wear.tyre_load, over)
    if ratio != 1:
        yield _Factor(ratio, False, f"{over:.2f} of its rated load", case.rules.cite(case.rules.wear.tyre_load))


def _ratio(steps: Steps, at: float) -> float:
    """Life at a point over life at the first: the handbook's own levels are for other machines."""
    return float(np.interp(at, steps.points, steps.factors)) / steps.factors[0]


def _track_factors(case: Case) -> Iterator[_Factor]:
    """No one has published what turning does to tracks: the tyres' ratios, on hard surfaces, beside the friction "
    "work."""
    turned = _turned(case)
    if turned is None:
        return
    says = f"{turned[0]} (friction work of a turn {_work_ratio(case):.2f} of an ordinary one)"
    yield _Factor(turned[1], True, says, case.rules.cite(case.rules.wear.track_curves))


def _turned(case: Case) -> tuple[str, float] | None:
    """How the job turns and life against ordinary turns; None where they are ordinary."""
    curves, word = case.rules.wear.tyre_curves, case.job.task.turning or "ordinary"
    lives = {"wide": curves.wide, "on boards": curves.wide, "on the spot": curves.on_the_spot}
    return (f"turning {word}", lives[word] / curves.ordinary) if word in lives else None


def _work_ratio(case: Case) -> float:
    """Friction work of this job's turns over ordinary ones, by the radius factor."""
    word = case.job.task.turning or "ordinary"
    if word == "on boards":
        return 0.0
    gauge = case.machine.gauge or need(case.machine.width, "width")
    turns = case.rules.care.turns
    usual, now = (float(turning.radius_factor(max(turns[key].radius, gauge / 2), gauge)) for key in ("ordinary", word))
    return now / usual


def _sources(case: Case, travel: dict[str, float], factors: list[_Factor]) -> tuple[str, ...]:
    if _owner(case) is not None:
        return ("life: the owner's own change-out hours",)
    lives = (f"life on {name}: {case.rules.cite(case.rules.surfaces[name])}" for name in travel)
    return (*lives, *(f"{factor.says}: {factor.source}" for factor in factors))


def _life_says(case: Case, life: float, hard: float) -> str:
    spread = case.rules.wear.life_range
    where = f"with {case.show(hard, 'share')} of travel on hard surfaces" if hard else "off hard surfaces"
    return (
        f"Its {case.machine.gear} last about {life:,.0f} h {where} "
        f"({life * spread.low:,.0f} to {life * spread.high:,.0f})."
    )


def _working(case: Case, travel: dict[str, float], factors: list[_Factor], life: float) -> tuple[str, ...]:
    if case.brief:
        return ()
    if _owner(case) is not None:
        return (f"life {life:,.0f} h: the owner's own",)
    parts = " + ".join(f"{share:.2f}/{_life_on(case, name, factors):,.0f} h ({name})" for name, share in travel.items())
    told = [
        f"{factor.says} x {factor.value:.2f}{' on hard surfaces' if factor.hard_only else ''}" for factor in factors
    ]
    return (f"1/life = {parts}; life {life:,.0f} h", *(f"of the table's lives: {line}" for line in told))
