"""What the job costs with each machine: hours, tracks or tyres, the chance of bogging, what it may spoil."""

import numpy as np

from pickrig.checks import Case
from pickrig.checks.hours import job_seconds
from pickrig.facts import Quantity, Said, Statements, Term
from pickrig.inputs import Job
from pickrig.plans.pick.record import Cost, Standing
from pickrig.rulebook import Rules

_NEAR = 5  # $ within which two costs are the same


def setting(job: Job, rules: Rules, key: str) -> float:
    """One of the job's own costs, else ours, $."""
    own = getattr(job.costs, key)
    return float(own if own is not None else rules.money[key].value)


def cost(case: Case, standing: Standing) -> Cost:
    """Expected cost of the job with one machine, $, in parts. Where the work never ends, a day of it."""
    job, rules = case.job, case.rules
    seconds = job_seconds(case)
    hours = (seconds if seconds is not None else 3600 * rules.money["job_hours"].value) / 3600
    machines = job.snow.machines if job.snow is not None else 1
    rate = case.machine.hour_cost if case.machine.hour_cost is not None else setting(job, rules, "machine_hour")
    rubber = standing.finding("wears").value or 0.0
    chance = standing.finding("floats").chance
    stuck = setting(job, rules, "recovery") + setting(job, rules, "lost_half_day")
    return Cost(
        machine=standing.name,
        hours=hours,
        work=machines * hours * rate,
        rubber=machines * hours * rubber,
        bogging=(1 - chance) * stuck if chance is not None else 0.0,
        repair=_repair(case, standing),
    )


def _repair(case: Case, standing: Standing) -> float:
    """What putting right what it spoils costs on average: the dearest surface it drives on, by how far it goes."""
    harm = standing.finding("spares_surface").value
    if not harm:
        return 0.0
    own, money = case.job.costs.repair, case.rules.money
    named = [money[f"repair {name}"].value for name in sorted(case.job.surfaces) if f"repair {name}" in money]
    bill = own if own is not None else max(named, default=0.0)
    curve = case.rules.care.repair_chance
    return bill * float(np.interp(harm, curve.points, curve.factors))


def costs(ranking: list[Standing], cases: dict[str, Case]) -> tuple[Cost, ...]:
    """Every usable machine, cheapest first."""
    usable = [cost(cases[s.name], s) for s in ranking if s.usable]
    return tuple(sorted(usable, key=lambda one: (one.total, one.machine)))


def money_says(pick: Standing | None, ranking: list[Standing], every: tuple[Cost, ...]) -> Statements:
    """Whether the best is also the cheapest, what it costs more, and what for."""
    if pick is None or not every:
        return ()
    own, cheapest = next(one for one in every if one.machine == pick.name), every[0]
    gap, cost_ = own.total - cheapest.total, _dollars(own.total)
    if len(every) == 1:
        return (Said("money.alone", cost=cost_),)
    if gap <= _NEAR:
        return (Said("money.cheapest", machine=pick.name, cost=cost_),)
    other = next(s for s in ranking if s.name == cheapest.machine)
    points = pick.score - other.score
    told = (
        Said(
            "money.dearer", machine=pick.name, cost=cost_, other=cheapest.machine, other_cost=_dollars(cheapest.total)
        ),
        Said("money.buys", gap=_dollars(gap), mostly=Term(_mostly(own, cheapest)), points=Quantity(points, "points")),
    )
    return (*told, Said("money.a_point", each=_dollars(gap / points))) if points > 1 else told


def _mostly(own: Cost, other: Cost) -> str:
    """The part of the bill that differs most."""
    parts = ("work", "rubber", "bogging", "repair")
    return max(parts, key=lambda part: getattr(own, part) - getattr(other, part))


def _dollars(amount: float) -> Quantity:
    return Quantity(amount, "money")
