"""Which machine to buy or rent for a year of this work: workable days, schedule, money, and what would change the "
"answer."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations

import numpy as np

from pickrig import quantities
from pickrig.checks import Case, ask_all
from pickrig.checks.hours import job_hours
from pickrig.checks.site import draw_site
from pickrig.errors import InputError
from pickrig.inputs import Fleet, Machine
from pickrig.inputs.reading import nearest
from pickrig.inputs.year import Year
from pickrig.physics import cost
from pickrig.plans import buy_says
from pickrig.plans.owning import Change, Yearly, hourly, rent_an_hour, rent_for, yearly
from pickrig.plans.purchase import Bar, BreakEven, Missed, Option, Pair, Purchase, WorkDays
from pickrig.plans.schedule import Plan, best_plan, working_hours
from pickrig.plans.workable import Days, workable
from pickrig.quantities import System
from pickrig.rulebook import Rules
from pickrig.scoring import Array

DRAWS = 1_000
_JOB_DRAWS = 400
_AS_IT_IS = Change()
_PAIRS_OF = 12  # candidates that pairs are made of: the best on their own


@dataclass(frozen=True)
class Field:
    """Everything the schedule needs, machines by works: hours a job, rubber $/h, workable shares by year and month."""

    machines: tuple[Machine, ...]
    hours: Array
    rubber: Array
    days: list[Days]
    wanted: Array
    available: Array
    why: dict[tuple[int, int], str]

    @cached_property
    def typical(self) -> Array:
        """Workable share[machine, work, month], the mean of the record's years."""
        return np.stack([days.share.mean(axis=1) for days in self.days], axis=1)

    def of_year(self, index: int) -> Array:
        """The same of one year."""
        return np.stack([days.share[:, index] for days in self.days], axis=1)


def buy(
    year: Year,
    fleet: Fleet,
    rules: Rules,
    units: System = "us",
    seed: int = 0,
    draws: int = DRAWS,
    step: Callable[[int, int], None] = lambda _done, _of: None,
) -> Purchase:
    """The best single purchase, the best pair, and every option's year. The order of the machines plays no part."""
    have = _have(year, fleet)
    candidates = [m for m in fleet.machines if m.name not in have and m.deal is not None]
    machines = tuple(sorted([*(m for m in fleet.machines if m.name in have), *candidates], key=lambda m: m.name))
    field = _field(year, machines, rules, draws, seed, step)
    typical = field.typical
    owned = [i for i, m in enumerate(machines) if m.name in have]
    base = _plan(field, typical, owned, year, rules)
    options = [
        o for i, m in enumerate(machines) if i not in owned for o in _options(field, i, owned, base, year, rules)
    ]
    options.sort(key=lambda o: (-o.net, o.name, o.how))
    worth = [o for o in options if o.net > 0 and _affordable(o, year)]
    best = worth[0] if worth else None
    chosen = owned + ([machines.index(best.machine)] if best else [])
    plan = _plan(field, typical, chosen, year, rules)
    rival = buy_says.rival_of(best, options)
    return Purchase(
        year=year,
        units=units,
        years=field.days[0].years,
        answer=buy_says.answer(best, rival, year, units),
        reasons=buy_says.reasons(best, rival, _days_of(field, machines, year), year, units),
        changes=_changes(field, best, rival, owned, year, rules, units),
        best=best,
        options=tuple(options),
        pairs=_pairs(field, typical, owned, base, options, year, rules),
        days=_days_of(field, machines, year),
        months={m.name: tuple(typical[i, _softest(typical)].tolist()) for i, m in enumerate(machines)},
        months_of=year.works[_softest(typical)].name,
        tornado=_tornado(field, best, owned, year, rules),
        break_even=_break_even(best, options, rules),
        missed=_missed(field, plan, chosen, year),
        out={
            m.name: "has no deal: give price, or rents, in [machine.deal]" for m in fleet.machines if m not in machines
        },
        base=base.margin,
        assumed=buy_says.assumed(year, machines, rules),
        sources=buy_says.sources(rules),
        seed=seed,
        draws=draws,
    )


def _have(year: Year, fleet: Fleet) -> set[str]:
    names = [m.name for m in fleet.machines]
    for name in year.have:
        if name not in names:
            raise InputError(
                [f'the year file, have: "{name}" is not in the fleet file; {nearest(name, names, "its machines are")}']
            )
    return set(year.have)


def _affordable(option: Option, year: Year) -> bool:
    deal = option.machine.deal
    price = deal.price if deal and option.how == "own" else 0.0
    return year.budget is None or (price or 0.0) <= year.budget


