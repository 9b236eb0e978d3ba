"""The owner's answer: what to do, why, what would change it, and what was taken for granted."""

import numpy as np

from pickrig.checks.cited import cited, source
from pickrig.facts import Citation, Key, Quantity, Ruled, Said, Statements, Value, number
from pickrig.inputs import Machine
from pickrig.inputs.year import Year
from pickrig.physics import cost
from pickrig.plans.buy.accounts import OWN, Add, Books
from pickrig.plans.buy.owning import worth_after
from pickrig.plans.buy.record import Option, Pair, PavedLine, WorkDays
from pickrig.plans.buy.what_if import amount_of_work, price_to_match, rent_to_match, worth_of_days, years_lost
from pickrig.rulebook import Rules


def rival_of(best: Option | None, options: list[Option]) -> Option | None:
    """The best option on the other running gear; without one, the next best machine."""
    if best is None:
        return None
    others = [o for o in options if o.name != best.name]
    other_gear = [o for o in others if o.machine.gear != best.machine.gear]
    return next(iter(other_gear or others), None)


def answer(best: Option | None, chosen: tuple[Option, ...], year: Year) -> Said:
    """What to do."""
    if best is None:
        return Said("buy.nothing") if year.budget is None else Said("buy.nothing_within", budget=_money(year.budget))
    if len(chosen) > 1:
        first, second = chosen
        return Said(f"buy.{first.how}_and_{second.how}", first=first.name, second=second.name)
    return Said(f"buy.{best.how}", machine=best.name, net=_about(best))


def beside(
    books: Books,
    best: Option | None,
    rival: Option | None,
    options: list[Option],
    pairs: tuple[Pair, ...],
    chosen: tuple[Option, ...],
) -> Statements:
    """What the answer is measured against: the two apart, the other way to have it, the next machine, other gear."""
    if best is None:
        return ()
    told = [Said("beside.without", net=_money(round(books.as_it_stands(), -2)))]
    if len(chosen) > 1:
        together = _money(round(pairs[0].net, -2))
        told += [Said("beside.together", net=together), Said("beside.alone", one=named(best), net=_about(best))]
    elif pairs:
        two = tuple(named(o) for o in pairs[0].options)
        told.append(Said("beside.pair", two=two, net=_money(round(pairs[0].net, -2))))
    for key, other in _others(best, rival, options):
        told.append(Said(key, one=named(other), net=_about(other)))
        same = books.rules.money["same_year"].value
        told += [Said("beside.as_good")] if abs(other.net - best.net) < same else []
        told += [Said("beside.above_budget")] if other.net > best.net + same else []
    return tuple(told)


def _others(best: Option, rival: Option | None, options: list[Option]) -> list[tuple[str, Option]]:
    """The same machine the other way, the next machine, and the best on the other running gear, each once."""
    same = next((o for o in options if o.name == best.name and o.how != best.how), None)
    after = next((o for o in options if o.name != best.name), None)
    other = rival if rival is not after else None
    gear = "beside.wheels" if best.machine.gear == "tracks" else "beside.tracks"
    told = [("beside.same_machine", same), ("beside.next", after), (gear, other)]
    return [(key, option) for key, option in told if option is not None]


def named(option: Option) -> Said:
    """A machine with how it is had."""
    return Said(f"had.{option.how}", machine=option.name)


def _about(option: Option) -> Quantity:
    return _money(round(option.net, -2))


def _money(amount: float) -> Quantity:
    return Quantity(float(amount), "money")


def _hours(hours: float) -> Quantity:
    return Quantity(hours * 3600, "life")


def reasons(
    books: Books, best: Option | None, rival: Option | None, days: dict[str, tuple[WorkDays, ...]]
) -> Statements:
    """Workable days where they differ most and what they are worth, what it does, what an hour costs."""
    if best is None:
        return ()
    told: list[Said] = []
    if rival is not None:
        told += _more_days(books, best, rival, days)
        told.append(Said("why.an_hour", an_hour=_money(best.an_hour), hours=_hours(best.hours)))
        told.append(_rivals_hour(rival))
    jobs = books.year.works
    done = tuple(
        Said("why.jobs", jobs=round(best.jobs[work.name]), of=work.jobs, work=work.name)
        for work in jobs
        if best.jobs[work.name] >= 0.5
    )
    told.append(Said("why.does", done=done) if done else Said("why.does_nothing"))
    if len(best.nets) > 1:
        told.append(Said("why.years", worst=_money(min(best.nets)), best=_money(max(best.nets))))
    return tuple(told)


def _rivals_hour(option: Option) -> Said:
    if option.hours <= 1:
        return Said("why.rival_no_hour", rival=option.name)
    return Said("why.rival_hour", rival=option.name, an_hour=_money(option.an_hour), hours=_hours(option.hours))


