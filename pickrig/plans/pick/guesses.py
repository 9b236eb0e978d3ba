"""Which of our guesses the pick's chance hangs on most, and what would settle it."""

from collections.abc import Iterator

from pickrig.checks import Case
from pickrig.checks.carrying import carry
from pickrig.checks.floats import floats
from pickrig.checks.ground.demand import needed, own_error
from pickrig.checks.ground.site import Site, draw_site
from pickrig.facts import Chance, Said
from pickrig.inputs import Job
from pickrig.plans.pick.record import Standing
from pickrig.rulebook import Rules
from pickrig.rulebook.moving import Path_, moved_rules

_DRAWS = 2000


def hangs_on(job: Job, pick: Standing | None, site: Site, rules: Rules, seed: int) -> Said | None:
    """The guess that moves the chance most when it is a fifth off either way, with both chances; None where none moves
    it much, or the ground is not fine soil."""
    if pick is None or site.family != "fine" or pick.finding("floats").provided is not None:
        return None
    swings = {name: (min(ends), max(ends)) for name, ends in _ends(job, pick, site, rules, seed)}
    how = Said("settle.again") if job.ground.tested else Said("settle.test")
    name = max(swings, key=lambda one: swings[one][1] - swings[one][0])
    low, high = swings[name]
    if high - low < rules.limits.tiers.tell_guess:
        return None
    return Said(f"guess.{name}", low=Chance(low), high=Chance(high), how=how)


def _ends(job: Job, pick: Standing, site: Site, rules: Rules, seed: int) -> Iterator[tuple[str, tuple[float, float]]]:
    """Each guess that this job leaves to us, with the chance at its two ends."""
    case = Case(job, pick.machine, site, rules)
    loading = carry(case)
    voices = site.voice_chances(pick.machine.gear, needed(case, loading, loading.payload), own_error(case))
    if voices is not None:
        yield "equations", voices
    for name, path, off in _paths(job, pick, rules):
        ends = (_chance(job, pick, moved_rules(rules, path, 1 + step), seed) for step in (off, -off))
        yield name, (next(ends), next(ends))


def _paths(job: Job, pick: Standing, rules: Rules) -> Iterator[tuple[str, Path_, float]]:
    """Each guess, where it stands, and how far it may be off."""
    soil, tyres, values = job.ground.soil, pick.machine.tyres, rules.strength
    off = values["guess_off"].value
    if soil is not None:
        if job.weather is None and job.ground.moisture is None:
            yield "wetness", ("soils", soil, "moisture"), off
        yield "density", ("soils", soil, "dry_density"), values["density_off"].value
    yield "spots", ("strength", "spot_spread", "value"), off
    if tyres is not None and tyres.inflation is None and tyres.kind != "solid":
        yield "inflation", ("tyres", "inflation", "value"), off


def _chance(job: Job, pick: Standing, rules: Rules, seed: int) -> float:
    site = draw_site(job, rules, _DRAWS, seed)
    return floats(Case(job, pick.machine, site, rules)).chance or 0.0
