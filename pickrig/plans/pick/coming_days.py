"""The same job on the coming days: who could go when."""

from collections.abc import Callable

from pickrig.checks.ground.site import Site
from pickrig.plans.pick.record import DayAhead, Standing


def days_ahead(sites: tuple[Site, ...], ranked: Callable[[Site], list[Standing]]) -> tuple[DayAhead, ...]:
    """For each day the weather covers: rain, each machine's chance, and the machine that would be picked then."""
    if len(sites) < 2:
        return ()
    days = []
    for site in sites:
        assert site.date is not None
        ranking = ranked(site)
        chances = {s.name: s.finding("floats").chance for s in ranking}
        days.append(DayAhead(site.date, site.rain, ranking[0].name if ranking[0].usable else None, chances))
    return tuple(days)


def better_day(days: tuple[DayAhead, ...], go: float) -> str:
    """What the coming days change, in a sentence: a better day, or the last good one; empty without a forecast."""
    if not days:
        return ""
    today, later = days[0], days[1:]
    if today.pick is None:
        first = next((day for day in later if day.pick is not None), None)
        return (
            f"Wait: from {_date(first)} {_who(first)}." if first else "No day the forecast covers lets any of them go."
        )
    held = {day.date: _chance(day, today.pick) for day in days}
    shut = next((day for day in later if day.pick is None), None)
    if shut is not None:
        return f"Go while it lasts: from {_date(shut)} none of them would hold."
    worse = next((day for day in later if held[day.date] < go <= held[today.date]), None)
    if worse is not None:
        return f"Go soon: on {_date(worse)} {today.pick} would hold with {100 * held[worse.date]:.0f} % chance."
    other = next((day for day in later if day.pick != today.pick), None)
    if other is not None:
        return f"On {_date(other)} {_who(other)} and lead."
    better = next((day for day in later if held[today.date] < go <= held[day.date]), None)
    if better is not None:
        return f"From {_date(better)} {_who(better)}."
    return "No day the forecast covers would change what goes."


def _date(day: DayAhead) -> str:
    return f"{day.date:%A} {day.date.day} {day.date:%B}"


def _chance(day: DayAhead, name: str) -> float:
    return day.chances.get(name) or 0.0


def _who(day: DayAhead) -> str:
    assert day.pick is not None
    return f"{day.pick} would hold with {100 * _chance(day, day.pick):.0f} % chance"
