"""One job, one fleet: which machine? The table of contents of the answer."""

from dataclasses import replace
from functools import cached_property

from pickrig.checks import Case, Finding, asked
from pickrig.checks.ground.site import Site, draw_site, draw_sites
from pickrig.inputs import Fleet, Job, soft_share
from pickrig.inputs.job import attachment_of
from pickrig.plans.pick import advice, reasons
from pickrig.plans.pick.assumptions import assumed
from pickrig.plans.pick.by_log import by_log
from pickrig.plans.pick.coming_days import better_day, days_ahead
from pickrig.plans.pick.flips import Changed, find_flips
from pickrig.plans.pick.ground_treatments import ground_helps
from pickrig.plans.pick.guesses import hangs_on
from pickrig.plans.pick.if_rain import if_rain
from pickrig.plans.pick.job_summary import told
from pickrig.plans.pick.money import costs, money_says
from pickrig.plans.pick.operator_limits import limits_today
from pickrig.plans.pick.ranking import Before, rank, weigh
from pickrig.plans.pick.record import Moved, Recommendation, Standing
from pickrig.plans.pick.rig import rig
from pickrig.plans.pick.rival_gaps import catch_ups
from pickrig.plans.pick.robustness import robustness
from pickrig.plans.pick.scene import scene
from pickrig.plans.pick.snow_views import by_under, decided, snow_views
from pickrig.plans.pick.tier import tier_of
from pickrig.plans.pick.value_of_tests import worth_of_tests
from pickrig.plans.pick.weight_effects import moved
from pickrig.plans.pick.which_soil import by_soil
from pickrig.plans.yard.teaching import Yard, taught
from pickrig.rulebook import Rules

DRAWS = 10_000
_NOTHING = "weights"  # a part of the job that no question hangs on


def pick(
    job: Job, fleet: Fleet, rules: Rules, seed: int = 0, draws: int = DRAWS, yard: Yard | None = None
) -> Recommendation:
    """Ask every question of every machine, weigh the answers, and say which machine goes and why.

    yard: what the log of the yard teaches. The same inputs and seed give the same answer whatever the order of the
    machines.
    """
    job = taught(job, fleet, yard)
    asking = _Asking(job, fleet, rules, seed, draws)
    site, weights, order = asking.site, asking.weights, list(asking.weights)
    cases = asking.cases()
    robust = robustness(asking.ranked, weights, cases, rules, seed)
    ranking = [replace(s, first_share=robust.in_order.get(s.name, 0.0) if robust else 0.0) for s in asking.ranked]
    usable = [s for s in ranking if s.usable]
    first, second = ([*usable, None, None])[:2]
    views = snow_views(job, fleet, rules, site, asking.changed)
    days = days_ahead(asking.sites, asking.later)
    bills = costs(ranking, cases)
    # A test of the ground tells nothing of the stretch that decides.
    worth = (
        () if first and first.finding("floats").stretch else worth_of_tests(job, ranking, site, weights, rules, seed)
    )
    helps = ground_helps(job, ranking, site, rules)
    tier = tier_of(job, first, worth, helps, rules)
    return Recommendation(
        job=job,
        attachment=attachment_of(job.task, rules),
        questions={name: rules.questions[name] for name in asked(job, rules)},
        told=told(job, rules),
        site=site,
        answer=reasons.answer(job, ranking, tier, rules),
        tier=tier,
        close_call=reasons.is_close(first, second, rules),
        pick=first,
        scene=scene(cases[first.name], first) if first else None,
        runner_up=second,
        ranking=tuple(ranking),
        weights=weights,
        weighed=reasons.weighed(job, weights, rules),
        reasons=reasons.reasons(first, second, order),
        price=reasons.price(first, second, order, rules),
        robust=robust,
        hangs_on=hangs_on(job, first, site, rules, seed),
        costs=bills,
        money_says=money_says(first, ranking, bills),
        catch_ups=catch_ups(first, ranking, weights, rules),
        moved=asking.moved(ranking),
        why_over=reasons.why_over(first, usable, order),
        flips=find_flips(job, first, asking.picked, site, rules),
        days=days,
        if_rain=if_rain(job, fleet, first, site, rules),
        better_day=better_day(days, rules.limits.floats.go),
        by_soil=by_soil(job, rules, seed, asking.later),
        worth=worth,
        helps=helps,
        snow=views,
        snow_decided=(*decided(views, ranking, order, rules), *by_under(job, rules, asking.changed)),
        provisos=reasons.provisos(job, first, rules),
        cautions=advice.cautions(job, first, site, rules),
        walkaround=advice.walkaround(job, first, site, rules),
        fitting=advice.fitting(job, first, site, rules),
        nothing_happens=advice.nothing_happens(rules),
        today=limits_today(job, fleet, first, site, rules),
        glossary=advice.glossary(rules),
        assumed=assumed(job, ranking, site, rules),
        by_log=by_log(job, fleet, yard, ranking, site, rules, seed, draws),
        seed=seed,
        draws=draws,
    )


class _Asking:
    """One job put to one fleet, and the same with something changed: days later, other grip, one input turned."""

    def __init__(self, job: Job, fleet: Fleet, rules: Rules, seed: int, draws: int) -> None:
        self.job, self.fleet, self.rules, self.seed, self.draws = job, fleet, rules, seed, draws
        self.sites = draw_sites(job, rules, draws, seed)
        self.site = self.sites[0]
        self.weights = weigh(job, rules)
        self.ranked = rank(job, fleet, rules, self.site, self.weights)

    def cases(self) -> dict[str, Case]:
        truck, trailer = rig(self.job, self.fleet)
        return {m.name: Case(self.job, m, self.site, self.rules, truck, trailer) for m in self.fleet.machines}

    def later(self, site: Site) -> list[Standing]:
        """The ranking on another day's ground."""
        return rank(self.job, self.fleet, self.rules, site, self.weights)

    def changed(self, job: Job) -> list[Standing]:
        """The ranking of a changed job on the same ground."""
        return rank(job, self.fleet, self.rules, self.site, self.weights)

    def picked(self, changed: Changed) -> tuple[str | None, list[Standing]]:
        """The pick and the ranking with one part of the job changed; only what hangs on it is asked again."""
        ground = self._ground_of(changed.job).times(changed.strength)
        weights = weigh(changed.job, self.rules)
        standings = rank(changed.job, self.fleet, self.rules, ground, weights, Before(self._found, changed.part))
        return (standings[0].name if standings[0].usable else None), standings

    def moved(self, ranking: list[Standing]) -> tuple[Moved, ...]:
        """Against the usual weights of the kind of work; () where the job has none of its own."""
        if self.job.weights is None:
            return ()
        usual = weigh(self.job.model_copy(update={"weights": None}), self.rules)
        old = rank(self.job, self.fleet, self.rules, self.site, usual, Before(self._found, _NOTHING))
        return moved(old, ranking, self.weights, usual)

    @cached_property
    def _found(self) -> dict[str, tuple[Finding, ...]]:
        return {standing.name: standing.findings for standing in self.ranked}

    def _ground_of(self, changed: Job) -> Site:
        """Travel decides only whether the soil is asked at all, and slopes nothing: the same soil is drawn once."""
        job, rules = self.job, self.rules
        alike = {key: getattr(job.ground, key) for key in ("travel", "grade", "grade_across")}
        same_soil = changed.ground.model_copy(update=alike) == job.ground and changed.weather == job.weather
        same_asked = (soft_share(changed.ground, rules) > 0) == (soft_share(job.ground, rules) > 0)
        return self.site if same_soil and same_asked else draw_site(changed, rules, self.draws, self.seed)
