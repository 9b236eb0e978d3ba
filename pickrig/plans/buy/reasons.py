"""The owner's answer in sentences: what to do, why, and what was taken for granted."""

from pickrig import quantities
from pickrig.inputs import Machine
from pickrig.inputs.year import Year
from pickrig.plans.buy.accounts import Books
from pickrig.plans.buy.record import Option, Pair, PavedLine, WorkDays
from pickrig.plans.buy.what_if import amount_of_work, price_to_match, worth_of_days, years_lost
from pickrig.quantities import System
from pickrig.rulebook import Rules

HOW = {"own": "bought", "rent": "rented"}
_DO = {"own": "Buy", "rent": "Rent"}
CLOSE = 1000.0  # $ a year within which two options are the same: the inputs are not known better


def rival_of(best: Option | None, options: list[Option]) -> Option | None:
    """The best option on the other running gear; without one, the next best machine."""
    if best is None:
        return None
    others = [o for o in options if o.name != best.name]
    other_gear = [o for o in others if o.machine.gear != best.machine.gear]
    return next(iter(other_gear or others), None)


def answer(best: Option | None, chosen: tuple[Option, ...], year: Year, units: System) -> str:
    """What to do, in a sentence."""
    if best is None:
        budget = f" within {_dollars(year.budget, units)}" if year.budget is not None else ""
        return f"Buy and rent nothing: no machine here{budget} earns back what it costs on this year of work."
    if len(chosen) > 1:
        first, second = chosen
        verb = _DO[second.how].lower() if second.how != first.how else "and"
        both = f"{first.name} and {second.name}" if verb == "and" else f"{first.name} and {verb} {second.name}"
        return f"{_DO[first.how]} {both}."
    return f"{_DO[best.how]} {best.name}: it leaves about {_about(best, units)} a year over what it costs."


def beside(
    best: Option | None,
    rival: Option | None,
    options: list[Option],
    pairs: tuple[Pair, ...],
    chosen: tuple[Option, ...],
    units: System,
) -> tuple[str, ...]:
    """What the answer is measured against: the two apart, the other way to have it, the next machine, other gear."""
    if best is None:
        return ()
    told = []
    if len(chosen) > 1:
        told.append(
            f"Together they leave about {_dollars(round(pairs[0].net, -2), units)} a year. Of one alone, "
            f"{_named(best)} "
            f"leaves most, {_about(best, units)}."
        )
    elif pairs:
        told.append(
            f"No two machines leave clearly more; the best two, {_both(pairs[0])}, leave "
            f"{_dollars(round(pairs[0].net, -2), units)}."
        )
    for lead, other in _others(best, rival, options):
        equal = abs(other.net - best.net) < CLOSE
        as_good = ": as good, as far as anyone can know" if equal else ""
        budget = ", but is above the budget" if other.net > best.net + CLOSE else ""
        told.append(f"{lead}, {_named(other)}, leaves {_about(other, units)}{as_good}{budget}.")
    return tuple(told)


def _others(best: Option, rival: Option | None, options: list[Option]) -> list[tuple[str, Option]]:
    """The same machine the other way, the next machine, and the best on the other running gear, each once."""
    same = next((o for o in options if o.name == best.name and o.how != best.how), None)
    after = next((o for o in options if o.name != best.name), None)
    other = rival if rival is not after else None
    gear = "The best on wheels" if best.machine.gear == "tracks" else "The best on tracks"
    told = [("The same machine the other way", same), ("The next machine", after), (gear, other)]
    return [(lead, option) for lead, option in told if option is not None]


def _both(pair: Pair) -> str:
    return " and ".join(_named(o) for o in pair.options)


def _about(option: Option, units: System) -> str:
    return _dollars(round(option.net, -2), units)


def reasons(
    books: Books, best: Option | None, rival: Option | None, days: dict[str, tuple[WorkDays, ...]], units: System
) -> tuple[str, ...]:
    """Workable days where they differ most and what they are worth, what it does, what an hour costs."""
    if best is None:
        return ()
    told = []
    if rival is not None:
        told.append(_more_days(books, best, rival, days, units))
        told.append(
            f"An hour with it costs {_dollars(best.an_hour, units)} with operator and all, over {best.hours:,.0f} h a "
            f"year; with {rival.name} {_an_hour(rival, units)}."
        )
    done = ", ".join(
        f"{count:.0f} of {work.jobs} “{work.name}”"
        for work in books.year.works
        if (count := best.jobs[work.name]) >= 0.5
    )
    told.append(f"It does {done or 'none of the works'} a year, beside what the yard does.")
    if len(best.nets) > 1:
        told.append(
            f"Between the record's worst year and its best it leaves {_dollars(min(best.nets), units)} to "
            f"{_dollars(max(best.nets), units)}."
        )
    return tuple(told)


def _an_hour(option: Option, units: System) -> str:
    if option.hours <= 1:
        return "there is no work for an hour"
    return f"{_dollars(option.an_hour, units)} over {option.hours:,.0f} h"


def _more_days(books: Books, best: Option, rival: Option, days: dict[str, tuple[WorkDays, ...]], units: System) -> str:
    pairs = [(a.middle - b.middle, a, b) for a, b in zip(days[best.name], days[rival.name], strict=True)]
    gap, own, other = max(pairs, key=lambda pair: abs(pair[0]))
    if abs(gap) < 1:
        return "The ground does not part them: both could work on the same days."
    worth = worth_of_days(books, best, rival)
    told = f"; with {rival.name}'s days it would leave {_dollars(abs(worth), units)} {'less' if worth > 0 else 'more'}"
    return (
        f"On “{own.work}” it could work {own.middle:.0f} of {own.of:.0f} working days in a usual year "
        f"({own.worst:.0f} to {own.best:.0f}), {abs(gap):.0f} {'more' if gap > 0 else 'fewer'} than {rival.name} "
        f"({other.worst:.0f} to {other.best:.0f}){told if abs(worth) >= 1 else ''}."
    )


