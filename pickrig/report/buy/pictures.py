"""The owner's pictures: an hour owned or rented, what pavement does, and what each option leaves."""

from dataclasses import dataclass

from pickrig.facts import Term
from pickrig.plans.buy.record import Purchase
from pickrig.report.pictures.plot import Plot, plot
from pickrig.report.words.figures import money
from pickrig.report.words.voice import Voice


def rent_or_buy(answer: Purchase, voice: Voice) -> Plot | None:
    """Cost of an hour owned and rented against hours a year; None where no machine may be both."""
    own = next((o for o in answer.options if o.how == "own" and o.name == answer.break_even_of), None)
    if own is None or not answer.owned_curve:
        return None
    hours, owned = zip(*answer.owned_curve, strict=True)
    rented = {one.span: one.rent + own.hourly.total - own.hourly.repair for one in answer.break_even}
    lines = [(voice.text("chart_owned"), hours, owned)]
    lines += [
        (voice.text("chart_rented", span=Term(span)), hours, (cost,) * len(hours)) for span, cost in rented.items()
    ]
    return plot(
        lines, lambda x: voice.decimal(x, 0), lambda y: money(y, voice), most=1.6 * max(rented.values(), default=0.0)
    )


def by_pavement(answer: Purchase, voice: Voice) -> Plot | None:
    """What best and rival leave against the part of the hours on pavement; None where the year has only one ground."""
    line = answer.paved
    if line is None:
        return None
    percent = [100 * share for share in line.shares]
    lines = [(line.names[0], percent, line.best), (line.names[1], percent, line.rival)]
    return plot(lines, lambda x: f"{voice.decimal(x, 0)} %", lambda y: money(y, voice), now=100 * line.now)


@dataclass(frozen=True)
class Bar:
    """What an option leaves, with its worst and its best year; per cent of the width, zero included."""

    name: str
    how: str
    zero: float
    start: float
    width: float
    worst: float
    best: float
    net: float


_SHOWN = 8


def option_bars(answer: Purchase) -> tuple[Bar, ...]:
    """The options that leave most, best first."""
    options = answer.options[:_SHOWN]
    ends = [0.0, *(end for o in options for end in (o.net, min(o.nets), max(o.nets)))]
    low, span = min(ends), (max(ends) - min(ends)) or 1.0

    def at(dollars: float) -> float:
        return round(100 * (dollars - low) / span, 2)

    return tuple(
        Bar(
            o.name, o.how, at(0), min(at(0), at(o.net)), abs(at(o.net) - at(0)), at(min(o.nets)), at(max(o.nets)), o.net
        )
        for o in options
    )
