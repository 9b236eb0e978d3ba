"""What the log of the yard moved in this answer, whom it rests on, and what one more outcome would teach."""

import json
from dataclasses import replace

from pickrig.checks import Case
from pickrig.checks.floats import floats
from pickrig.checks.ground.site import Site, draw_site
from pickrig.facts import Chance, Ruled, Said, Statements, Value, number
from pickrig.inputs import Fleet, Job
from pickrig.log.entry import TOO_SOFT, Entry
from pickrig.plans.pick.ranking import rank, weigh
from pickrig.plans.pick.record import Before, ByLog, Standing, by_strength
from pickrig.plans.yard.keys import ground_keys
from pickrig.plans.yard.teaching import Yard
from pickrig.rulebook import Rules

_DRAWS = 4_000
_MOVES = 0.025  # chance by which it moved: half of one in twenty


def by_log(
    job: Job, fleet: Fleet, yard: Yard | None, ranking: list[Standing], site: Site, rules: Rules, seed: int, draws: int
) -> ByLog | None:
    """None where there is no log, or it says nothing of this job."""
    if yard is None or not (yard.outcomes or yard.pace):
        return None
    plain = job.with_learned(None)
    books = rank(plain, fleet, rules, draw_site(plain, rules, draws, seed), weigh(plain, rules))
    before = {s.name: Before(s.finding("floats").chance, s.finding("floats").margin) for s in books}
    first = next((s for s in ranking if s.usable), None)
    shown = first or next(iter(ranking), None)
    if shown is not None and not by_strength(shown.finding("floats"), site):
        shown = None
    old = next((s.name for s in books if s.usable), None)
    says = [*_says(job, yard, shown, before, rules), *_other_pick(first, old), *_hours(job, yard)]
    keys = {*ground_keys(job, job.ground.soil or ""), ("pace", ""), ("pace_work", job.task.kind)}
    keys |= {("machine", s.name) for s in ranking}
    return ByLog(
        says=tuple(says),
        before=before,
        offsets=tuple(one for one in (*yard.offsets, *yard.pace) if (one.of, one.name) in keys),
        soils={key: rules.soils[key].name for of, key in keys if of == "soil"},
        kept=yard.kept,
        teaches=_teaches(job, yard, shown, before, rules, seed),
        selection=_selection(yard),
    )


def _says(job: Job, yard: Yard, shown: Standing | None, before: dict[str, Before], rules: Rules) -> Statements:
    """How many outcomes, of this soil where there are any, and what they made of the chance."""
    if yard.off:
        return (Said("log.off", jobs=len(yard.outcomes)),)
    if shown is None or not yard.outcomes:
        return ()
    now, then = shown.finding("floats").chance, before[shown.name].chance
    if now is None or then is None:
        return ()
    here = sum(entry.soil == job.ground.soil for entry, _ in yard.outcomes) if job.ground.soil else 0
    way = "more" if now - then > _MOVES else "less" if then - now > _MOVES else "same"
    given: dict[str, Value] = {"before": Chance(then), "after": Chance(now), "machine": shown.name}
    if here and job.ground.soil:
        soil = Ruled(rules.soils[job.ground.soil].name)
        return (Said(f"log.{way}_soil", jobs=here, soil=soil, **given),)
    return (Said(f"log.{way}_yard", jobs=len(yard.outcomes), **given),)


def _other_pick(first: Standing | None, old: str | None) -> Statements:
    now = first.name if first else None
    if now == old:
        return ()
    return (Said("log.other_pick", machine=old) if old else Said("log.no_pick"),)


def _hours(job: Job, yard: Yard) -> Statements:
    timed = next((one.jobs for one in yard.pace if one.of == "pace"), 0)
    return (Said("log.hours_ratio", jobs=timed, ratio=number(yard.hours(job), 2)),) if timed else ()


def _selection(yard: Yard) -> Statements:
    """Only what was sent leaves an outcome, unless somebody writes down what was not."""
    refused = any(entry.sent == TOO_SOFT for entry, _ in yard.outcomes)
    return (Said("log.selection"),) if refused or not yard.outcomes else (Said("log.no_refusals"),)


def _teaches(
    job: Job, yard: Yard, shown: Standing | None, before: dict[str, Before], rules: Rules, seed: int
) -> Statements:
    """The chance the same answer would give after this job held, and after it bogged."""
    if shown is None or yard.off or before[shown.name].margin is None:
        return ()
    books = Entry(
        job=job.title,
        machine=shown.name,
        day=yard.last_day,
        site=job.site or "",
        soil=job.ground.soil or "",
        outcome="held",
        margin=before[shown.name].margin,
    )
    word = next((name for of, name in ground_keys(job, "") if of == "word"), "")
    books = replace(books, answer=json.dumps({"job": {"ground": {"wetness": word}}}))
    chances = {}
    for outcome in ("held", "bogged"):
        then = replace(yard, entries=(*yard.entries, replace(books, outcome=outcome)))
        taught = job.with_learned(then.told(job, [shown.name]))
        site = draw_site(taught, rules, _DRAWS, seed)
        chances[outcome] = floats(Case(taught, shown.machine, site, rules)).chance
    held, bogged = chances["held"], chances["bogged"]
    if held is None or bogged is None or held - bogged < _MOVES:
        return ()
    return (Said("log.teaches", held=Chance(held), bogged=Chance(bogged)),)
