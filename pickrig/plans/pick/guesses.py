"""Which of our guesses the pick's chance hangs on most, and what would settle it."""

from collections.abc import Iterator

from pickrig.checks import Case
from pickrig.checks.carrying import carry
from pickrig.checks.floats import floats
from pickrig.checks.ground.demand import needed, own_error
from pickrig.checks.ground.levels import levels
from pickrig.checks.ground.moisture import band
from pickrig.checks.ground.site import Site, draw_site
from pickrig.facts import Chance, Said
from pickrig.inputs import Job
from pickrig.plans.pick.record import Standing
from pickrig.rulebook import Rules
from pickrig.rulebook.moving import Path_, moved_rules

_DRAWS = 2000
_Guess = tuple[Job, Rules]


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
    for name, one_way, other_way in _guessed(job, pick, rules):
        yield name, (_chance(pick, *one_way, seed), _chance(pick, *other_way, seed))


def _guessed(job: Job, pick: Standing, rules: Rules) -> Iterator[tuple[str, _Guess, _Guess]]:
    """Each guess, with the job and the rules in which it is off one way, and the other."""
    tyres, values = pick.machine.tyres, rules.strength
    off = values["guess_off"].value
    if job.ground.soil is not None:
        if job.weather is None and job.ground.moisture is None:
            yield "wetness", (_wetter(job, rules, 1 + off), rules), (_wetter(job, rules, 1 - off), rules)
        some = values["density_off"].value
        yield (
            "density",
            (job, _denser(job.ground.soil, rules, 1 + some)),
            (job, _denser(job.ground.soil, rules, 1 - some)),
        )
    paths: list[tuple[str, Path_]] = [("spots", ("strength", "spot_spread", "value"))]
    if tyres is not None and tyres.inflation is None and tyres.kind != "solid":
        paths.append(("inflation", ("tyres", "inflation", "value")))
    for name, path in paths:
        yield name, (job, moved_rules(rules, path, 1 + off)), (job, moved_rules(rules, path, 1 - off))


def _wetter(job: Job, rules: Rules, times: float) -> Job:
    """The same job where the word stands for so many times the water."""
    assert job.ground.soil is not None
    low, best, high = (times * one for one in band(levels(rules.soils[job.ground.soil], rules), job.ground))
    return job.model_copy(update={"ground": job.ground.model_copy(update={"moisture": (low, best, high)})})


def _denser(key: str, rules: Rules, times: float) -> Rules:
    """The rules in which this soil lies so many times as dense."""
    soil = rules.soils[key]
    denser = soil.model_copy(update={"dry_density": times * levels(soil, rules).density})
    return rules.model_copy(update={"soils": {**rules.soils, key: denser}})


def _chance(pick: Standing, job: Job, rules: Rules, seed: int) -> float:
    site = draw_site(job, rules, _DRAWS, seed)
    return floats(Case(job, pick.machine, site, rules)).chance or 0.0
