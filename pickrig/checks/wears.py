"""What does it wear out? Life of tracks or tyres over the surfaces of the job, and the money an hour and a job."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from pickrig.checks.carrying import carry
from pickrig.checks.case import Case, need
from pickrig.checks.cited import cited, source
from pickrig.checks.finding import Account, Finding
from pickrig.checks.hours import job_seconds
from pickrig.facts import Citation, Quantity, Ruled, Said, Statements, Step, Term, number
from pickrig.inputs import Job, Machine
from pickrig.inputs.learned import Wear
from pickrig.inputs.machine import Tyres
from pickrig.physics import contact, cost, turning
from pickrig.rulebook import Rules
from pickrig.rulebook.tables import Steps

HOUR = 3600.0
_RUBBLE = "demolition rubble"


@dataclass(frozen=True)
class _Factor:
    """What lengthens or shortens life against the table: on which surfaces, why, and where from."""

    value: float
    hard_only: bool
    says: Said
    source: Citation

    @property
    def told(self) -> Said:
        key = "wears.factor_hard" if self.hard_only else "wears.factor"
        return Said(key, factor=self.says, ratio=number(self.value, 2))


def wears(case: Case) -> Finding:
    """Dollars of tracks or tyres an hour on this job's surfaces. See `Finding`."""
    travel = case.job.ground.travel or {"site soil": 1.0}
    factors = list(_factors(case))
    life = _life(case, travel, factors)
    hard = sum(share for name, share in travel.items() if case.rules.surfaces[name].hard)
    price = need(set_price(case.machine, case.rules), "mass")
    rate, seconds = price / life, job_seconds(case)
    too_hard = case.machine.tracks is not None and hard >= case.rules.wear.hard_share_caution.tracks
    cut = is_sharp(case.job) and not _is_solid(case.machine)
    told = (Said(f"wears.sharp_{_underside(case.machine)}"),) if cut else ()
    worn = _measured(case)
    through = worn is not None and worn.left is not None and worn.left * life < (seconds or 0.0) / HOUR
    return Finding(
        check="wears",
        verdict="caution" if too_hard or cut or through else "go",
        unit="rate of cost",
        value=rate,
        depends_on=("ground.travel", "hazards.debris", f"machine.{case.machine.gear}.set_price"),
        account=lambda: Account(
            says=(
                *_rate_says(case, price, rate, seconds),
                *told,
                _life_says(case, life, hard),
                *_left_says(case, life),
            ),
            remedy=(
                *((Said("wears.clear_sharp"),) if cut else ()),
                *((Said("wears.through"),) if through else ()),
                *((Said(f"wears.{look}") for look in worn.looks) if worn is not None else ()),
            ),
            working=_working(case, travel, factors, life),
            sources=(*case.cite("linear damage"), *_sources(case, travel, factors)),
        ),
    )


def set_price(machine: Machine, rules: Rules) -> float | None:
    """Price of a set of tracks or tyres: the file's, else a usual one by the weight of the machine."""
    gear = machine.tracks or machine.tyres
    assert gear is not None
    if gear.set_price is not None or machine.mass is None:
        return gear.set_price
    usual: float = getattr(rules.wear.set_price, machine.gear)
    return usual * (machine.mass - (machine.over_tyres.mass if machine.over_tyres is not None else 0.0))


def of_the_machine(machine: Machine, rules: Rules) -> float:
    """Life against the table's by what the machine itself is, whatever the job: its kind of tyres and its speed."""
    if machine.tyres is None:
        return 1.0
    return _by_kind(machine.tyres, rules) * _by_speed(machine, rules)


def _by_kind(tyres: Tyres, rules: Rules) -> float:
    kinds = rules.wear.tyre_kind
    return {"pneumatic": 1.0, "foam-filled": kinds.foam_filled, "solid": kinds.solid}[tyres.kind]


def _by_speed(machine: Machine, rules: Rules) -> float:
    return 1.0 if machine.travel_speed is None else _ratio(rules.wear.tyre_speed, machine.travel_speed)


