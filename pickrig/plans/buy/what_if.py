"""What would change the owner's answer: amount of work, prices, weather, the part of the year on pavement."""

from collections.abc import Callable

import numpy as np

from pickrig.halving import halve
from pickrig.inputs.year import Year
from pickrig.plans.buy.accounts import OWN, Add, Books
from pickrig.plans.buy.owning import AS_IT_IS, Change, rent_an_hour, yearly
from pickrig.plans.buy.record import Bar, BreakEven, Option, PavedLine

_LEAST, _MOST = 0.1, 3.0  # of the year's work: beyond it is another business
_STEPS = 7
_HALVINGS = 8
_PAVED_STEPS = 11
_FINE = 30  # halvings


def tornado(books: Books, chosen: tuple[Add, ...]) -> tuple[Bar, ...]:
    """What was chosen with one input turned at a time, the widest bar first; those that do not matter are left out."""
    owning, year = books.rules.owning, books.year
    repair, load, spread = owning["repair_factor"], owning["load_factor"], owning["resale_spread"].value
    low, high = ((end or repair.value) / repair.value for end in (repair.low, repair.high))
    turned = {
        "lots": (Change(days="soft"), Change(days="firm")),
        "unseen": (Change(days="sure"), AS_IT_IS),
        "jobs": (_all_jobs(0.7, year), _all_jobs(1.3, year)),
        "customer": (_without_the_best(year), AS_IT_IS),
        "down": (Change(down=_busiest(year)), AS_IT_IS),
        "operators": (Change(operators=1), AS_IT_IS),
        "price": (Change(price=0.9), Change(price=1.1)),
        "rent": (Change(rent=0.9), Change(rent=1.1)),
        "resale": (Change(resale=-spread), Change(resale=spread)),
        "fuel": (Change(fuel=0.5), Change(fuel=1.5)),
        "load": (Change(load=load.low), Change(load=load.high)),
        "repair": (Change(repair=low), Change(repair=high)),
        "rate": (Change(rate=-0.03), Change(rate=0.03)),
    }
    bars = [Bar(name, *(books.net(chosen, change) for change in changes)) for name, changes in turned.items()]
    nets = books.nets(chosen)
    bars.append(Bar("years", float(nets.min()), float(nets.max())))
    return tuple(sorted((bar for bar in bars if bar.width >= 1), key=lambda bar: -bar.width))


def _without_the_best(year: Year) -> Change:
    """The customer is gone whose work pays most in a year."""
    best = max(range(len(year.works)), key=lambda w: year.works[w].jobs * year.works[w].pays)
    return Change(jobs=tuple(0.0 if w == best else 1.0 for w in range(len(year.works))))


def _busiest(year: Year) -> int:
    """The month, from 0, with most pay to be had."""
    pay = [sum(w.jobs * w.pays / len(w.months) for w in year.works if month in w.months) for month in range(1, 13)]
    return int(np.argmax(pay))


def owned_and_rented(books: Books, best: Option | None, options: list[Option]) -> Option | None:
    """The owning of a machine that may be rented too: of the best, if it may."""
    both = [o for o in options if o.how == OWN and len(books.ways(books.field.machines.index(o.machine))) > 1]
    return next((o for o in both if best is not None and o.name == best.name), both[0] if both else None)


def break_even(books: Books, own: Option) -> tuple[BreakEven, ...]:
    """Hours a year from which owning is cheaper than each offer, used to the full; no more than a year has."""
    rented = own.hourly.total - own.hourly.repair
    offers = rent_an_hour(books.deal(books.field.machines.index(own.machine)), books.rules)
    return tuple(BreakEven(span, rent, _pays_from(books, own, rent + rented)) for span, rent in offers.items())


def _pays_from(books: Books, own: Option, an_hour: float) -> float | None:
    """Hours a year from which owning costs less than this an hour; None where it never does."""

    def dearer(hours: float) -> bool:
        return _owned(books, own, hours) > an_hour

    most = float(books.field.available[:12].sum())
    if _owned(books, own, most) >= an_hour:
        return None
    return halve(dearer, books.rules.money["few_hours"].value, most, _FINE)[1]


def owned_curve(books: Books, own: Option) -> tuple[tuple[float, float], ...]:
    """$ an hour of a machine owned, without operator, by the hours it works a year."""
    most = float(books.field.available[:12].sum())
    few = books.rules.money["few_hours"].value
    return tuple((float(h), _owned(books, own, float(h))) for h in np.linspace(few, most, 60))


def _owned(books: Books, own: Option, hours: float) -> float:
    return yearly(own.machine, hours, books.year, books.rules).total / hours + own.hourly.total