def changes(
    books: Books,
    best: Option | None,
    rival: Option | None,
    options: list[Option],
    paved: PavedLine | None,
    units: System,
) -> tuple[str, ...]:
    """Amount of work, pavement, price and years at which something else would leave more."""
    if best is None or rival is None:
        return ()
    told = _by_amount(books, best, rival)
    told += _by_pavement(rival, paved, units)
    for other in _nearest(best, rival, options):
        told += _by_price(books, best, other, units)
        told += _by_years(books, best, other)
    if min(best.nets) < 0:
        told.append(f"In the worst year of the record it loses {_dollars(-min(best.nets), units)}.")
    return tuple(told)


def _nearest(best: Option, rival: Option, options: list[Option]) -> list[Option]:
    """The rival, and what comes next after the best where that is another."""
    second = next((o for o in options if o.name != best.name), rival)
    return [second] if second is rival else [second, rival]


def _by_amount(books: Books, best: Option, rival: Option) -> list[str]:
    ends = zip(amount_of_work(books, best, rival), ("less", "more"), strict=True)
    return [f"With {way} than {at:.0%} of this work, {_named(rival)} would leave more." for at, way in ends if at]


def _by_pavement(rival: Option, paved: PavedLine | None, units: System) -> list[str]:
    if paved is None:
        return []
    if paved.crossing is None:
        return [f"Not the pavement: from no hour on it to every hour, {_named(rival)} never comes to lead."]
    return [
        f"With more than {paved.crossing:.0%} of the hours on pavement, {_named(rival)} would leave more (now "
        f"{paved.now:.0%}); on pavement alone {_dollars(paved.ahead, units)} a year, ${paved.an_hour:.2f} an hour."
    ]


def _by_price(books: Books, best: Option, other: Option, units: System) -> list[str]:
    price = price_to_match(books, best, other)
    deal = other.machine.deal
    if price is None or deal is None or deal.price is None:
        return []
    return [
        f"{_named(other)} would leave as much at {_dollars(price, units)}, {_dollars(deal.price - price, units)} less "
        "than asked."
    ]


def _by_years(books: Books, best: Option, other: Option) -> list[str]:
    lost, often = years_lost(best, other, books.field.years)
    if not lost or often is None:
        return []
    named = ", ".join(str(year) for year in lost)
    return [
        f"In {len(lost)} of the record's {len(best.nets)} years ({named}) {_named(other)} would have left more; were "
        f"more than {often:.0%} of years like those, it would be the better choice."
    ]


def _named(option: Option) -> str:
    return f"{option.name} ({HOW[option.how]})"


def cannot(stops: set[str], could: list[str]) -> str:
    """Why no machine of the fleet does a work at all."""
    words = {
        "fits": "none gets in", "lifts": "none lifts it", "grips": "none grips", "climbs": "too steep for all",
        "powers": "none runs the tool", "produces": "none is quick enough", "spares_surface": "the site forbids any "
        "machine",
        "hauls": "none gets there",
    }  # fmt: skip
    told = [words[stop] for stop in sorted(stops) if stop in words]
    reason = ", ".join(told) or "no machine for it"
    return f"{reason}; {', '.join(could)} could" if could else reason


def assumed(year: Year, machines: tuple[Machine, ...], rules: Rules, units: System) -> tuple[str, ...]:
    """What the answer took for granted."""
    rain = sum(day.rain for day in year.days) / len(year.days) * 365.25
    notes = [f"the record: {len(year.years)} years, {quantities.show(rain, 'rain', units)} of rain a year", *year.notes]
    notes.append("a job's hours and rubber are those of its own file; its ground is left to the record of weather")
    notes.append("jobs are spread evenly over their months, and a part of a job counts as that part")
    notes.append("a month's rented days are taken together, in one hire; the offer that is cheapest for them")
    without = [m.name for m in machines if m.deal is None]
    if without:
        notes.append(f"{', '.join(without)}: repairs are left out, because no price is given")
    notes.append(f"{rules.owning['working_week'].value:.0f} working days a week of {quantities.duration(year.day)}")
    unpriced = [m.name for m in machines if (m.tracks or m.tyres) and (m.tracks or m.tyres).set_price is None]  # type: ignore[union-attr]
    if unpriced:
        notes.append(f"{', '.join(unpriced)}: rubber costs nothing here, because no set_price is given")
    no_resale = [m.name for m in machines if m.deal and m.deal.price is not None and m.deal.resale is None]
    if no_resale:
        notes.append(f"{', '.join(no_resale)}: resale by a farm tractor's curve ({rules.cite(rules.owning['c1'])})")
    lives = [m.name for m in machines if m.deal and m.deal.life is None]
    if lives:
        notes.append(
            f"{', '.join(lives)}: a life of {rules.owning['life'].value:,.0f} h ({rules.owning['life'].status})"
        )
    notes.append(f"{rules.owning['load_factor'].says}: {rules.owning['load_factor'].value:.2f} taken")
    return tuple(notes)


def sources(rules: Rules) -> tuple[str, ...]:
    names = (
        "owning",
        "fuel and repairs",
        "remaining value",
        "evaporation",
        "strength by soil group",
        "strength by clay",
    )
    return tuple(f"{name[:1].upper()}{name[1:]}: {rules.cite(rules.equations[name])}" for name in names)


def _dollars(sum_: float, units: System) -> str:
    shown = quantities.show(abs(sum_), "money", units)
    return f"-{shown}" if sum_ < 0 else shown
