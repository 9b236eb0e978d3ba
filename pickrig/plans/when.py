"""The same job on the coming days: who could go when."""

from collections.abc import Callable

from pickrig.checks.site import Site
from pickrig.plans.recommendation import DayAhead, Standing


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
    """The first later day on which another machine, or the same one safely, could go; empty if none."""
    if not days:
        return ""
    today = days[0]
    for day in days[1:]:
        if day.pick is None:
            continue
        chance = day.chances[day.pick]
        before = today.chances.get(day.pick)
        if today.pick is None:
            return f"Wait: from {day.date:%A %d %B} {day.pick} could go ({100 * (chance or 0):.0f} % chance)."
        if day.pick != today.pick:
            return f"On {day.date:%A %d %B} {day.pick} would lead ({100 * (chance or 0):.0f} % chance that it holds)."
        if chance is not None and before is not None and before < go <= chance:
            return f"From {day.date:%A %d %B} {day.pick} would hold with {100 * chance:.0f} % chance."
    return "No day the forecast covers would change what goes."
