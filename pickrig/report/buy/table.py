"""Figures of the owner's answer as words, shared by page and terminal."""

from dataclasses import dataclass

from pickrig import quantities
from pickrig.plans.buy.record import Bar, Purchase, WorkDays

HOW = {"own": "bought", "rent": "rented"}


@dataclass(frozen=True)
class OptionRow:
    name: str
    how: str
    best: bool
    net: str
    gain: str
    cost: str
    hours: str
    an_hour: str
    worst: str
    best_year: str
    fuel: str
    repair: str
    rubber: str
    worth_now: str
    capital: str
    kept_up: str
    resale: str
    jobs: tuple[str, ...]


@dataclass(frozen=True)
class DayRow:
    machine: str
    cells: tuple[str, ...]


@dataclass(frozen=True)
class BarRow:
    """A bar from low to high, per cent of the widest on each side of the answer's own net."""

    input: str
    left: float
    width: float
    says: str


def money(sum_: float, answer: Purchase) -> str:
    """Dollars, with a sign where it is a loss."""
    shown = quantities.show(abs(sum_), "money", answer.units)
    return f"-{shown}" if sum_ < -0.5 else shown


def option_rows(answer: Purchase) -> tuple[OptionRow, ...]:
    """Every option, the best first."""
    return tuple(
        OptionRow(
            name=o.name,
            how=HOW[o.how],
            best=o is answer.best,
            net=money(o.net, answer),
            gain=money(o.gain, answer),
            cost=money(o.cost, answer),
            hours=f"{o.hours:,.0f}",
            an_hour=f"${o.an_hour:.2f}" if o.hours > 1 else "never works",
            worst=money(min(o.nets), answer),
            best_year=money(max(o.nets), answer),
            fuel=f"${o.hourly.fuel + o.hourly.oil:.2f}",
            repair=f"${o.hourly.repair:.2f}" if o.how == "own" else "the owner's",
            rubber=f"${o.hourly.rubber:.2f}",
            worth_now=money(o.worth_now, answer),
            capital=money(o.yearly.capital, answer) if o.yearly else "",
            kept_up=money(o.yearly.insurance + o.yearly.storage, answer) if o.yearly else "",
            resale=f"{money(o.yearly.resale, answer)} after {o.yearly.kept:.1f} years" if o.yearly else "",
            jobs=tuple(f"{o.jobs[work.name]:.0f}" for work in answer.year.works),
        )
        for o in answer.options
    )


def day_rows(answer: Purchase) -> tuple[DayRow, ...]:
    """Workable days of each work's months: the middle year, and the worst and best of the record."""
    return tuple(DayRow(name, tuple(_days(d) for d in days)) for name, days in answer.days.items())


def _days(days: WorkDays) -> str:
    middle, worst, best = (f"{count:.0f}" for count in (days.middle, days.worst, days.best))
    return middle if worst == best else f"{middle} ({worst} to {best})"


def pair_sentences(answer: Purchase) -> list[str]:
    """Two together."""
    return [
        f"{' and '.join(f'{o.name} ({HOW[o.how]})' for o in p.options)}: {money(p.price, answer)} to find at once, "
        "leave "
        f"{money(p.net, answer)} a year; work for {money(p.undone, answer)} stays undone."
        for p in answer.pairs
    ]


def bar_rows(answer: Purchase) -> tuple[BarRow, ...]:
    """The tornado: each bar between the nets at its two ends."""
    if not answer.tornado:
        return ()
    ends = [end for bar in answer.tornado for end in (bar.low, bar.high)]
    low, span = min(ends), (max(ends) - min(ends)) or 1.0
    return tuple(
        BarRow(
            bar.input,
            round(100 * (min(bar.low, bar.high) - low) / span, 1),
            max(round(100 * bar.width / span, 1), 0.6),
            f"{money(bar.low, answer)} to {money(bar.high, answer)}",
        )
        for bar in answer.tornado
    )


def bar_sentence(bar: Bar, answer: Purchase) -> str:
    return f"{bar.input[:1].upper()}{bar.input[1:]}: {money(bar.low, answer)} to {money(bar.high, answer)} a year."


def break_even_sentences(answer: Purchase) -> list[str]:
    """From how many hours owning is cheaper than each offer."""
    told = []
    for one in answer.break_even:
        lead = f"Against rent by the {one.span}, ${one.rent:.2f} an hour when used to the full:"
        told.append(
            f"{lead} owning is cheaper from {one.hours:,.0f} h a year."
            if one.hours
            else f"{lead} renting is cheaper at any hours a year has."
        )
    return told


def missed_sentences(answer: Purchase) -> list[str]:
    return [
        f"{m.jobs:.0f} of {m.of:.0f} “{m.work}”, worth {money(m.pays, answer)} a year: {m.why}." for m in answer.missed
    ]
