"""What a machine costs by the hour and by the year, owned or rented."""

from dataclasses import dataclass
from math import ceil

from pickrig.checks.wears import set_price
from pickrig.inputs import Machine
from pickrig.inputs.machine import Deal
from pickrig.inputs.year import Year
from pickrig.physics import cost
from pickrig.plans.buy.workable_days import Kind
from pickrig.rulebook import Rules

GALLON = 3.785411784e-3
HOUR = 3600.0
_LONGEST_MONTH = 23  # working days of a month of 31 days that starts on a Monday


@dataclass(frozen=True)
class Hourly:
    """What an hour of work costs besides owning, $: fuel, oil and filters, repairs, rubber."""

    fuel: float
    oil: float
    repair: float
    rubber: float

    @property
    def total(self) -> float:
        return self.fuel + self.oil + self.repair + self.rubber


@dataclass(frozen=True)
class Yearly:
    """What owning costs a year, $: the price over the years at the cost of money, less resale; insurance, storage."""

    capital: float
    insurance: float
    storage: float
    resale: float  # $ at the end
    kept: float  # years

    @property
    def total(self) -> float:
        return self.capital + self.insurance + self.storage


@dataclass(frozen=True)
class Change:
    """Factors and steps the sensitivities turn. jobs: a factor on the jobs to be had, by kind of work. days: those that
    count. down: a month in which what is added stands in the shop. operators: how many run machines at once."""

    jobs: tuple[float, ...] | None = None
    days: Kind = "lots"
    down: int | None = None
    operators: int | None = None
    price: float = 1.0
    rent: float = 1.0
    resale: float = 0.0
    fuel: float = 1.0
    repair: float = 1.0
    load: float | None = None
    rate: float = 0.0


AS_IT_IS = Change()


def hourly(
    machine: Machine, rubber: float, hours: float, year: Year, rules: Rules, change: Change = AS_IT_IS
) -> Hourly:
    """rubber: $/h of tracks or tyres on the year's mix of surfaces. hours: of the meter a year, by which repairs rise
    while it is kept. A machine rented burns the same fuel and rubber."""
    owning = rules.owning
    load = change.load if change.load is not None else owning["load_factor"].value
    power = machine.power or 0.0
    fuel = float(cost.fuel_flow(power, load)) * HOUR / GALLON * year.fuel_gallon * change.fuel
    deal = machine.deal
    new = _new(deal) if deal else 0.0
    rubber_price = set_price(machine, rules) or 0.0
    factor = owning["repair_factor"].value * change.repair
    life = life_hours(machine, rules)
    run = (deal.meter or 0.0) / HOUR if deal else 0.0
    end = run + hours * years_kept(hours, machine, year, rules)
    aged = float(cost.repair_share(run, end, life, owning["repair_rise"].value))
    repair = max(float(cost.repair_rate(new, rubber_price, factor, life)) * aged, 0.0)
    return Hourly(fuel, owning["oil_and_filters"].value * fuel, repair, rubber)


def life_hours(machine: Machine, rules: Rules) -> float:
    """Economic life, h."""
    own = machine.deal.life if machine.deal else None
    return own / HOUR if own is not None else rules.owning["life"].value


def years_kept(hours: float, machine: Machine, year: Year, rules: Rules) -> float:
    """Years until it is sold: the owner's own, or sooner where its hours or its years are used up."""
    run = (machine.deal.meter or 0.0) / HOUR if machine.deal else 0.0
    used_up = max(life_hours(machine, rules) - run, 0.0) / hours if hours > 0 else float("inf")
    return max(min(float(year.keep_years), used_up, rules.owning["longest_years"].value), 1.0)


def yearly(machine: Machine, hours: float, year: Year, rules: Rules, change: Change = AS_IT_IS) -> Yearly:
    """Owning for a year of this many hours. Raises ValueError for a machine without a price."""
    deal = machine.deal
    if deal is None or deal.price is None:
        raise ValueError(f"{machine.name} has no price")
    price = deal.price * change.price
    rubber = set_price(machine, rules) or 0.0  # the first set is worn out by the hour, like every other
    kept = years_kept(hours, machine, year, rules)
    # The buyer at the end does not ask what was paid.
    resale = (
        max(min(resale_share(deal, hours, kept, rules) + change.resale, rules.owning["most_resale"].value), 0.0)
        * deal.price
    )
    capital = float(cost.equal_annual_cost(price - rubber, resale, kept, max(year.rate + change.rate, 0.0)))
    return Yearly(capital, year.insurance * price, year.storage, resale, kept)


def resale_share(deal: Deal, hours: float, kept: float, rules: Rules) -> float:
    """Part of the price left at the end: the file's, else by the remaining-value curve from its age now."""
    if deal.resale is not None:
        return deal.resale
    assert deal.price is not None
    c1, c2, c3 = (rules.owning[key].value for key in ("c1", "c2", "c3"))
    left = float(cost.remaining_value(max(deal.age + kept, 1.0), max(hours, 1.0), c1, c2, c3)) * _new(deal)
    return min(left / deal.price, rules.owning["most_resale"].value)


def worth_after(machine: Machine, hours: float, years: float, rules: Rules) -> float:
    """$ a bought machine would sell for after so many years of so many hours, by the remaining-value curve."""
    deal = machine.deal
    if deal is None or deal.price is None:
        return 0.0
    return resale_share(deal.model_copy(update={"resale": None}), hours, years, rules) * deal.price


def _new(deal: Deal) -> float:
    """Price of the same machine new, $."""
    return deal.list_price if deal.list_price is not None else (deal.price or 0.0)


def rent_for(hours: float, deal: Deal, rules: Rules) -> float | None:
    """Rent of so many hours at work on one site, $; None where none is offered.

    The cheapest mix of days, weeks and months, with one move. A month's rent is a calendar month's at one shift a day.
    """
    if hours <= 0:
        return 0.0
    days = ceil(hours / rules.owning["rent_day"].value - 1e-9)
    spans = (1, round(rules.owning["rent_week"].value), _LONGEST_MONTH)
    offers = [
        (span, rent)
        for span, rent in zip(spans, (deal.rent_day, deal.rent_week, deal.rent_month), strict=True)
        if rent is not None
    ]
    if not offers:
        return None
    least = [0.0]
    for n in range(1, days + 1):
        least.append(min(rent + least[max(n - span, 0)] for span, rent in offers))
    return least[days] + (deal.rent_move or 0.0)


def rent_by_month(hours: float, deal: Deal, rules: Rules) -> float:
    """Rent of so many hours at work in one calendar month where the machine stays for whole months, $, moved once;
    infinite where none is offered."""
    if hours <= 0:
        return 0.0
    if deal.rent_month is None:
        return float("inf")
    full = rules.owning["rent_day"].value * rules.owning["rent_month"].value
    return ceil(hours / full - 1e-9) * deal.rent_month + (deal.rent_move or 0.0)


def rent_an_hour(deal: Deal, rules: Rules) -> dict[str, float]:
    """Rent of an hour at each offer, used to the full, $."""
    day = rules.owning["rent_day"].value
    spans = {"day": 1.0, "week": rules.owning["rent_week"].value, "month": rules.owning["rent_month"].value}
    rents = {"day": deal.rent_day, "week": deal.rent_week, "month": deal.rent_month}
    return {span: rent / (day * spans[span]) for span, rent in rents.items() if rent is not None}
