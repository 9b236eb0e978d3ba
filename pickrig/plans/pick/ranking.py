"""Every machine asked every question, weighed and put in order."""

from dataclasses import dataclass
from math import inf

import numpy as np

from pickrig import scoring
from pickrig.checks import Case, Finding, ask_all, asked
from pickrig.checks.ground.site import Site
from pickrig.checks.spares_surface import is_soft_asphalt
from pickrig.errors import InputError
from pickrig.inputs import Fleet, Job, soft_share
from pickrig.plans.pick.beginner import with_margins
from pickrig.plans.pick.record import Standing
from pickrig.plans.pick.rig import rig
from pickrig.rulebook import Rules
from pickrig.rulebook.tables import First


def weigh(job: Job, rules: Rules) -> dict[str, float]:
    """Weight of each question the job asks, heaviest first: the job's own points or ranking, else its work's ranking.

    In a ranking of the job's own, questions it does not name follow in the order of its kind of work, moved up by what
    the site has. Raises InputError
    where all points go to questions that this job does not ask.
    """
    wanted = asked(job, rules)
    usual = [name for name in _raised(job, rules) if name in wanted]
    if job.weights and job.weights.points:
        points = {name: job.weights.points.get(name, 0.0) for name in usual}
        if not any(points.values()):
            raise InputError(job.fault(("weights", "points"), "fault.points_astray", names=tuple(usual)))
        ordered = sorted(points, key=lambda name: -points[name])
        return dict(zip(ordered, scoring.from_points([points[n] for n in ordered]).tolist(), strict=True))
    own = [name for name in (job.weights and job.weights.ranking) or [] if name in wanted]
    ranking = [*own, *(name for name in usual if name not in own)]
    return dict(zip(ranking, scoring.rank_order_centroid(len(ranking)).tolist(), strict=True))


def _raised(job: Job, rules: Rules) -> list[str]:
    """The ranking of the work, questions moved up by what the site has."""
    ranking = list(rules.work[job.task.kind].ranking)
    for row in raises(job, rules):
        place = row.place - 1 if row.firm else min(row.place - 1, ranking.index(row.question))
        ranking.remove(row.question)
        ranking.insert(place, row.question)
    return ranking


def raises(job: Job, rules: Rules) -> list[First]:
    """What the site has that makes a question matter more."""
    return [row for row in rules.first.values() if _has(job, row, rules)]


def _has(job: Job, row: First, rules: Rules) -> bool:
    access = job.access
    ways = (access.gate, access.passage, *(stretch.width for stretch in job.stretch))
    openings = [width for width in ways if width is not None]
    lanes = [*(access.bend or ()), access.lane or inf]
    return (
        (row.firm and soft_share(job.ground, rules) == 0 and not job.stretch)
        or (row.soft_asphalt and "asphalt" in job.surfaces and is_soft_asphalt(job, rules))
        or bool(job.surfaces.intersection(row.surfaces))
        or (row.grade is not None and max(job.grades, default=0.0) >= row.grade)
        or (row.opening is not None and min(openings, default=inf) < row.opening)
        or (row.lane is not None and min(lanes) < row.lane)
    )


@dataclass(frozen=True)
class Before:
    """Each machine's findings on the job before one part of it was changed."""

    findings: dict[str, tuple[Finding, ...]]
    part: str


def rank(
    job: Job,
    fleet: Fleet,
    rules: Rules,
    site: Site,
    weights: dict[str, float],
    old: Before | None = None,
) -> list[Standing]:
    """Every machine's standing: usable first, then by score; the order of the file plays no part."""
    truck, trailer = rig(job, fleet)
    rules = with_margins(job, rules)
    findings = [
        ask_all(
            Case(job, machine, site, rules, truck, trailer),
            old.findings[machine.name] if old else (),
            old.part if old else "",
        )
        for machine in fleet.machines
    ]
    values = np.column_stack([_values([_of(f, name) for f in findings], name, rules) for name in weights])
    parts = 100 * scoring.contributions(values, list(weights.values()))
    standings = [
        Standing(machine, answers, tuple(own.tolist()), float(own.sum()))
        for machine, answers, own in zip(fleet.machines, findings, parts, strict=True)
    ]
    return sorted(standings, key=lambda s: (not s.usable, -s.score, s.name))


def _of(findings: tuple[Finding, ...], check: str) -> Finding:
    return next(finding for finding in findings if finding.check == check)


def _values(findings: list[Finding], check: str, rules: Rules) -> scoring.Array:
    """One question's findings on its value curve; what is unknown is worth nothing."""
    known = np.array([f.value is not None and f.verdict != "unknown" for f in findings])
    curve = rules.questions[check]
    numbers = [0.0 if f.value is None else f.value for f in findings]
    return np.where(known, scoring.piecewise_value(numbers, curve.points, curve.values), 0.0)
