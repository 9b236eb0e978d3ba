"""Where nobody knows the soil: what would go on each it may be, and how often the ground would hold it."""

from collections.abc import Callable

from pickrig.checks.ground.site import Site, draw_site
from pickrig.checks.ground.soils import groups_of
from pickrig.facts import Chance, Ruled, Said, Statements
from pickrig.inputs import Job, soft_share
from pickrig.plans.pick.record import Standing
from pickrig.rulebook import Rules

_DRAWS = 2000
_MANY = 4  # soils that nobody reads the names of
_ALIKE = 0.05  # one time in 20: less is not told apart


def by_soil(job: Job, rules: Rules, seed: int, ranked: Callable[[Site], list[Standing]]) -> Statements:
    """A line for each machine that would be sent on some of the soils, with those soils; () where the soil is known.

    ranked: the ranking on another ground.
    """
    if job.ground.soil is not None or soft_share(job.ground, rules) == 0:
        return ()
    groups = groups_of(job, rules)
    if len(groups) == 1:
        return ()
    sent: dict[str | None, list[tuple[str, float]]] = {}
    for key in groups:
        known = job.model_copy(update={"ground": job.ground.model_copy(update={"soil": key, "ribbon": None})})
        best = ranked(draw_site(known, rules, _DRAWS, seed))[0]
        if best.finding("floats").stretch:  # the soil is not what decides
            return ()
        chance = best.finding("floats").chance
        sent.setdefault(best.name if best.usable else None, []).append((rules.soils[key].name, chance or 0.0))
    return tuple(_told(machine, soils) for machine, soils in sent.items())


def _told(machine: str | None, soils: list[tuple[str, float]]) -> Said:
    names = tuple(Ruled(name) for name, _ in soils)
    if machine is None and len(names) > _MANY:
        return Said("by_soil.none_any", count=len(names))
    if machine is None:
        return Said("by_soil.none", soils=names)
    low, high = (Chance(end(chance for _, chance in soils)) for end in (min, max))
    if high.value - low.value < _ALIKE:
        return Said("by_soil.one", machine=machine, soils=names, chance=low)
    return Said("by_soil.sent", machine=machine, soils=names, low=low, high=high)