def _field(
    year: Year, machines: tuple[Machine, ...], rules: Rules, draws: int, seed: int, step: Callable[[int, int], None]
) -> Field:
    """Every machine asked about a typical job of each work; the ground is left to the record of weather."""
    shape = (len(machines), len(year.works))
    hours, rubber = np.full(shape, np.inf), np.zeros(shape)
    why: dict[tuple[int, int], str] = {}
    for w, work in enumerate(year.works):
        job = work.job.model_copy(update={"weather": None})
        site = draw_site(job, rules, _JOB_DRAWS, seed)
        for m, machine in enumerate(machines):
            case = Case(job, machine, site, rules, brief=True)
            findings = ask_all(case)
            rubber[m, w] = next(f.value or 0.0 for f in findings if f.check == "wears")
            stops = [
                f
                for f in findings
                if f.check != "floats" and (f.verdict == "no-go" or _is_open(f.verdict, f.depends_on))
            ]
            seconds = None if stops else job_hours(case)
            if stops:
                why[m, w] = stops[0].check
            if seconds is not None:
                hours[m, w] = work.times * seconds / 3600
    wanted = np.zeros((len(year.works), 12))
    for w, work in enumerate(year.works):
        wanted[w, [month - 1 for month in work.months]] = work.jobs / len(work.months)
    available = working_hours(rules.owning["working_week"].value, year.day)
    return Field(
        machines, hours, rubber, workable(year.works, machines, year, rules, draws, seed, step), wanted, available, why
    )


def _is_open(verdict: str, depends_on: tuple[str, ...]) -> bool:
    """A question the machine's own missing figures leave open, but for the price of its rubber."""
    return verdict == "unknown" and depends_on[0].startswith("machine.") and "set_price" not in depends_on[-1]


def _margins(field: Field, chosen: list[int], year: Year, rules: Rules, change: Change, rented: int | None) -> Array:
    """$ a job leaves once its hours are paid; a rented machine's repairs are its owner's."""
    out = np.zeros((len(chosen), len(year.works)))
    for row, m in enumerate(chosen):
        for w, work in enumerate(year.works):
            an_hour = hourly(field.machines[m], float(field.rubber[m, w]), year, rules, change)
            paid = an_hour.total - (an_hour.repair if m == rented else 0.0) + year.operator_hour
            hours = field.hours[m, w]
            out[row, w] = work.pays - hours * paid if np.isfinite(hours) else 0.0
    return out


def _plan(
    field: Field,
    shares: Array,
    chosen: list[int],
    year: Year,
    rules: Rules,
    change: Change = _AS_IT_IS,
    jobs: float = 1.0,
    rented: int | None = None,
) -> Plan:
    if not chosen:
        return Plan(np.zeros((0, len(year.works), 12)), 0.0)
    margins = _margins(field, chosen, year, rules, change, rented)
    return best_plan(field.hours[chosen], shares[chosen], margins, jobs * field.wanted, field.available)


def _options(field: Field, m: int, owned: list[int], base: Plan, year: Year, rules: Rules) -> list[Option]:
    deal = field.machines[m].deal
    assert deal is not None
    hows = (["own"] if deal.price is not None else []) + (["rent"] if rent_an_hour(deal, rules) else [])
    return [_option(field, m, how, owned, base, year, rules) for how in hows]


def _option(field: Field, m: int, how: str, owned: list[int], base: Plan, year: Year, rules: Rules) -> Option:
    typical = field.typical
    nets = [_net(field, shares, m, how, owned, year, rules) for shares in _extremes(field, m)]
    plan = _plan(field, typical, [*owned, m], year, rules, rented=m if how == "rent" else None)
    own = plan.jobs[-1]
    hours = float(np.sum(own * np.where(np.isfinite(field.hours[m]), field.hours[m], 0.0)[:, None]))
    rubber = _mean_rubber(field, m, own)
    an_hour = hourly(field.machines[m], rubber, year, rules)
    bill, owning = _bill(field, m, how, own, hours, year, rules, Change())
    return Option(
        machine=field.machines[m],
        how=how,
        gain=plan.margin - base.margin,
        cost=bill,
        hours=hours,
        jobs={work.name: float(own[w].sum()) for w, work in enumerate(year.works)},
        hourly=an_hour,
        yearly=owning,
        wet=min(nets),
        dry=max(nets),
        an_hour=(bill / hours if hours > 1 else float("inf")) + an_hour.total + year.operator_hour,
    )


def _mean_rubber(field: Field, m: int, jobs: Array) -> float:
    """Rubber over the hours it works, $/h."""
    hours = np.where(np.isfinite(field.hours[m]), field.hours[m], 0.0) * jobs.sum(axis=1)
    total = float(hours.sum())
    return float(np.sum(hours * field.rubber[m]) / total) if total > 0 else float(field.rubber[m].mean())


