"""What page and terminal say of the owner's options, and where its bars stand."""

from dataclasses import dataclass

from pickrig.facts import Quantity, Said, Statements, Term, Value
from pickrig.plans.buy.reasons import named
from pickrig.plans.buy.record import Bar, BreakEven, Missed, Option, Pair, Purchase, WorkDays


@dataclass(frozen=True)
class BarPlace:
    """A bar from low to high, per cent of the widest."""

    bar: Bar
    left: float
    width: float


def money(amount: float) -> Quantity:
    return Quantity(amount, "money")


def hours(amount: float) -> Quantity:
    return Quantity(amount * 3600, "life")


def chosen(answer: Purchase) -> Value:
    """The machine to have, or the two."""
    return tuple(one.name for one in answer.chosen)


def option(one: Option) -> Said:
    """Every option in a line."""
    given: dict[str, Value] = {
        "option": named(one),
        "net": money(one.net),
        "gain": money(one.gain),
        "cost": money(one.cost),
    }
    if one.hours <= 1:
        return Said("option.idle", **given)
    return Said("option", **given, hours=hours(one.hours), an_hour=money(one.an_hour))


def pair(two: Pair) -> Said:
    """Two together."""
    both = tuple(named(one) for one in two.options)
    return Said("pair", two=both, price=money(two.price), net=money(two.net), undone=money(two.undone))


def days(one: WorkDays) -> Said | int:
    """A middle year, with the worst and best where they differ."""
    middle, worst, best = (round(count) for count in (one.middle, one.worst, one.best))
    return middle if worst == best else Said("buy_days_cell", middle=middle, worst=worst, best=best)


def bar(one: Bar) -> Said:
    return Said("bar", input=Said(f"input.{one.input}"), low=money(one.low), high=money(one.high))


def bars(answer: Purchase) -> tuple[BarPlace, ...]:
    """The tornado: each bar between the margins at its two ends."""
    if not answer.tornado:
        return ()
    ends = [end for one in answer.tornado for end in (one.low, one.high)]
    low, span = min(ends), (max(ends) - min(ends)) or 1.0
    return tuple(
        BarPlace(one, round(100 * (min(one.low, one.high) - low) / span, 1), max(round(100 * one.width / span, 1), 0.6))
        for one in answer.tornado
    )


def break_even(one: BreakEven) -> Said:
    """From how many hours owning is cheaper than an offer."""
    given: dict[str, Value] = {"span": Term(one.span), "rent": Quantity(one.rent, "cents")}
    if not one.hours:
        return Said("break_even.never", **given)
    return Said("break_even", **given, hours=hours(one.hours))


def missed(one: Missed) -> Statements:
    """Jobs that stay undone, and why."""
    lead = Said("missed.jobs", jobs=round(one.jobs), of=round(one.of), work=one.work, pays=money(one.pays))
    return (lead, *one.why)


def not_counted(name: str) -> Said:
    return Said("no_deal", machine=name)
