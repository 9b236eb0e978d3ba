"""The same job on the coming days: who could go when."""

from collections.abc import Callable

from pickrig.checks.ground.site import Site
from pickrig.facts import Chance, Said
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


def better_day(days: tuple[DayAhead, ...], go: float) -> Said | None:
    """What the coming days change: a better day, or the last good one; None without a forecast."""
    if not days:
        return None
    today, later = days[0], days[1:]
    if today.pick is None:
        first = next((day for day in later if day.pick is not None), None)
        return _then("when.wait", first) if first else Said("when.no_day")
    held = {day.date: _chance(day, today.pick) for day in days}
    shut = next((day for day in later if day.pick is None), None)
    if shut is not None:
        return Said("when.while_it_lasts", date=shut.date)
    worse = next((day for day in later if held[day.date] < go <= held[today.date]), None)
    if worse is not None:
        return Said("when.go_soon", date=worse.date, machine=today.pick, chance=Chance(held[worse.date], go))
    other = next((day for day in later if day.pick != today.pick), None)
    if other is not None:
        return _then("when.other", other)
    better = next((day for day in later if held[today.date] < go <= held[day.date]), None)
    return _then("when.better", better) if better is not None else Said("when.same")


def _chance(day: DayAhead, name: str) -> float:
    return day.chances.get(name) or 0.0


def _then(key: str, day: DayAhead) -> Said:
    assert day.pick is not None
    return Said(key, date=day.date, machine=day.pick, chance=Chance(_chance(day, day.pick)))
