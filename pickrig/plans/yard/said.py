"""What the log of the yard says beside one job: what it moved in answers of many, and how far sets are worn."""

from math import exp

from pickrig.checks.wears import set_price
from pickrig.facts import Quantity, Said, Statements, number
from pickrig.inputs import Fleet
from pickrig.plans.yard.teaching import Yard
from pickrig.rulebook import Rules

_SOFT, _HARD = "site soil", "asphalt"


def wear_said(yard: Yard, fleet: Fleet, rules: Rules) -> Statements:
    """Of every machine that was read: what is left of its set, what an hour on asphalt costs, what else was seen."""
    told: list[Said] = []
    for name, wear in yard.wear:
        machine = next(one for one in fleet.machines if one.name == name)
        soft, hard = (wear.life * getattr(rules.surfaces[on].life_hours, machine.gear) for on in (_SOFT, _HARD))
        price = set_price(machine, rules)
        if wear.left is not None and price is not None:
            left, rate = Quantity(3600 * wear.left * soft, "life"), Quantity(price / hard, "rate of cost")
            told.append(
                Said("log.wear", machine=name, left=left, hard=Quantity(3600 * wear.left * hard, "life"), rate=rate)
            )
            told += [Said("wears.order")] if wear.left * soft < rules.learning["order"].value else []
        told += [Said("log.seen_on", machine=name, what=Said(f"wears.{look}")) for look in wear.looks]
    return tuple(told)


def used(yard: Yard | None) -> Statements:
    """How many outcomes, how strong the ground is against the books over the whole yard, and what work takes."""
    if yard is None:
        return ()
    if yard.off:
        return (Said("log.off", jobs=len(yard.outcomes)),)
    told = []
    whole = next((one for one in yard.offsets if (one.of, one.name) == ("whole", "")), None)
    if whole is not None:
        told.append(Said("log.used", jobs=len(yard.outcomes), ratio=number(exp(whole.middle), 2)))
    pace = next((one for one in yard.pace if one.of == "pace"), None)
    if pace is not None:
        told.append(Said("log.hours_ratio", jobs=pace.jobs, ratio=number(exp(pace.middle), 2)))
    return tuple(told)