def is_sharp(job: Job) -> bool:
    """Whether rebar, glass, nails or broken concrete lie where it drives."""
    return job.hazards.debris or _RUBBLE in job.surfaces


def _is_solid(machine: Machine) -> bool:
    return machine.tyres is not None and machine.tyres.kind == "solid"


def _underside(machine: Machine) -> str:
    """What sharp things meet."""
    return "tracks" if machine.tyres is None else machine.tyres.kind.replace("-", "_")


def _rate_says(case: Case, price: float, rate: float, seconds: float | None) -> Statements:
    """Dollars an hour, with its range, and over the whole job."""
    (low_life, high_life), gear = _spread(case), case.machine.tracks or case.machine.tyres
    rates = (rate, rate / high_life, rate / low_life)
    middle, low, high = (Quantity(r, "rate of cost") for r in rates)
    key = "wears.rate_usual" if gear is None or gear.set_price is None else "wears.rate"
    told = (Said(key, price=Quantity(price, "money"), rate=middle, low=low, high=high),)
    if seconds is None:
        return told
    cost, least, most = (Quantity(r * seconds / HOUR, "money") for r in rates)
    return (*told, Said("wears.job", time=Quantity(seconds, "duration"), cost=cost, low=least, high=most))


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
    worn = _measured(case)
    by_trade = float(cost.harmonic_life(list(travel.values()), [_life_on(case, name, factors) for name in travel]))
    return by_trade * (1.0 if worn is None else worn.life)


def _measured(case: Case) -> Wear | None:
    """What readings of this machine say."""
    return None if case.job.learned is None else case.job.learned.wear.get(case.machine.name)


def _spread(case: Case) -> tuple[float, float]:
    """Range of life against its middle: of the readings, else of the trade."""
    worn, trade = _measured(case), case.rules.wear.life_range
    return (worn.low / worn.life, worn.high / worn.life) if worn and worn.measured else (trade.low, trade.high)


def _left_says(case: Case, life: float) -> Statements:
    """What is left of the set on this job's surfaces, and whether it is time to order."""
    worn = _measured(case)
    if worn is None or worn.left is None:
        return ()
    left = worn.left * life
    told = (Said("wears.left", left=Quantity(left * HOUR, "life")),)
    return (*told, Said("wears.order")) if left < case.rules.learning["order"].value else told


def _life_on(case: Case, surface: str, factors: list[_Factor]) -> float:
    row = case.rules.surfaces[surface]
    life: float = getattr(row.life_hours, case.machine.gear)
    for factor in factors:
        counted = surface != _RUBBLE if factor.says.key == "wears.sharp" else row.hard or not factor.hard_only
        life *= factor.value if counted else 1.0
    return life


def _factors(case: Case) -> Iterator[_Factor]:
    if case.machine.tyres is not None:
        yield from _tyre_factors(case)
    else:
        yield from _track_factors(case)
    if case.job.hazards.debris and not _is_solid(case.machine):  # the life on rubble has it already
        yield _Factor(_in_debris(case), False, Said("wears.sharp"), cited(case.rules, case.rules.wear.debris))


def _in_debris(case: Case) -> float:
    """Life in sharp debris, by what it runs on."""
    row, tyres = case.rules.wear.debris, case.machine.tyres
    if tyres is None:
        return row.tracks
    if tyres.kind == "foam-filled":
        return row.foam_filled
    return row.plies if (tyres.plies or 0) >= row.plies_from else row.pneumatic


