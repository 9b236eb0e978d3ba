"""The ranking alone: what a slider moves while somebody looks."""

from dataclasses import dataclass

from pickrig.checks.ground.site import draw_site
from pickrig.facts import Statements
from pickrig.inputs import Fleet, Job
from pickrig.plans.pick.answer import DRAWS
from pickrig.plans.pick.ground_treatments import ground_helps
from pickrig.plans.pick.ranking import rank, weigh
from pickrig.plans.pick.reasons import answer
from pickrig.plans.pick.record import Standing
from pickrig.plans.pick.tier import tier_of
from pickrig.plans.pick.value_of_tests import worth_of_tests
from pickrig.plans.yard.teaching import Yard, taught
from pickrig.rulebook import Rules


@dataclass(frozen=True)
class Glance:
    """Machines in order, and the answer."""

    says: Statements
    ranking: tuple[Standing, ...]


def glance(job: Job, fleet: Fleet, rules: Rules, yard: Yard | None = None) -> Glance:
    """Who leads, by the same questions, weights and draws as a whole pick, and so with the same numbers."""
    job = taught(job, fleet, yard)
    site, weights = draw_site(job, rules, DRAWS, seed=0), weigh(job, rules)
    ranking = rank(job, fleet, rules, site, weights)
    first = next((standing for standing in ranking if standing.usable), None)
    worth = worth_of_tests(job, ranking, site, weights, rules, seed=0)
    tier = tier_of(job, first, worth, ground_helps(job, ranking, site, rules), rules)
    return Glance(answer(job, ranking, tier, rules), tuple(ranking))
