"""Which machine to buy or rent for a year of work: workable days, schedule, money, and what would change the answer."""

from collections.abc import Callable
from itertools import combinations

import numpy as np

from pickrig.errors import InputError
from pickrig.facts import Said
from pickrig.inputs import Fleet, Machine
from pickrig.inputs.year import Year
from pickrig.plans.buy import reasons, what_if
from pickrig.plans.buy.accounts import OWN, Add, Books
from pickrig.plans.buy.capability import Field, ask_field
from pickrig.plans.buy.record import Missed, Option, Pair, Purchase, WorkDays
from pickrig.plans.yard.said import used
from pickrig.plans.yard.teaching import Yard, taught
from pickrig.reading import nearest
from pickrig.rulebook import Rules

DRAWS = 1_000
_PAIRS_OF = 12  # candidates that pairs are made of: the best on their own
_PAIRS_SHOWN = 5


def buy(
    year: Year,
    fleet: Fleet,
    rules: Rules,
    seed: int = 0,
    draws: int = DRAWS,
    step: Callable[[int, int], None] = lambda _done, _of: None,
    yard: Yard | None = None,
) -> Purchase:
    """The best single purchase, the best pair, and every option's year. The order of the machines plays no part."""
    year = _taught(year, fleet, yard)
    machines = _machines(year, fleet)
    owned = tuple(i for i, m in enumerate(machines) if m.name in year.have)
    books = Books(ask_field(year, machines, fleet, rules, draws, seed, step), year, rules, owned)
    options = _options(books)
    best = next((o for o in options if o.net > 0 and _affordable([o], year)), None)
    rival = reasons.rival_of(best, options)
    pairs = _pairs(books, options)
    chosen = _lead(best, pairs, rules)
    days = _days(books.field, year)
    softest = _softest(books.field)
    paved = what_if.paved_line(books, best, rival) if best and rival else None
    bought = what_if.owned_and_rented(books, best, options)
    return Purchase(
        year=year,
        years=books.field.years,
        answer=reasons.answer(best, chosen, year),
        beside=(*reasons.beside(books, best, rival, options, pairs, chosen), *used(yard)),
        reasons=(
            *reasons.first_steps(books, _adds(books, chosen), chosen),
            *reasons.loan(books, chosen),
            *reasons.reasons(books, best, rival, days),
        ),
        changes=reasons.changes(books, best, rival, options, paved),
        best=best,
        chosen=chosen,
        options=tuple(options),
        pairs=pairs[:_PAIRS_SHOWN],
        days=days,
        months={m.name: _middle_months(books.field, i, softest) for i, m in enumerate(machines)},
        months_of=year.works[softest].name,
        paved=paved,
        tornado=what_if.tornado(books, _adds(books, chosen)) if chosen else (),
        break_even_of=bought.name if bought else "",
        rent_or_buy=reasons.rent_or_buy(options, bought) if bought else (),
        break_even=what_if.break_even(books, bought) if bought else (),
        owned_curve=what_if.owned_curve(books, bought) if bought else (),
        missed=_missed(books, chosen),
        out=tuple(m.name for m in fleet.machines if m not in machines),
        assumed=(*reasons.doubted_pay(books), *reasons.assumed(year, machines, rules)),
        sources=reasons.sources(rules),
        seed=seed,
        draws=draws,
    )


def _taught(year: Year, fleet: Fleet, yard: Yard | None) -> Year:
    """Every kind of work with what the log of the yard says of it."""
    if yard is None:
        return year
    works = tuple(
        work.model_copy(update={"job": taught(work.job, fleet, yard, one_place=False)}) for work in year.works
    )
    return year.model_copy(update={"works": works})


def _machines(year: Year, fleet: Fleet) -> tuple[Machine, ...]:
    """What the yard has and what may be had, by name."""
    names = [m.name for m in fleet.machines]
    for name in year.have:
        if name not in names:
            near = nearest(name, names, "known.it_has")
            raise InputError(year.fault(("have",), "fault.not_in", name=name, place=fleet.file, near=near))
    machines = [m for m in fleet.machines if m.name in year.have or m.deal is not None]
    if all(m.name in year.have for m in machines):
        raise InputError([Said("fault.nothing_to_buy", file=fleet.file)])
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
    """Every two machines of the best ways to have one, within the budget, what leaves most first."""
    out: list[Pair] = []
    for two in combinations(options[:_PAIRS_OF], 2):
        if two[0].name == two[1].name or not _affordable(list(two), books.year):
            continue
        adds = _adds(books, two)
        undone = float(books.undone(adds) @ [work.pays for work in books.year.works])
        out.append(Pair(two, _price(list(two)), books.net(adds), undone))
    out.sort(key=lambda pair: (-pair.net, [(o.name, o.how) for o in pair.options]))
    first: dict[frozenset[str], Pair] = {}
    for pair in out:  # the same two the best way they may be had
        first.setdefault(frozenset(o.name for o in pair.options), pair)
    return tuple(first.values())


def _lead(best: Option | None, pairs: tuple[Pair, ...], rules: Rules) -> tuple[Option, ...]:
    """What to have: the best machine, or two where together they leave clearly more."""
    if best is None:
        return ()
    clearly = best.net + rules.money["same_year"].value
    return pairs[0].options if pairs and pairs[0].net > clearly else (best,)


def _adds(books: Books, options: tuple[Option, ...]) -> tuple[Add, ...]:
    return tuple((books.field.machines.index(o.machine), o.how) for o in options)


def _days(field: Field, year: Year) -> dict[str, tuple[WorkDays, ...]]:
    """Workable days of each work's own months, over the years of the record."""
    days_in = field.available[:12] / (year.day / 3600)
    out = {}
    for m, machine in enumerate(field.machines):
        rows = []
        for w, work in enumerate(year.works):
            months = [month - 1 for month in work.months]
            by_year = field.by_year(field.shares[m, w])[:, months] @ days_in[months]
            lots = (
                field.by_year(of[m, w])[:, months] @ days_in[months]
                for of in (field.days["soft"].shares, field.days["firm"].shares)
            )
            spread = (np.median(by_year), by_year.min(), by_year.max(), *(days.mean() for days in lots))
            rows.append(WorkDays(work.name, float(days_in[months].sum()), *map(float, spread)))
        out[machine.name] = tuple(rows)
    return out


def _softest(field: Field) -> int:
    """The work on which machines differ most by the ground."""
    return int(np.argmax(np.ptp(field.shares.mean(axis=2), axis=0)))


def _middle_months(field: Field, m: int, w: int) -> tuple[float, ...]:
    return tuple(field.by_year(field.shares[m, w]).mean(axis=0).tolist())


def _missed(books: Books, chosen: tuple[Option, ...]) -> tuple[Missed, ...]:
    """What stays undone with the yard and what was chosen, and why."""
    field, adds = books.field, _adds(books, chosen)
    there = [*books.owned, *(m for m, _ in adds)]
    out = []
    for w, (work, left) in enumerate(zip(books.year.works, books.undone(adds).tolist(), strict=True)):
        if left < 0.5:
            continue
        able = [m for m in there if np.isfinite(field.hours[m, w])]
        could = [machine.name for m, machine in enumerate(field.machines) if np.isfinite(field.hours[m, w])]
        why = (Said("missed.days"),) if able else reasons.cannot({field.why.get((m, w), "") for m in there}, could)
        out.append(Missed(work.name, left, work.jobs, left * work.pays, why))
    return tuple(out)
