"""The owner's books: what machines earn and cost in every year of the record, beside what the yard has."""

import dataclasses
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np

from pickrig.inputs.machine import Deal
from pickrig.inputs.year import Year
from pickrig.physics import cost
from pickrig.plans.buy.capability import Field
from pickrig.plans.buy.owning import AS_IT_IS, Change, hourly, rent_an_hour, rent_by_month, rent_for, yearly
from pickrig.plans.buy.record import Option
from pickrig.plans.buy.schedule import Plan, best_plan
from pickrig.rulebook import Rules
from pickrig.scoring import Array

OWN, RENT = "own", "rent"
Add = tuple[int, str]  # a machine by number, and how it is had


@dataclass(frozen=True)
class Venture:
    """Machines added to the yard. jobs[add, work, period]; yard[work, period]: jobs of its own machines;
    margins[period]: $ of yard and adds once hours are paid; rents[add, period]: $ of hire, in the months in which it
    pays."""

    jobs: Array
    yard: Array
    margins: Array
    rents: Array


@dataclass(frozen=True)
class Books:
    """A field and its money. owned: rows of the machines the yard has."""

    field: Field
    year: Year
    rules: Rules
    owned: tuple[int, ...]
    _plans: dict[tuple[object, ...], Plan] = dataclasses.field(default_factory=dict)

    def deal(self, m: int) -> Deal:
        deal = self.field.machines[m].deal
        if deal is None:
            raise ValueError(f"{self.field.machines[m].name} has no deal")
        return deal

    def ways(self, m: int) -> list[str]:
        """How this machine may be had."""
        deal = self.deal(m)
        return [OWN] * (deal.price is not None) + [RENT] * bool(rent_an_hour(deal, self.rules))

    def option(self, m: int, how: str, change: Change = AS_IT_IS, like: int | None = None) -> Option:
        """One machine, bought or rented. like: a machine whose workable days it is given."""
        venture = self.venture(((m, how),), change, like)
        jobs, years = venture.jobs[0], len(self.field.years)
        hours, meter = float(self.hours_of(m, jobs)[1].sum() / years), self._meter(m, jobs)
        gains, bills = self.gains(venture, change), self.field.by_year(venture.rents[0]).sum(axis=-1)
        owning = yearly(self.field.machines[m], meter, self.year, self.rules, change) if how == OWN else None
        bills = bills if owning is None else np.full(years, owning.total)
        own = hourly(self.field.machines[m], self._rubber(m, jobs), self._usual(m), self.year, self.rules, change)
        running = own.total - (own.repair if how == RENT else 0.0)
        paid = running * (meter / hours if hours > 0 else 1.0) + self.year.operator_hour
        kept = owning.kept if owning else float(self.year.keep_years)
        rate = max(self.year.rate + change.rate, 0.0)
        return Option(
            machine=self.field.machines[m],
            how=how,
            gains=tuple(gains.tolist()),
            costs=tuple(bills.tolist()),
            hours=hours,
            meter=meter,
            jobs=self.jobs_of(jobs),
            hourly=own,
            yearly=owning,
            an_hour=float(bills.mean()) / hours + paid if hours > 1 else float("inf"),
            worth_now=float((gains - bills).mean()) / float(cost.equal_annual_cost(1.0, 0.0, kept, rate)),
        )

    def venture(self, adds: tuple[Add, ...], change: Change = AS_IT_IS, like: int | None = None) -> Venture:
        """The best schedule of yard and adds; what is rented is hired only in the months in which that pays."""
        bought = tuple(m for m, how in adds if how == OWN)
        hired = tuple(m for m, how in adds if how == RENT)
        order = [m for m, _ in adds]
        jobs = np.zeros((len(adds), len(self.year.works), len(self.field.available)))
        rents = np.zeros((len(adds), len(self.field.available)))
        yard = np.zeros(jobs.shape[1:])
        margins = left = np.full(len(self.field.available), -np.inf)
        for some in _subsets(hired):
            plan = self.plan((*self.owned, *bought, *some), change, some, like)
            own, paid = np.zeros_like(jobs), np.zeros_like(rents)
            for m, row in zip((*bought, *some), plan.jobs[len(self.owned) :], strict=True):
                own[order.index(m)] = row
                if m in some:
                    paid[order.index(m)] = self._rent(m, row, change)
            better = plan.margins - paid.sum(axis=0) > left + 1e-9
            left = np.where(better, plan.margins - paid.sum(axis=0), left)
            margins, jobs = np.where(better, plan.margins, margins), np.where(better, own, jobs)
            rents = np.where(better, paid, rents)
            yard = np.where(better, plan.jobs[: len(self.owned)].sum(axis=0), yard)
        return Venture(jobs, yard, margins, rents)

    def plan(
        self, chosen: tuple[int, ...], change: Change = AS_IT_IS, hired: tuple[int, ...] = (), like: int | None = None
    ) -> Plan:
        """The best schedule of these machines, an hour of hire counted at its cheapest offer; margins before hire."""
        key = chosen, replace(change, price=1.0, resale=0.0, rate=0.0), hired, like
        if key not in self._plans:
            f = self.field
            days = f.days[change.days]
            shares, reach = days.open[list(chosen)], days.reach[list(chosen)]
            if like is not None:
                shares[len(self.owned) :], reach[len(self.owned) :] = days.open[like], days.reach[like]
            if change.down is not None:
                stands = np.arange(shares.shape[-1]) % 12 == change.down
                shares[len(self.owned) :, :, stands] = 0.0
            operators = self.year.operators if change.operators is None else change.operators
            people = f.available * (len(chosen) if operators is None else operators)
            wanted = f.wanted * np.array(change.jobs or np.ones(len(self.year.works)))[:, None]
            margins = self._margins(chosen, change, hired)
            hire = np.zeros((len(chosen), len(self.year.works)))
            for row, m in enumerate(chosen):
                if m in hired:
                    hire[row] = change.rent * self._hire_of_one(m)
            hours = f.hours[list(chosen)]
            after = margins - np.where(np.isfinite(hours), hire, 0.0)
            jobs = best_plan(hours, shares, reach, after, wanted, f.available, people).jobs
            self._plans[key] = Plan(jobs, np.einsum("mw,mwt->t", margins, jobs))
        return self._plans[key]

    def gains(self, venture: Venture, change: Change = AS_IT_IS) -> Array:
        """$ each year of the record adds to what the yard earns without, before owning and hire."""
        return np.asarray(self.field.by_year(venture.margins - self.plan(self.owned, change).margins).sum(axis=-1))

    def net(self, adds: tuple[Add, ...], change: Change = AS_IT_IS) -> float:
        """$ a year these leave together in the mean of the record."""
        return float(self.nets(adds, change).mean())

    def nets(self, adds: tuple[Add, ...], change: Change = AS_IT_IS) -> Array:
        """$ these leave together in each year of the record."""
        venture = self.venture(adds, change)
        owned = zip(adds, venture.jobs, strict=True)
        bills = sum(self._own_cost(m, jobs, change) for (m, how), jobs in owned if how == OWN)
        rents = self.field.by_year(venture.rents.sum(axis=0)).sum(axis=-1)
        return np.asarray(self.gains(venture, change) - bills - rents)

    def as_it_stands(self) -> float:
        """$ a year the yard leaves without any of them, once its hours are paid."""
        return float(self.plan(self.owned).margins.sum()) / len(self.field.years)

    def undone(self, adds: tuple[Add, ...]) -> Array:
        """Jobs a year of each work that yard and adds leave, fractions and all."""
        venture = self.venture(adds)
        done = (venture.jobs.sum(axis=0) + venture.yard).sum(axis=1) / len(self.field.years)
        return np.asarray(np.array([work.jobs for work in self.year.works]) - done)

    def jobs_of(self, jobs: Array) -> dict[str, float]:
        """Jobs a year, by the name of the work."""
        a_year = jobs.sum(axis=1) / len(self.field.years)
        return {work.name: float(n) for work, n in zip(self.year.works, a_year, strict=True)}

    def hours_of(self, m: int, jobs: Array) -> tuple[Array, Array]:
        """Hours by work, and by period, that these jobs take one machine."""
        an_each = np.where(np.isfinite(self.field.hours[m]), self.field.hours[m], 0.0)[:, None] * jobs
        return an_each.sum(axis=1), an_each.sum(axis=0)

    def _own_cost(self, m: int, jobs: Array, change: Change) -> float:
        """$ a year of owning one machine that does these jobs."""
        return yearly(self.field.machines[m], self._meter(m, jobs), self.year, self.rules, change).total

    def _meter(self, m: int, jobs: Array) -> float:
        """h a year that the machine runs on these jobs."""
        return float(self.field.meter[m] @ jobs.sum(axis=1)) / len(self.field.years)

    def _usual(self, m: int) -> float:
        """h a year of the meter where it did all the work it can, no more than the year has."""
        f = self.field
        own = np.where(np.isfinite(f.hours[m]), f.meter[m], 0.0) @ f.wanted[:, :12].sum(axis=1)
        return float(min(own, f.available[:12].sum()))

    def _each(self, m: int) -> Array:
        """$ of hire of one job of each work, fetched and brought back for it alone."""
        hours = np.where(np.isfinite(self.field.hours[m]), self.field.hours[m], 0.0)
        return np.array([rent_for(float(h), self.deal(m), self.rules) or 0.0 for h in hours])

    def _hire_of_one(self, m: int) -> Array:
        """$ of hire that a job of each work has to bear at the least: for itself, or of a month used to the full."""
        full = min(rent_an_hour(self.deal(m), self.rules).values())
        return np.asarray(np.minimum(self._each(m), full * self.field.hours[m]))

    def _rent(self, m: int, jobs: Array, change: Change) -> Array:
        """$ of hire in each month: a hire for every job, or the machine for the whole month."""
        apart, hours = self._each(m) @ jobs, self.hours_of(m, jobs)[1]
        whole = np.array([rent_by_month(float(h), self.deal(m), self.rules) for h in hours])
        return np.asarray(change.rent * np.minimum(apart, whole))

    def _margins(self, chosen: tuple[int, ...], change: Change, hired: tuple[int, ...]) -> Array:
        """$ a job leaves once its hours are paid; a hired machine's repairs are its owner's."""
        out = np.zeros((len(chosen), len(self.year.works)))
        for row, m in enumerate(chosen):
            for w, work in enumerate(self.year.works):
                hours, meter = self.field.hours[m, w], self.field.meter[m, w]
                own = hourly(
                    self.field.machines[m],
                    float(self.field.rubber[m, w]),
                    self._usual(m),
                    self.year,
                    self.rules,
                    change,
                )
                running = own.total - (own.repair if m in hired else 0.0)
                paid = meter * running + hours * self.year.operator_hour
                out[row, w] = work.pays - paid if np.isfinite(hours) else 0.0
        return out

    def _rubber(self, m: int, jobs: Array) -> float:
        """Rubber over the hours it runs, $/h."""
        hours = self.field.meter[m] * jobs.sum(axis=1)
        total = float(hours.sum())
        rubber = self.field.rubber[m]
        return float(np.sum(hours * rubber) / total) if total > 0 else float(rubber.mean())


def _subsets(hired: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
    """Of the machines on hire, none first."""
    for size in range(len(hired) + 1):
        yield from combinations(hired, size)
