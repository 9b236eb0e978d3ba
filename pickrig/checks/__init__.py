"""The questions a foreman asks of every machine, one file each, all of one shape: Case in, Finding out.

Adding a question: a file here, its entry in `CHECKS`, its words and value curve in rules/questions.toml, a place in the
rankings of rules/work.toml, and a test.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

from pickrig.checks.case import Case, MissingError
from pickrig.checks.climbs import applies as has_a_slope
from pickrig.checks.climbs import climbs
from pickrig.checks.finding import WORST_FIRST, Account, Finding
from pickrig.checks.fits import fits
from pickrig.checks.floats import floats
from pickrig.checks.grips import grips
from pickrig.checks.hauls import applies as is_hauled
from pickrig.checks.hauls import hauls
from pickrig.checks.lifts import applies as is_lifted
from pickrig.checks.lifts import lifts
from pickrig.checks.powers import applies as runs_on_oil
from pickrig.checks.powers import powers
from pickrig.checks.produces import applies as has_a_clock
from pickrig.checks.produces import produces
from pickrig.checks.spares_surface import spares_surface
from pickrig.checks.wears import wears
from pickrig.facts import Key, Ruled, Said
from pickrig.inputs import Job
from pickrig.inputs.job import Stretch
from pickrig.rulebook import Rules


def _always(_job: Job, _rules: Rules) -> bool:
    return True


@dataclass(frozen=True)
class Check:
    """One question: how it is asked, the parts of a job it hangs on, and which jobs it is asked of.

    depends: where only other parts change, an old finding still holds. gates: a machine must not leave it open; a mere
    preference never gates.
    """

    ask: Callable[[Case], Finding]
    depends: tuple[str, ...]
    gates: bool = True
    applies: Callable[[Job, Rules], bool] = _always


_SLOPES = ("ground.grade", "ground.grade_across")
_LOAD = ("task", *_SLOPES, "ground.travel", "country")  # what a machine may carry hangs on these
_WHERE = ("ground", "weather", "snow", "country", "task")

CHECKS: dict[str, Check] = {
    "floats": Check(floats, _WHERE),
    "grips": Check(grips, _WHERE),
    "fits": Check(fits, ("access", "task.attachment", "task.kind")),
    "lifts": Check(lifts, _LOAD, applies=is_lifted),
    "powers": Check(powers, _LOAD, applies=runs_on_oil),
    "climbs": Check(climbs, _LOAD, applies=has_a_slope),
    "produces": Check(produces, _WHERE, applies=has_a_clock),
    "spares_surface": Check(spares_surface, (*_WHERE, "hazards"), gates=False),
    "hauls": Check(hauls, ("haul", *_LOAD), applies=is_hauled),
    "wears": Check(wears, (*_WHERE, "hazards"), gates=False),
}


def asked(job: Job, rules: Rules) -> list[str]:
    """The questions this job asks of every machine."""
    return [name for name, check in CHECKS.items() if check.applies(job, rules)]


def ask_all(case: Case, before: tuple[Finding, ...] = (), changed: str = "") -> tuple[Finding, ...]:
    """Every question's finding for one machine; what a missing figure leaves open comes back as "unknown".

    before, changed: findings of the same machine on a job that differs only in this part, such as "access.gate";
    questions that do not hang on it are not asked again.
    """
    old = {finding.check: finding for finding in before}
    return tuple(
        old[name] if name in old and not hangs_on(name, changed) else _ask(name, case)
        for name in asked(case.job, case.rules)
    )


def hangs_on(check: str, part: str) -> bool:
    """Whether a question hangs on a part of the job: either is the other, or a piece of it."""
    return any(
        part == needed or part.startswith(f"{needed}.") or needed.startswith(f"{part}.")
        for needed in CHECKS[check].depends
    )


def _ask(name: str, case: Case) -> Finding:
    """Of the ground of the job, or of the stretch of the way that is worst for this machine."""
    found = _ask_here(name, case)
    if name not in _ALONG_THE_WAY:
        return found
    for number, stretch in enumerate(case.job.stretch, 1):
        there = _at(case, number)
        if CHECKS[name].applies(there.job, case.rules):
            found = min(found, _on_stretch(_ask_here(name, there), number, stretch), key=_badness)
    return found


def _at(case: Case, number: int) -> Case:
    stretch = case.job.stretch[number - 1]
    return replace(case, job=case.job.on(stretch), site=case.site.along[number - 1], memory={})


def where_found(case: Case, finding: Finding) -> Case:
    """The case of the stretch that decided; the case itself where the ground of the job did."""
    return _at(case, finding.stretch) if finding.stretch else case


def ask_on(case: Case, number: int, name: str) -> Finding:
    """What one question finds on one stretch of the way, told of it alone."""
    return _ask_here(name, _at(case, number))


_ALONG_THE_WAY = ("floats", "grips", "fits", "climbs", "spares_surface")


def _badness(finding: Finding) -> tuple[int, float]:
    value = finding.chance if finding.chance is not None else finding.margin
    return WORST_FIRST.index(finding.verdict), 1e9 if value is None else value


def _on_stretch(finding: Finding, number: int, stretch: Stretch) -> Finding:
    """The same finding, told of this stretch."""
    name = stretch.name or Ruled(stretch.surface or stretch.soil or "")

    def account() -> Account:
        told = finding.account()
        return replace(told, says=(Said("stretch.on", number=number, name=name, said=told.says[0]), *told.says[1:]))

    return replace(finding, stretch=number, account=account)


def _ask_here(name: str, case: Case) -> Finding:
    try:
        return CHECKS[name].ask(case)
    except MissingError as missing:
        return _unknown(name, case, missing)


def _unknown(name: str, case: Case, missing: MissingError) -> Finding:
    """What a missing figure leaves open: all of the machine's gaps at once, so that they are measured in one walk."""
    unit = case.rules.questions[name].dimension
    if missing.how is not None:
        needs = Said("missing.of_the_job", key=Key(missing.key))
        how = (missing.how,)
        return Finding(
            name, "unknown", unit, depends_on=(missing.key,), account=lambda: Account((needs, *how), remedy=how)
        )
    gaps = tuple(Key(gap) for gap in case.machine.gaps) or (Key(missing.key),)
    return Finding(
        name,
        "unknown",
        unit,
        depends_on=(f"machine.{missing.key}",),
        account=lambda: Account((Said("missing.of_the_machine", gaps=gaps),), (Said("missing.give_size_class"),)),
    )


__all__ = ["CHECKS", "Case", "Finding", "ask_all", "ask_on", "asked", "where_found"]
