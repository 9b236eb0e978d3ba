"""From what chance of holding a machine is sent, and from what it is worth a bet: ours, or by the costs of the job."""

from dataclasses import dataclass

from pickrig.facts import Chance, Quantity, Said, Statements
from pickrig.inputs import Job
from pickrig.plans.pick.money import setting
from pickrig.rulebook import Rules

_EVER = 0.05  # chance under which "from so many times" says nothing


@dataclass(frozen=True)
class Stakes:
    """Chance of holding from which a machine is sent plainly, and from which it is worth a bet. bogging, waiting: what
    either costs where the job says, $."""

    send: float
    bet: float
    bogging: float | None = None
    waiting: float | None = None

    @property
    def says(self) -> Statements:
        """What the job's own costs make of it."""
        if self.bogging is None or self.waiting is None:
            return ()
        costs = {"bogging": Quantity(self.bogging, "money"), "waiting": Quantity(self.waiting, "money")}
        if self.bet < _EVER:
            return (Said("tier.costs_alike", **costs),)
        return (Said("tier.costs", **costs, bet=Chance(self.bet), send=Chance(self.send)),)


def stakes(job: Job, rules: Rules) -> Stakes:
    """By what bogging costs times its chance over what a day's wait costs, where the job gives either; else by ours."""
    limits = rules.limits
    waiting = setting(job, rules, "lost_half_day")
    bogging = setting(job, rules, "recovery") + waiting
    given = job.costs.recovery is not None or job.costs.lost_half_day is not None
    if not given or bogging <= 0:
        return Stakes(limits.floats.go, limits.tiers.bet)
    send, bet = (max(1 - share * waiting / bogging, 0.0) for share in (limits.tiers.risk_send, limits.tiers.risk_bet))
    return Stakes(send, bet, bogging, waiting)