def _bill(
    field: Field, m: int, how: str, jobs: Array, hours: float, year: Year, rules: Rules, change: Change
) -> tuple[float, Yearly | None]:
    """$ a year of owning, or of renting month by month for the days at work."""
    machine = field.machines[m]
    deal = machine.deal
    assert deal is not None
    if how == "own":
        owning = yearly(machine, hours, year, rules, change)
        return owning.total, owning
    by_month = np.sum(jobs * np.where(np.isfinite(field.hours[m]), field.hours[m], 0.0)[:, None], axis=0)
    rents = [rent_for(float(h) / (year.day / 3600), deal, rules) or 0.0 for h in by_month]
    return sum(rents), None


def _extremes(field: Field, m: int) -> tuple[Array, Array]:
    """The record's years in which this machine could work least and most, over all the works there are."""
    by_year = sum(np.sum(days.share[m] * field.wanted[w], axis=1) for w, days in enumerate(field.days))
    ends = int(np.argmin(by_year)), int(np.argmax(by_year))
    return field.of_year(ends[0]), field.of_year(ends[1])


def _net(
    field: Field,
    shares: Array,
    m: int,
    how: str,
    owned: list[int],
    year: Year,
    rules: Rules,
    change: Change = _AS_IT_IS,
    jobs: float = 1.0,
) -> float:
    """What a machine leaves a year under these shares, prices and amount of work."""
    without = _plan(field, shares, owned, year, rules, change, jobs)
    plan = _plan(field, shares, [*owned, m], year, rules, change, jobs, rented=m if how == "rent" else None)
    own = plan.jobs[-1]
    hours = float(np.sum(own * np.where(np.isfinite(field.hours[m]), field.hours[m], 0.0)[:, None]))
    bill, _ = _bill(field, m, how, own, hours, year, rules, change)
    return plan.margin - without.margin - bill


def _pairs(
    field: Field, typical: Array, owned: list[int], base: Plan, options: list[Option], year: Year, rules: Rules
) -> tuple[Pair, ...]:
    """Every two of the best candidates bought together, within the budget, the best first."""
    owned_options = [o for o in options if o.how == "own"][:_PAIRS_OF]
    out = []
    for first, second in combinations(owned_options, 2):
        price = sum(o.machine.deal.price or 0.0 for o in (first, second) if o.machine.deal)
        if year.budget is not None and price > year.budget:
            continue
        indexes = [field.machines.index(o.machine) for o in (first, second)]
        plan = _plan(field, typical, [*owned, *indexes], year, rules)
        bill = 0.0
        for row, m in zip(plan.jobs[-2:], indexes, strict=True):
            hours = float(np.sum(row * np.where(np.isfinite(field.hours[m]), field.hours[m], 0.0)[:, None]))
            bill += yearly(field.machines[m], hours, year, rules).total
        out.append(Pair((first.name, second.name), price, plan.margin - base.margin - bill))
    return tuple(sorted(out, key=lambda pair: (-pair.net, pair.names))[:5])


def _days_of(field: Field, machines: tuple[Machine, ...], year: Year) -> dict[str, tuple[WorkDays, ...]]:
    """Workable days of each work's own months, a year each of the record."""
    days_in = field.available / (year.day / 3600)
    out = {}
    for m, machine in enumerate(machines):
        rows = []
        for w, work in enumerate(year.works):
            months = [month - 1 for month in work.months]
            by_year = field.days[w].share[m][:, months] @ days_in[months]
            rows.append(
                WorkDays(
                    work.name,
                    float(days_in[months].sum()),
                    float(np.median(by_year)),
                    float(by_year.min()),
                    float(by_year.max()),
                )
            )
        out[machine.name] = tuple(rows)
    return out


def _softest(typical: Array) -> int:
    """The work on which machines differ most by the ground."""
    return int(np.argmax(np.ptp(typical.mean(axis=2), axis=0)))