def _more_days(books: Books, best: Option, rival: Option, days: dict[str, tuple[WorkDays, ...]]) -> Statements:
    pairs = [(a.middle - b.middle, a, b) for a, b in zip(days[best.name], days[rival.name], strict=True)]
    gap, own, other = max(pairs, key=lambda pair: abs(pair[0]))
    if abs(gap) < 1:
        return (Said("why.same_days"),)
    worth = worth_of_days(books, best, rival)
    told = (
        Said("why.days", work=own.work, middle=round(own.middle), of=round(own.of), range=_range(own)),
        Said("why.lots", soft=round(own.soft), firm=round(own.firm)),
        Said(
            "why.more_days" if gap > 0 else "why.fewer_days",
            days=round(abs(gap)),
            rival=rival.name,
            range=_range(other),
        ),
    )
    if abs(worth) < 1:
        return told
    key = "why.days_worth_less" if worth > 0 else "why.days_worth_more"
    return (*told, Said(key, rival=rival.name, worth=_money(abs(worth))))


def _range(days: WorkDays) -> Said:
    return Said("why.range", worst=round(days.worst), best=round(days.best))


def changes(
    books: Books, best: Option | None, rival: Option | None, options: list[Option], paved: PavedLine | None
) -> Statements:
    """Amount of work, pavement, price and years at which something else would leave more."""
    if best is None or rival is None:
        return ()
    told = [*_by_amount(books, best, rival), *_by_pavement(rival, paved)]
    for other in _nearest(best, rival, options):
        told += [*_by_price(books, best, other), *_by_rent(best, other), *_by_years(books, best, other)]
    if min(best.nets) < 0:
        told.append(Said("change.worst_year", loss=_money(-min(best.nets))))
    return tuple(told)


def _nearest(best: Option, rival: Option, options: list[Option]) -> list[Option]:
    """The same machine the other way, what comes next after the best, and the rival, each once."""
    same = [o for o in options if o.name == best.name and o.how != best.how]
    second = next((o for o in options if o.name != best.name), rival)
    return [*same, second] if second is rival else [*same, second, rival]


def _by_amount(books: Books, best: Option, rival: Option) -> Statements:
    ends = zip(amount_of_work(books, best, rival), ("less", "more"), strict=True)
    return tuple(
        Said(f"change.{way}_work", at=Quantity(float(at), "share"), one=named(rival)) for at, way in ends if at
    )


def _by_pavement(rival: Option, paved: PavedLine | None) -> Statements:
    if paved is None or paved.an_hour <= 0:
        return ()
    if paved.crossing is None:
        return (Said("change.not_pavement", one=named(rival)),)
    return (
        Said(
            "change.pavement",
            at=Quantity(paved.crossing, "share"),
            one=named(rival),
            now=Quantity(paved.now, "share"),
        ),
        Said("change.all_paved", ahead=_money(paved.ahead), an_hour=Quantity(paved.an_hour, "rate of cost")),
    )


def _by_price(books: Books, best: Option, other: Option) -> Statements:
    price = price_to_match(books, best, other)
    deal = other.machine.deal
    if price is None or deal is None or deal.price is None:
        return ()
    return (Said("change.price", one=named(other), price=_money(price), less=_money(deal.price - price)),)


def _by_rent(best: Option, other: Option) -> Statements:
    at = rent_to_match(best, other)
    return (Said("change.rent", one=named(other), at=Quantity(at, "share")),) if at else ()


def _by_years(books: Books, best: Option, other: Option) -> Statements:
    lost, often = years_lost(best, other, books.field.years)
    if not lost or often is None:
        return ()
    years = tuple(str(year) for year in lost)
    return (
        Said("change.years", count=len(lost), of=len(best.nets), years=years, one=named(other)),
        Said("change.often", often=Quantity(often, "share")),
    )


def cannot(stops: set[str], could: list[str]) -> Statements:
    """Why no machine of the fleet does a work at all."""
    told = tuple(Said(f"missed.{stop}") for stop in sorted(stops) if stop in _STOPS) or (Said("missed.none"),)
    return (*told, Said("missed.could", machines=tuple(could))) if could else told


_STOPS = ("climbs", "fits", "grips", "hauls", "lifts", "powers", "produces", "spares_surface")


def first_steps(books: Books, adds: tuple[Add, ...], chosen: tuple[Option, ...]) -> Statements:
    """What to do first, and by when: the months in which what is added has its work; a used machine is looked at."""
    venture, told = books.venture(adds), []
    for option, jobs in zip(chosen, venture.jobs, strict=True):
        hours = books.field.by_year(books.hours_of(books.field.machines.index(option.machine), jobs)[1]).mean(axis=0)
        if hours.sum() <= 1:
            continue
        begins = int(np.argmax(hours > hours.sum() * books.rules.owning["begins"].value))
        most = int(np.argmax(hours))
        months = {"month": Quantity(begins + 1, "month"), "most": Quantity(most + 1, "month")}
        told.append(Said(f"first.{option.how}", machine=option.name, **months))
        if option.how == OWN and option.machine.deal is not None and option.machine.deal.meter:
            told.append(Said("first.used", machine=option.name))
    return tuple(told)