def amount_of_work(books: Books, best: Option, rival: Option) -> tuple[float | None, float | None]:
    """The most and the least of this year's work, as a factor under and over one, at which the rival leaves more."""

    def lead(jobs: float) -> float:
        return _lead(books, best, rival, _all_jobs(jobs, books.year))

    return _crossing(lead, _LEAST), _crossing(lead, _MOST)


def price_to_match(books: Books, best: Option, rival: Option) -> float | None:
    """The rival's price at which it would leave as much as the best; None where no price above zero does, or it leads.

    Its work and its resale stay the same, so that the yearly cost falls straight with the price.
    """
    deal = books.deal(books.field.machines.index(rival.machine))
    gap = best.net - rival.net
    if rival.how != OWN or rival.yearly is None or not deal.price or gap <= 0:
        return None
    dearer = yearly(rival.machine, rival.meter, books.year, books.rules, Change(price=1.1)).total
    per_dollar = (dearer - rival.yearly.total) / (0.1 * deal.price)
    price = deal.price - gap / per_dollar
    return price if price > 0 else None


def rent_to_match(best: Option, rival: Option) -> float | None:
    """The part of today's rent at which a rented rival would leave as much as the best, its jobs the same; None where
    none does, or it leads."""
    if rival.how == OWN or rival.cost <= 0 or rival.net >= best.net:
        return None
    share = 1.0 - (best.net - rival.net) / rival.cost
    return share if share > 0 else None


def years_lost(best: Option, rival: Option, years: tuple[int, ...]) -> tuple[tuple[int, ...], float | None]:
    """The record's years in which the rival would have left more, and how often such years must come for it to lead."""
    leads = np.array(best.nets) - np.array(rival.nets)
    lost = leads < 0
    if not lost.any() or lost.all():
        return (), None
    won_by, lost_by = float(leads[~lost].mean()), float(-leads[lost].mean())
    return tuple(y for y, is_lost in zip(years, lost, strict=True) if is_lost), won_by / (won_by + lost_by)


def worth_of_days(books: Books, best: Option, rival: Option) -> float:
    """$ a year the best would leave less with the rival's workable days."""
    m, other = (books.field.machines.index(o.machine) for o in (best, rival))
    return best.net - books.option(m, best.how, like=other).net


def paved_line(books: Books, best: Option, rival: Option) -> PavedLine | None:
    """Both options as the same hours of work move from soil onto pavement; None where the year has only one."""
    f = books.field
    can = np.isfinite(f.hours)
    an_each = np.where(can, f.hours, 0.0).sum(axis=0) / np.maximum(can.sum(axis=0), 1)
    by_work = an_each * np.array([work.jobs for work in books.year.works])
    total, on_paved = float(by_work.sum()), float(by_work[f.paved].sum())
    if not 0 < on_paved < total:
        return None

    def moved(share: float) -> Change:
        on, off = share * total / on_paved, (1 - share) * total / (total - on_paved)
        return Change(jobs=tuple(np.where(f.paved, on, off).tolist()))

    shares = np.linspace(0, 1, _PAVED_STEPS)
    lines = [[books.option(f.machines.index(o.machine), o.how, moved(float(s))) for s in shares] for o in (best, rival)]
    nets = [[o.net for o in line] for line in lines]
    now = on_paved / total
    ahead = nets[1][-1] - nets[0][-1]
    last = lines[1][-1]

    def lead(share: float) -> float:
        return _lead(books, best, rival, moved(share))

    return PavedLine(
        shares=tuple(shares.tolist()),
        best=tuple(nets[0]),
        rival=tuple(nets[1]),
        names=(best.name, rival.name),
        now=now,
        crossing=_crossing(lead, 1.0, now) if ahead > 0 else None,
        ahead=ahead,
        an_hour=ahead / last.hours if last.hours > 1 else 0.0,
    )


def _lead(books: Books, best: Option, rival: Option, change: Change) -> float:
    first, second = (books.option(books.field.machines.index(o.machine), o.how, change).net for o in (best, rival))
    return first - second


def _all_jobs(factor: float, year: Year) -> Change:
    return Change(jobs=(factor,) * len(year.works))


def _crossing(lead: Callable[[float], float], end: float, now: float = 1.0) -> float | None:
    """The first place on the way from now to an end at which the lead is lost, by steps and then halving."""
    held = now
    for at in np.linspace(now, end, _STEPS)[1:]:
        if lead(float(at)) < 0:
            return halve(lambda value: lead(value) >= 0, held, float(at), _HALVINGS)[1]
        held = float(at)
    return None
