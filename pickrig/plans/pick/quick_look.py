"""The ranking alone, on fewer draws: what a slider moves while somebody looks."""

from dataclasses import dataclass

from pickrig.checks.ground.site import draw_site
from pickrig.facts import Statements
from pickrig.inputs import Fleet, Job
from pickrig.plans.pick.ranking import rank, weigh
from pickrig.plans.pick.reasons import answer
from pickrig.plans.pick.record import Standing
from pickrig.rulebook import Rules

_DRAWS = 2000  # a chance is then good to about a hundredth, and the answer comes while the slider still moves


@dataclass(frozen=True)
class Glance:
    """Machines in order, and the answer."""

    says: Statements
    ranking: tuple[Standing, ...]


def glance(job: Job, fleet: Fleet, rules: Rules) -> Glance:
    """Who leads, by the same questions and weights as a whole pick."""
    site = draw_site(job, rules, _DRAWS, seed=0)
    ranking = rank(job, fleet, rules, site, weigh(job, rules))
    return Glance(answer(job, ranking, rules), tuple(ranking))