def _tyre_factors(case: Case) -> Iterator[_Factor]:
    wear, tyres = case.rules.wear, case.machine.tyres
    assert tyres is not None
    kind = _by_kind(tyres, case.rules)
    if kind != 1:
        says = Said("wears.tyre_kind", kind=Term(tyres.kind))
        yield _Factor(kind, False, says, cited(case.rules, wear.tyre_kind))
    if case.machine.travel_speed is not None:
        ratio = _by_speed(case.machine, case.rules)
        if ratio != 1:
            says = Said("wears.top_speed", speed=Quantity(case.machine.travel_speed, "speed"))
            yield _Factor(ratio, False, says, cited(case.rules, wear.tyre_speed))
    turned = _turned(case)
    if turned is not None and case.machine.kind != "articulated loader":
        says = Said("wears.turning", turning=Ruled(turned[0]))
        yield _Factor(turned[1], False, says, cited(case.rules, wear.tyre_curves))
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
        says = Said("wears.tyre_load", share=Quantity(over, "share"))
        yield _Factor(ratio, False, says, cited(case.rules, case.rules.wear.tyre_load))


def _ratio(steps: Steps, at: float) -> float:
    """Life at a point over life at the first: the handbook's own levels are for other machines."""
    return float(np.interp(at, steps.points, steps.factors)) / steps.factors[0]


def _track_factors(case: Case) -> Iterator[_Factor]:
    """Nobody published what turning does to tracks: the tyres' ratios, on hard surfaces, beside the friction work."""
    turned = _turned(case)
    if turned is None:
        return
    says = Said("wears.turning_work", turning=Ruled(turned[0]), ratio=number(_work_ratio(case), 2))
    yield _Factor(turned[1], True, says, cited(case.rules, case.rules.wear.track_curves))


def _turned(case: Case) -> tuple[str, float] | None:
    """How the job turns and life against ordinary turns; None where they are ordinary."""
    curves, word = case.rules.wear.tyre_curves, case.job.task.turning or "ordinary"
    lives = {"wide": curves.wide, "on boards": curves.wide, "on the spot": curves.on_the_spot}
    return (word, lives[word] / curves.ordinary) if word in lives else None


def _work_ratio(case: Case) -> float:
    """Friction work of this job's turns over ordinary ones, by the radius factor."""
    word = case.job.task.turning or "ordinary"
    if word == "on boards":
        return 0.0
    gauge = case.machine.gauge or need(case.machine.width, "width")
    turns = case.rules.care.turns
    usual, now = (float(turning.radius_factor(max(turns[key].radius, gauge / 2), gauge)) for key in ("ordinary", word))
    return now / usual


def _sources(case: Case, travel: dict[str, float], factors: list[_Factor]) -> Statements:
    if _owner(case) is not None:
        return (Said("source.owners_life"),)
    lives = (source(case.rules, case.rules.surfaces[name], "source.life", surface=Ruled(name)) for name in travel)
    return (*lives, *(Said("source.factor", factor=factor.says, cited=factor.source) for factor in factors))


def _life_says(case: Case, life: float, hard: float) -> Said:
    worn, (least, most) = _measured(case), _spread(case)
    hours, low, high = (Quantity(h * HOUR, "life") for h in (life, life * least, life * most))
    gear = Term(case.machine.gear)
    if worn is not None and worn.measured:
        return Said("wears.life_measured", gear=gear, life=hours, low=low, high=high)
    if hard:
        return Said("wears.life_hard", gear=gear, life=hours, low=low, high=high, hard=Quantity(hard, "share"))
    return Said("wears.life_soft", gear=gear, life=hours, low=low, high=high)


def _working(case: Case, travel: dict[str, float], factors: list[_Factor], life: float) -> Statements:
    hours = Quantity(life * HOUR, "life")
    if _owner(case) is not None:
        return (Said("wears.owners", life=hours),)
    on = [
        Said(
            "wears.life_on",
            surface=Ruled(name),
            share=Quantity(share, "share"),
            life=Quantity(_life_on(case, name, factors) * HOUR, "life"),
        )
        for name, share in travel.items()
    ]
    told = [
        Said(
            "wears.factor_hard" if factor.hard_only else "wears.factor",
            factor=factor.says,
            ratio=number(factor.value, 2),
        )
        for factor in factors
    ]
    worn = _measured(case)
    if worn is not None and worn.measured:
        told.append(Said("wears.factor", factor=Said("wears.readings"), ratio=number(worn.life, 2)))
    return (*on, Step("wears.life", life=hours), *told)