def rent_or_buy(options: list[Option], of: Option) -> Statements:
    """What the machine costs as the year goes, bought and rented: every hire brings its move and its least days, which
    the hour used to the full has not."""
    rented = next((o for o in options if o.name == of.name and o.how != OWN), None)
    if rented is None or rented.hours <= 1 or of.hours <= 1:
        return ()
    return (
        Said(
            "rent.as_it_falls",
            own=_money(of.cost),
            hours=_hours(of.hours),
            rent=_money(rented.cost),
            rented=_hours(rented.hours),
        ),
    )


def loan(books: Books, chosen: tuple[Option, ...]) -> Statements:
    """What has to be found at once and every month, and what is owed after a year against what it would sell for."""
    terms = books.year.loan
    bought = [option for option in chosen if option.how == OWN and option.machine.deal is not None]
    price = sum(option.machine.deal.price or 0.0 for option in bought if option.machine.deal is not None)
    if terms is None or not bought:
        return ()
    down = min(price * terms.down + terms.trade_in, price)
    lent = price - down
    payment = float(cost.loan_payment(lent, terms.rate, terms.months))
    owed = float(cost.loan_balance(lent, terms.rate, terms.months, min(12, terms.months)))
    worth = sum(worth_after(option.machine, option.meter, 1.0, books.rules) for option in bought)
    told = [Said("loan.terms", down=_money(down), lent=_money(lent), payment=_money(payment), months=terms.months)]
    if owed > worth:
        told.append(Said("loan.under", owed=_money(round(owed, -2)), worth=_money(round(worth, -2))))
    if terms.trade_in:
        told.append(Said("loan.trade", key=Key("have")))
    return (*told, Said("loan.tax"))


def doubted_pay(books: Books) -> Statements:
    """Work that pays more an hour on the site than an hour pays: something has been left in it."""
    most, told = books.rules.on_site["pay_an_hour"].value, []
    for w, work in enumerate(books.year.works):
        hours = float(books.field.hours[:, w].min())
        if np.isfinite(hours) and work.pays > most * hours:
            told.append(Said("buy.pay_high", work=work.name, an_hour=_money(round(work.pays / hours, -1))))
    return tuple(told)


def assumed(year: Year, machines: tuple[Machine, ...], rules: Rules) -> Statements:
    """What the answer took for granted."""
    rain = sum(day.rain for day in year.days) / len(year.days) * 365.25
    owning, load = rules.owning, rules.owning["load_factor"]
    return (
        Said("assumed.record", years=len(year.years), rain=Quantity(rain, "rain")),
        *year.notes,
        Said("assumed.job_file"),
        Said("assumed.even_months"),
        Said("assumed.hires"),
        Said("assumed.hours"),
        Said("assumed.lots"),
        Said("assumed.week", days=round(owning["working_week"].value), day=Quantity(year.day, "duration")),
        *_of_machines(machines, rules),
        Said("assumed.engine_load", says=Ruled(load.says), load=number(load.value, 2)),
    )


def _of_machines(machines: tuple[Machine, ...], rules: Rules) -> Statements:
    """What was taken of single machines, each note once with those it holds for."""
    owning = rules.owning
    gear = {m.name: m.tracks or m.tyres for m in machines}
    no_resale = [m for m in machines if m.deal and m.deal.price is not None and m.deal.resale is None]
    life, status = _hours(owning["life"].value), Citation(owning["life"].status)
    notes: list[tuple[list[Machine], str, dict[str, Value]]] = [
        ([m for m in machines if m.deal is None], "assumed.no_repairs", {}),
        ([m for m in machines if (own := gear[m.name]) and own.set_price is None], "assumed.no_rubber", {}),
        (no_resale, "assumed.resale", {"cited": cited(rules, owning["c1"])}),
        ([m for m in machines if m.deal and m.deal.life is None], "assumed.life", {"life": life, "cited": status}),
    ]
    return tuple(Said(key, names=tuple(m.name for m in held), **more) for held, key, more in notes if held)


def sources(rules: Rules) -> Statements:
    names = (
        "owning",
        "fuel and repairs",
        "remaining value",
        "evaporation",
        "strength by soil group",
        "strength by clay",
    )
    return tuple(source(rules, rules.equations[name], f"source.{name.replace(' ', '_')}") for name in names)
