"""One job, one fleet: which machine?"""

from dataclasses import dataclass, replace

import numpy as np

from pickrig import scoring
from pickrig.checks import Case, Finding, ask_all, asked
from pickrig.checks.ground.site import Site, draw_site, draw_sites
from pickrig.errors import InputError
from pickrig.inputs import Fleet, Job, soft_share
from pickrig.plans.pick import advice, reasons
from pickrig.plans.pick.coming_days import better_day, days_ahead
from pickrig.plans.pick.flips import Changed, find_flips
from pickrig.plans.pick.ground_treatments import ground_helps
from pickrig.plans.pick.job_summary import told
from pickrig.plans.pick.money import costs, money_says
from pickrig.plans.pick.operator_limits import limits_today
from pickrig.plans.pick.record import Moved, Recommendation, Standing
from pickrig.plans.pick.rig import rig
from pickrig.plans.pick.rival_gaps import catch_ups
from pickrig.plans.pick.robustness import robustness
from pickrig.plans.pick.snow_views import decided, snow_views
from pickrig.plans.pick.value_of_tests import worth_of_tests
from pickrig.plans.pick.weight_effects import moved
from pickrig.quantities import System
from pickrig.rulebook import Rules

DRAWS = 10_000
_NOTHING = "weights"  # a part of the job that no question hangs on


def pick(
    job: Job, fleet: Fleet, rules: Rules, units: System = "us", seed: int = 0, draws: int = DRAWS
) -> Recommendation:
    """Ask every question of every machine, weigh the answers, and say which machine goes and why.

    The same inputs and seed give the same answer whatever the order of the machines.
    """
    sites = draw_sites(job, rules, draws, seed)
    site = sites[0]
    weights = weigh(job, rules)
    ranking = rank(job, fleet, rules, site, weights, units)
    truck, trailer = rig(job, fleet)
    cases = {m.name: Case(job, m, site, rules, units, truck=truck, trailer=trailer) for m in fleet.machines}
    robust = robustness(ranking, weights, cases, rules, seed)
    ranking = [replace(s, first_share=robust.in_order.get(s.name, 0.0) if robust else 0.0) for s in ranking]
    usable = [s for s in ranking if s.usable]
    first, second = ([*usable, None, None])[:2]

    def ground_of(changed: Job) -> Site:
        # Travel decides only whether the soil is asked at all, and slopes nothing: the same soil is not drawn again.
        alike = {key: getattr(job.ground, key) for key in ("travel", "grade", "grade_across")}
        same_soil = changed.ground.model_copy(update=alike) == job.ground
        same_soil = same_soil and changed.weather == job.weather
        same_asked = (soft_share(changed.ground, rules) > 0) == (soft_share(job.ground, rules) > 0)
        return site if same_soil and same_asked else draw_site(changed, rules, draws, seed)

    before = {standing.name: standing.findings for standing in ranking}

    def picked(changed: Changed) -> tuple[str | None, list[Standing]]:
        ground = ground_of(changed.job).times(changed.strength)
        old = Before(before, changed.part)
        weighed = weigh(changed.job, rules)
        standings = rank(changed.job, fleet, rules, ground, weighed, units, brief=True, old=old)
        return (standings[0].name if standings[0].usable else None), standings

    views = snow_views(
        job, fleet, rules, site, units, lambda j: rank(j, fleet, rules, site, weights, units, brief=True)
    )
    days = days_ahead(sites, lambda later: rank(job, fleet, rules, later, weights, units, brief=True))
    bills = costs(ranking, cases)
    return Recommendation(
        job=job,
        attachment=job.task.attachment or rules.work[job.task.kind].attachment,
        questions={name: rules.questions[name] for name in asked(job, rules)},
        told=told(job, rules, units),
        units=units,
        site=site,
        answer=reasons.answer(job, ranking, rules),
        close_call=reasons.is_close(first, second, rules),
        pick=first,
        runner_up=second,
        ranking=tuple(ranking),
        weights=weights,
        weighed=reasons.weighed(job, weights, rules),
        reasons=reasons.reasons(first, second, list(weights)),
        price=reasons.price(first, second, list(weights), rules),
        robust=robust,
        costs=bills,
        money_says=money_says(first, ranking, bills, units),
        catch_ups=catch_ups(first, ranking, weights, rules, units),
        moved=_moved(job, fleet, rules, site, ranking, weights, units, before),
        why_over=reasons.why_over(first, usable, list(weights)),
        flips=find_flips(job, first, picked, site, rules, units),
        days=days,
        better_day=better_day(days, rules.limits.floats.go),
        worth=worth_of_tests(job, ranking, site, weights, rules, seed),
        helps=ground_helps(job, ranking, site, rules, units),
        snow=views,
        snow_decided=decided(views),
        provisos=reasons.provisos(job, first, rules),
        cautions=advice.cautions(job, first, site, rules),
        walkaround=advice.walkaround(job, first, site, rules),
        fitting=advice.fitting(job, first, site, rules),
        nothing_happens=advice.nothing_happens(rules),
        today=limits_today(job, fleet, first, site, rules, units),
        glossary=advice.glossary(rules),
        assumed=advice.assumed(job, ranking, site, rules, units),
        seed=seed,
        draws=draws,
    )


def _moved(
    job: Job,
    fleet: Fleet,
    rules: Rules,
    site: Site,
    ranking: list[Standing],
    weights: dict[str, float],
    units: System,
    before: dict[str, tuple[Finding, ...]],
) -> tuple[Moved, ...]:
    """Against the usual weights of the kind of work; () where the job has none of its own."""
    if job.weights is None:
        return ()
    usual = weigh(job.model_copy(update={"weights": None}), rules)
    old = rank(job, fleet, rules, site, usual, units, brief=True, old=Before(before, _NOTHING))
    return moved(old, ranking, weights, usual)


def weigh(job: Job, rules: Rules) -> dict[str, float]:
    """Weight of each question the job asks, heaviest first: the job's own points or ranking, else its work's ranking.

    In a ranking of the job's own, questions it does not name follow in the order of its kind of work. Raises InputError
    where all points go to questions that this job does not ask.
    """
    wanted = asked(job, rules)
    usual = [name for name in rules.work[job.task.kind].ranking if name in wanted]
    if job.weights and job.weights.points:
        points = {name: job.weights.points.get(name, 0.0) for name in usual}
        if not any(points.values()):
            place, known = job.at(("weights", "points")), ", ".join(usual)
            raise InputError([f"{place}: are all for questions this job does not ask; it asks {known}"])
        ordered = sorted(points, key=lambda name: -points[name])
        return dict(zip(ordered, scoring.from_points([points[n] for n in ordered]).tolist(), strict=True))
    own = [name for name in (job.weights and job.weights.ranking) or [] if name in wanted]
    ranking = [*own, *(name for name in usual if name not in own)]
    return dict(zip(ranking, scoring.rank_order_centroid(len(ranking)).tolist(), strict=True))


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
    units: System,
    brief: bool = False,
    old: Before | None = None,
) -> list[Standing]:
    """Every machine's standing: usable first, then by score; the order of the file plays no part."""
    truck, trailer = rig(job, fleet)
    findings = [
        ask_all(
            Case(job, machine, site, rules, units, brief, truck, trailer),
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
