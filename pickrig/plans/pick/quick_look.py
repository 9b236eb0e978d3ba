"""The ranking alone: what a slider moves while somebody looks."""

from dataclasses import dataclass

from pickrig.checks.ground.site import draw_site
from pickrig.facts import Statements
from pickrig.inputs import Fleet, Job
from pickrig.plans.pick.answer import DRAWS
from pickrig.plans.pick.ranking import rank, weigh
from pickrig.plans.pick.reasons import answer
from pickrig.plans.pick.record import Standing
from pickrig.rulebook import Rules


@dataclass(frozen=True)
class Glance:
    """Machines in order, and the answer."""

    says: Statements
    ranking: tuple[Standing, ...]


def glance(job: Job, fleet: Fleet, rules: Rules) -> Glance:
    """Who leads, by the same questions, weights and draws as a whole pick, and so with the same numbers."""
    site = draw_site(job, rules, DRAWS, seed=0)
    ranking = rank(job, fleet, rules, site, weigh(job, rules))
    return Glance(answer(job, ranking, rules), tuple(ranking))
