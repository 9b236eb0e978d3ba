"""The owner's books: what a machine earns and costs in every year of the record, beside what the yard has."""

import dataclasses
from dataclasses import dataclass

import numpy as np

from pickrig.inputs.machine import Deal
from pickrig.inputs.year import Year
from pickrig.physics import cost
from pickrig.plans.field import Field
from pickrig.plans.owning import AS_IT_IS, Change, Yearly, hourly, rent_an_hour, rent_for, yearly
from pickrig.plans.purchase import Option
from pickrig.plans.schedule import Plan, best_plan
from pickrig.rulebook import Rules
from pickrig.scoring import Array

OWN, RENT = "own", "rent"


@dataclass(frozen=True)
class Books:
    """A field and its money. owned: rows of the machines the yard has."""

    field: Field
    year: Year
    rules: Rules
    owned: tuple[int, ...]
    _without: dict[Change, Plan] = dataclasses.field(default_factory=dict)

    def deal(self, m: int) -> Deal:
        deal = self.field.machines[m].deal
        if deal is None:
            raise ValueError(f"{self.field.machines[m].name} has no deal")
        return deal

    def ways(self, m: int) -> list[str]:
        """How this machine may be had."""
        deal = self.deal(m)
        return [OWN] * (deal.price is not None) + [RENT] * bool(rent_an_hour(deal, self.rules))

    def plan(
        self, chosen: tuple[int, ...], change: Change = AS_IT_IS, rented: int | None = None, like: int | None = None
    ) -> Plan:
        """The year's best schedule of these machines. like: a machine whose workable days the last is given."""
        f = self.field
        shares = f.shares[list(chosen)]
        if like is not None:
            shares[-1] = f.shares[like]
        wanted = f.wanted * np.array(change.jobs or np.ones(len(self.year.works)))[:, None]
        margins = self._margins(chosen, change, rented)
        return best_plan(f.hours[list(chosen)], shares, margins, wanted, f.available)

    def without(self, change: Change = AS_IT_IS) -> Plan:
        """The yard's own schedule."""
        if change not in self._without:
            self._without[change] = self.plan(self.owned, change)
        return self._without[change]

    def gains(self, plan: Plan, change: Change = AS_IT_IS) -> Array:
        """$ each year of the record adds to what the yard earns without."""
        return np.asarray(self.field.by_year(plan.margins - self.without(change).margins).sum(axis=-1))

    def option(self, m: int, how: str, change: Change = AS_IT_IS, like: int | None = None) -> Option:
        """One machine, bought or rented."""
        plan = self.plan((*self.owned, m), change, m if how == RENT else None, like)
        spent = self.field.by_year(self.hours_of(m, plan.jobs[-1])[1])
        hours = float(spent.sum() / len(self.field.years))
        bills, owning = self._bills(m, how, spent, change)
        own = hourly(self.field.machines[m], self._rubber(m, plan.jobs[-1]), self.year, self.rules, change)
        paid = own.total - (own.repair if how == RENT else 0.0) + self.year.operator_hour
        bill = float(bills.mean())
        gains = self.gains(plan, change)
        left = [0.0, *[float((gains - bills).mean())] * self.year.keep_years]
        return Option(
            machine=self.field.machines[m],
            how=how,
            gains=tuple(gains.tolist()),
            costs=tuple(bills.tolist()),
            hours=hours,
            jobs=self.jobs_of(plan.jobs[-1]),
            hourly=own,
            yearly=owning,
            an_hour=bill / hours + paid if hours > 1 else float("inf"),
            worth_now=float(cost.present_value(left, max(self.year.rate + change.rate, 0.0))),
        )

    def jobs_of(self, jobs: Array) -> dict[str, float]:
        """Jobs a year, by the name of the work."""
        a_year = jobs.sum(axis=1) / len(self.field.years)
        return {work.name: float(n) for work, n in zip(self.year.works, a_year, strict=True)}

    def hours_of(self, m: int, jobs: Array) -> tuple[Array, Array]:
        """Hours by work, and by period, that these jobs take one machine."""
        an_each = np.where(np.isfinite(self.field.hours[m]), self.field.hours[m], 0.0)[:, None] * jobs
        return an_each.sum(axis=1), an_each.sum(axis=0)

    def undone(self, plan: Plan) -> Array:
        """Jobs a year of each work that a plan leaves, fractions and all."""
        done = plan.jobs.sum(axis=(0, 2)) / len(self.field.years)
        return np.asarray(np.array([work.jobs for work in self.year.works]) - done)

    def own_cost(self, m: int, jobs: Array) -> float:
        """$ a year of owning one machine that does these jobs."""
        hours = float(self.hours_of(m, jobs)[1].sum() / len(self.field.years))
        return yearly(self.field.machines[m], hours, self.year, self.rules).total

    def _margins(self, chosen: tuple[int, ...], change: Change, rented: int | None) -> Array:
        """$ a job leaves once its hours are paid; a rented machine's repairs are its owner's."""
        out = np.zeros((len(chosen), len(self.year.works)))
        for row, m in enumerate(chosen):
            for w, work in enumerate(self.year.works):
                hours = self.field.hours[m, w]
                own = hourly(self.field.machines[m], float(self.field.rubber[m, w]), self.year, self.rules, change)
                paid = own.total - (own.repair if m == rented else 0.0) + self.year.operator_hour
                out[row, w] = work.pays - hours * paid if np.isfinite(hours) else 0.0
        return out

    def _rubber(self, m: int, jobs: Array) -> float:
        """Rubber over the hours it works, $/h."""
        hours = self.hours_of(m, jobs)[0]
        total = float(hours.sum())
        rubber = self.field.rubber[m]
        return float(np.sum(hours * rubber) / total) if total > 0 else float(rubber.mean())

    def _bills(self, m: int, how: str, spent: Array, change: Change) -> tuple[Array, Yearly | None]:
        """$ each year: owning, at the hours of the mean year; or renting month by month for the days at work."""
        years = len(self.field.years)
        if how == OWN:
            owning = yearly(self.field.machines[m], float(spent.sum() / years), self.year, self.rules, change)
            return np.full(years, owning.total), owning
        rents = [[rent_for(float(h), self.deal(m), self.rules) or 0.0 for h in months] for months in spent]
        return change.rent * np.sum(rents, axis=1), None