def _tornado(field: Field, best: Option | None, owned: list[int], year: Year, rules: Rules) -> tuple[Bar, ...]:
    """The best option with one input turned at a time, the widest bar first."""
    if best is None:
        return ()
    m, how = field.machines.index(best.machine), best.how
    typical = field.typical
    repair, load, spread = (
        rules.owning["repair_factor"],
        rules.owning["load_factor"],
        rules.owning["resale_spread"].value,
    )

    def net(change: Change = _AS_IT_IS, jobs: float = 1.0) -> float:
        return _net(field, typical, m, how, owned, year, rules, change, jobs)

    factor = repair.value
    bars = [
        Bar("jobs to be had, 30 % fewer to 30 % more", net(jobs=0.7), net(jobs=1.3)),
        Bar("price, 10 % lower to 10 % higher", net(Change(price=0.9)), net(Change(price=1.1))),
        Bar("resale, 10 points lower to 10 higher", net(Change(resale=-spread)), net(Change(resale=spread))),
        Bar("fuel, half as dear to half as dear again", net(Change(fuel=0.5)), net(Change(fuel=1.5))),
        Bar("engine load, idling to digging", net(Change(load=load.low)), net(Change(load=load.high))),
        Bar(
            "repairs, 30 % lower to 30 % higher",
            net(Change(repair=(repair.low or factor) / factor)),
            net(Change(repair=(repair.high or factor) / factor)),
        ),
        Bar("cost of money, 3 points lower to 3 higher", net(Change(rate=-0.03)), net(Change(rate=0.03))),
        Bar("the record's wettest year to its driest", best.wet, best.dry),
    ]
    return tuple(sorted(bars, key=lambda bar: -bar.width))


def _break_even(best: Option | None, options: list[Option], rules: Rules) -> tuple[BreakEven, ...]:
    """Of the best machine that may be owned and rented: hours a year from which owning is cheaper, by each offer."""
    both = [o for o in options if o.how == "own" and o.machine.deal and rent_an_hour(o.machine.deal, rules)]
    own = next((o for o in both if best is not None and o.name == best.name), both[0] if both else None)
    if own is None or own.yearly is None or own.machine.deal is None:
        return ()
    rented = own.hourly.total - own.hourly.repair
    out = []
    for span, rent in rent_an_hour(own.machine.deal, rules).items():
        hours = float(cost.break_even_hours(own.yearly.total, rent, rented, own.hourly.total))
        out.append(BreakEven(span, rent, hours if np.isfinite(hours) else None))
    return tuple(out)


def _missed(field: Field, plan: Plan, chosen: list[int], year: Year) -> tuple[Missed, ...]:
    """What stays undone with the fleet as chosen, and why."""
    out = []
    for w, work in enumerate(year.works):
        done = float(plan.jobs[:, w].sum()) if chosen else 0.0
        left = work.jobs - done
        if left < 0.5:
            continue
        can = [m for m in chosen if np.isfinite(field.hours[m, w])]
        stops = {field.why.get((m, w), "") for m in chosen}
        why = "too few workable days, or the hours earn more elsewhere" if can else buy_says.cannot(stops)
        out.append(Missed(work.name, left, work.jobs, left * work.pays, why))
    return tuple(out)


def _changes(
    field: Field, best: Option | None, rival: Option | None, owned: list[int], year: Year, rules: Rules, units: System
) -> tuple[str, ...]:
    """Amount of work, price and pavement at which the rival would be better."""
    if best is None or rival is None:
        return ()
    typical = field.typical
    pair = [(field.machines.index(o.machine), o.how) for o in (best, rival)]

    def lead(jobs: float) -> float:
        first, second = (_net(field, typical, m, how, owned, year, rules, jobs=jobs) for m, how in pair)
        return first - second

    told = []
    for end, way in ((0.1, "less"), (3.0, "more")):
        at = _crossing(lead, 1.0, end)
        if at is not None:
            told.append(
                f"With {way} than {at:.0%} of this work, {rival.name} ({buy_says.HOW[rival.how]}) would leave more."
            )
    gap = best.net - rival.net
    if rival.how == "own" and rival.yearly is not None and rival.machine.deal is not None and rival.machine.deal.price:
        share = rival.yearly.total / rival.machine.deal.price
        price = rival.machine.deal.price - gap / share
        if price > 0:
            told.append(
                f"{rival.name} would leave as much at {quantities.show(price, 'money', units)}, "
                f"{quantities.show(gap / share, 'money', units)} less."
            )
    if best.wet < 0 <= best.net:
        told.append(f"In the wettest year of the record it loses {quantities.show(-best.wet, 'money', units)}.")
    return tuple(told)


def _crossing(lead: Callable[[float], float], now: float, end: float) -> float | None:
    """The nearest amount of work towards one end at which the lead changes sign, by steps and then halving."""
    same = now
    if lead(now) < 0:
        return None
    for at in np.linspace(now, end, 7)[1:]:
        if lead(float(at)) < 0:
            low, high = same, float(at)
            for _ in range(8):
                middle = (low + high) / 2
                low, high = (middle, high) if lead(middle) >= 0 else (low, middle)
            return high
        same = float(at)
    return None
