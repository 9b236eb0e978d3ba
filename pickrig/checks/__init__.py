"""The questions a foreman asks of every machine, one file each, all of one shape: Case in, Finding out.

Adding a question: a file here, its entry in `CHECKS`, a value curve in rules/curves.toml, a place in the rankings of
rules/work.toml, and a test.
"""

from collections.abc import Callable

from pickrig.checks.case import Case, MissingError
from pickrig.checks.climbs import climbs
from pickrig.checks.finding import Finding
from pickrig.checks.fits import fits
from pickrig.checks.floats import floats
from pickrig.checks.lifts import lifts
from pickrig.checks.wears import wears

CHECKS: dict[str, Callable[[Case], Finding]] = {
    "floats": floats,
    "fits": fits,
    "lifts": lifts,
    "climbs": climbs,
    "wears": wears,
}

QUESTIONS = {
    "floats": "Does the ground hold it?",
    "fits": "Does it get in and turn?",
    "lifts": "Can it lift the load?",
    "climbs": "Does it stand on the slope?",
    "wears": "What does it wear out?",
}

GATES = ("floats", "fits", "lifts", "climbs")
"""Questions that a machine must not leave open: a preference is never a gate."""

DEPENDS = {
    "floats": ("ground", "weather", "task"),
    "fits": ("access", "task.attachment"),
    "lifts": ("task",),
    "climbs": ("ground.grade", "ground.grade_across", "task"),
    "wears": ("ground.travel",),
}
"""Parts of a job each question hangs on: where only others change, its old findings still hold."""

UNITS = {"floats": "chance", "fits": "length", "lifts": "ratio", "climbs": "share", "wears": "rate of cost"}


def ask_all(case: Case, before: tuple[Finding, ...] = (), changed: str = "") -> tuple[Finding, ...]:
    """Every question's finding for one machine; what a missing figure leaves open comes back as "unknown".

    before, changed: findings of the same machine on a job that differs only in this part, such as "access.gate";
    questions that do not hang on it are not asked again.
    """
    if not before:
        return tuple(_ask(name, case) for name in CHECKS)
    return tuple(_ask(old.check, case) if hangs_on(old.check, changed) else old for old in before)


def hangs_on(check: str, part: str) -> bool:
    """Whether a question hangs on a part of the job: either is the other, or a piece of it."""
    return any(
        part == needed or part.startswith(f"{needed}.") or needed.startswith(f"{part}.") for needed in DEPENDS[check]
    )


def _ask(name: str, case: Case) -> Finding:
    try:
        return CHECKS[name](case)
    except MissingError as missing:
        return _unknown(name, case, missing)


def _unknown(name: str, case: Case, missing: MissingError) -> Finding:
    """What a missing figure leaves open: all of the machine's gaps at once, so that they are measured in one walk."""
    if missing.of_the_job:
        says, how = f"Cannot be told: {missing.key} is not given. {missing.how}", missing.how
        return Finding(name, "unknown", UNITS[name], says, remedy=how, depends_on=(missing.key,))
    gaps = ", ".join(gap.replace("_", " ").replace(".", " ") for gap in case.machine.gaps) or missing.key
    how = (
        "Give a size_class to fill what nobody measured, or put the figures in the fleet file; the plate has the load."
    )
    return Finding(
        name,
        "unknown",
        UNITS[name],
        f"Cannot be told: the fleet file lacks {gaps}.",
        remedy=how,
        depends_on=(f"machine.{missing.key}",),
    )


__all__ = ["CHECKS", "QUESTIONS", "Case", "Finding", "ask_all"]
