"""Which machine to buy or rent for a year of work: workable days, schedule, money, and what would change the answer."""

from collections.abc import Callable
from itertools import combinations

import numpy as np

from pickrig.errors import InputError
from pickrig.inputs import Fleet, Machine
from pickrig.inputs.reading import nearest
from pickrig.inputs.year import Year
from pickrig.plans import buy_says, what_if
from pickrig.plans.books import OWN, Books
from pickrig.plans.field import Field, ask_field
from pickrig.plans.purchase import Missed, Option, Pair, Purchase, WorkDays
from pickrig.plans.schedule import Plan
from pickrig.quantities import System
from pickrig.rulebook import Rules

DRAWS = 1_000
_PAIRS_OF = 12  # candidates that pairs are made of: the best on their own
_PAIRS_SHOWN = 5


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
    machines = _machines(year, fleet)
    owned = tuple(i for i, m in enumerate(machines) if m.name in year.have)
    books = Books(ask_field(year, machines, rules, draws, seed, step), year, rules, owned)
    options = _options(books)
    best = next((o for o in options if o.net > 0 and _affordable([o], year)), None)
    rival = buy_says.rival_of(best, options)
    days = _days(books.field, year)
    softest = _softest(books.field)
    paved = what_if.paved_line(books, best, rival) if best and rival else None
    bought, offers = what_if.break_even(books, best, options)
    chosen = (*owned, *([machines.index(best.machine)] if best else []))
    return Purchase(
        year=year,
        units=units,
        years=books.field.years,
        answer=buy_says.answer(best, rival, options, year, units),
        reasons=buy_says.reasons(books, best, rival, days, units),
        changes=buy_says.changes(books, best, rival, options, paved, units),
        best=best,
        options=tuple(options),
        pairs=_pairs(books, options),
        days=days,
        months={m.name: _middle_months(books.field, i, softest) for i, m in enumerate(machines)},
        months_of=year.works[softest].name,
        paved=paved,
        tornado=what_if.tornado(books, best) if best else (),
        break_even_of=bought,
        break_even=offers,
        missed=_missed(books, books.plan(chosen), chosen),
        out={
            m.name: "has no deal: give price, or rents, in [machine.deal]" for m in fleet.machines if m not in machines
        },
        assumed=buy_says.assumed(year, machines, rules),
        sources=buy_says.sources(rules),
        seed=seed,
        draws=draws,
    )


def _machines(year: Year, fleet: Fleet) -> tuple[Machine, ...]:
    """What the yard has and what may be had, by name."""
    names = [m.name for m in fleet.machines]
    for name in year.have:
        if name not in names:
            raise InputError(
                [f'the year file, have: "{name}" is not in the fleet file; {nearest(name, names, "its machines are")}']
            )
    machines = [m for m in fleet.machines if m.name in year.have or m.deal is not None]
    if all(m.name in year.have for m in machines):
        raise InputError(
            ["the fleet file has nothing to buy or rent; give at least one machine not in have a [machine.deal]"]
        )
    return tuple(sorted(machines, key=lambda m: m.name))


def _options(books: Books) -> list[Option]:
    """Every way to have every candidate, what leaves most first."""
    candidates = [i for i in range(len(books.field.machines)) if i not in books.owned]
    options = [books.option(m, how) for m in candidates for how in books.ways(m)]
    return sorted(options, key=lambda o: (-o.net, o.name, o.how))


def _price(options: list[Option]) -> float:
    """$ to be found at once; rent is paid as it falls due."""
    deals = [o.machine.deal for o in options if o.how == OWN]
    return sum(deal.price or 0.0 for deal in deals if deal is not None)


def _affordable(options: list[Option], year: Year) -> bool:
    return year.budget is None or _price(options) <= year.budget


def _pairs(books: Books, options: list[Option]) -> tuple[Pair, ...]:
    """Every two of the best candidates bought together, within the budget, the best first."""
    out = []
    for pair in combinations([o for o in options if o.how == OWN][:_PAIRS_OF], 2):
        if not _affordable(list(pair), books.year):
            continue
        indexes = tuple(books.field.machines.index(o.machine) for o in pair)
        plan = books.plan((*books.owned, *indexes))
        bill = sum(books.own_cost(m, jobs) for m, jobs in zip(indexes, plan.jobs[-2:], strict=True))
        net = float(books.gains(plan).mean()) - bill
        undone = float(books.undone(plan) @ [work.pays for work in books.year.works])
        out.append(Pair((pair[0].name, pair[1].name), _price(list(pair)), net, undone))
    return tuple(sorted(out, key=lambda pair: (-pair.net, pair.names))[:_PAIRS_SHOWN])


def _days(field: Field, year: Year) -> dict[str, tuple[WorkDays, ...]]:
    """Workable days of each work's own months, over the years of the record."""
    days_in = field.available[:12] / (year.day / 3600)
    out = {}
    for m, machine in enumerate(field.machines):
        rows = []
        for w, work in enumerate(year.works):
            months = [month - 1 for month in work.months]
            by_year = field.by_year(field.shares[m, w])[:, months] @ days_in[months]
            spread = (float(x) for x in (np.median(by_year), by_year.min(), by_year.max()))
            rows.append(WorkDays(work.name, float(days_in[months].sum()), *spread))
        out[machine.name] = tuple(rows)
    return out


def _softest(field: Field) -> int:
    """The work on which machines differ most by the ground."""
    return int(np.argmax(np.ptp(field.shares.mean(axis=2), axis=0)))


def _middle_months(field: Field, m: int, w: int) -> tuple[float, ...]:
    return tuple(field.by_year(field.shares[m, w]).mean(axis=0).tolist())


def _missed(books: Books, plan: Plan, chosen: tuple[int, ...]) -> tuple[Missed, ...]:
    """What stays undone with the fleet as chosen, and why."""
    field = books.field
    out = []
    for w, (work, left) in enumerate(zip(books.year.works, books.undone(plan).tolist(), strict=True)):
        if left < 0.5:
            continue
        can = any(np.isfinite(field.hours[m, w]) for m in chosen)
        stops = {field.why.get((m, w), "") for m in chosen}
        could = [machine.name for m, machine in enumerate(field.machines) if np.isfinite(field.hours[m, w])]
        why = "too few workable days, or the hours earn more elsewhere" if can else buy_says.cannot(stops, could)
        out.append(Missed(work.name, left, work.jobs, left * work.pays, why))
    return tuple(out)
