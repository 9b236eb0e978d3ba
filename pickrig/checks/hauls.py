"""Can it get there? Machine on trailer behind truck, against every rating; licence, tie-downs and ramps by country."""

from dataclasses import dataclass

import numpy as np

from pickrig.checks.carrying import base_length, carry
from pickrig.checks.case import Case, need
from pickrig.checks.cited import source
from pickrig.checks.finding import Account, Finding, Verdict
from pickrig.facts import Key, Quantity, Ruled, Said, Statements, Step, Term, number
from pickrig.inputs import Job, Trailer, Truck
from pickrig.physics import haul
from pickrig.physics.cycle import trips
from pickrig.rulebook import Rules

POUND = 0.45359237


@dataclass(frozen=True)
class _Weights:
    """On the scale, kg."""

    machine: float
    extras: float
    trailer: float
    truck: float

    @property
    def loaded_trailer(self) -> float:
        return self.trailer + self.machine + self.extras


@dataclass(frozen=True)
class _Limit:
    """A weight against its rating, kg; the rating by its key."""

    name: str
    weight: float
    rating: float

    @property
    def share(self) -> float:
        return self.weight / self.rating


@dataclass(frozen=True)
class _Point:
    """Something that speaks against the rig, and whether it ends it."""

    says: Said
    fatal: bool = False


def applies(job: Job, _rules: Rules) -> bool:
    return job.haul is not None


def hauls(case: Case) -> Finding:
    """Largest share of any rating used; a go still says licence, tie-downs and where to park. See `Finding`."""
    truck, trailer = _rig(case)
    weights = _weigh(case, truck, trailer)
    limits = _limits(case, truck, trailer, weights)
    worst = max(limits, key=lambda limit: limit.share)
    told = [
        *_tongue_faults(case),
        *_ramp(case, trailer),
        *_deck(case, trailer),
        *_chains(case, trailer),
        *_driver(case),
        *_lacking(case),
    ]
    verdict = _verdict(case, worst.share, told)
    return Finding(
        check="hauls",
        verdict=verdict,
        unit="share",
        value=worst.share,
        limit=1.0,
        margin=1 / worst.share,
        depends_on=("haul", "machine.mass", "machine.length"),
        account=lambda: Account(
            says=_says(case, worst, weights, told),
            remedy=_remedy(case) if verdict == "no-go" else (),
            working=_working(case, truck, trailer, weights, limits),
            sources=(
                *_rule_sources(case),
                *case.cite("tongue weight"),
                *_licence_sources(case),
            ),
        ),
    )


def _rig(case: Case) -> tuple[Truck, Trailer]:
    assert case.truck is not None
    assert case.trailer is not None  # `applies` asks only where the job names both, and pick() has looked them up
    return case.truck, case.trailer


def _weigh(case: Case, truck: Truck, trailer: Trailer) -> _Weights:
    """The machine as it travels: with its attachment, unless that comes apart, and counterweight, nobody on it."""
    assert case.job.haul is not None
    extras = case.job.haul.extras
    given = extras if extras is not None else case.rules.transport.values["extras"].value
    loading = carry(case)
    off = loading.operator + (loading.fitted if case.job.haul.tool_apart else 0.0)
    return _Weights(loading.mass - off, given, trailer.mass, truck.mass)


def _limits(case: Case, truck: Truck, trailer: Trailer, weights: _Weights) -> list[_Limit]:
    """Every rating that is known; the truck's own with the least weight the tongue has to have."""
    loaded = weights.loaded_trailer
    least = _tongue_shares(case, trailer)[0]
    limits = [
        _Limit("trailer_gvwr", loaded, trailer.gvwr),
        _Limit("truck_gvwr", truck.mass + least * loaded, truck.gvwr),
    ]
    if trailer.axle_rating is not None:
        limits.append(_Limit("trailer_axles", (1 - least) * loaded, trailer.axle_rating))
    if truck.tow_rating is not None:
        limits.append(_Limit("tow", loaded, truck.tow_rating))
    if truck.gcwr is not None:
        limits.append(_Limit("gcwr", truck.mass + loaded, truck.gcwr))
    if truck.hitch_rating is not None:
        limits.append(_Limit("hitch", least * loaded, truck.hitch_rating))
    return limits


def _tongue_shares(case: Case, trailer: Trailer) -> tuple[float, float]:
    """Least and most of the loaded trailer that should rest on the coupler."""
    values, kind = case.rules.transport.values, "goose" if trailer.hitch == "gooseneck" else "tongue"
    return values[f"{kind}_least"].value, values[f"{kind}_most"].value


def _window(case: Case) -> tuple[float, float]:
    """Share on the coupler from the least for steadiness to the most hitch and truck bear; empty where they cross."""
    truck, trailer = _rig(case)
    loaded = _weigh(case, truck, trailer).loaded_trailer
    least, most = _tongue_shares(case, trailer)
    bears = [most, (truck.gvwr - truck.mass) / loaded]
    bears += [truck.hitch_rating / loaded] if truck.hitch_rating is not None else []
    return least, min(bears)


def parking(case: Case) -> tuple[float, float] | None:
    """How far behind the coupler the machine's centre of weight may stand, m; None where figures lack or none fits."""
    truck, trailer = _rig(case)
    least, most = _window(case)
    if trailer.axles_at is None or most < least:
        return None
    weights = _weigh(case, truck, trailer)
    empty = case.rules.transport.values["empty_centre"].value
    centre = trailer.centre_at if trailer.centre_at is not None else empty * trailer.axles_at
    carried = weights.machine + weights.extras
    low, high = (
        float(haul.parking_position(share, carried, trailer.mass, centre, trailer.axles_at)) for share in (most, least)
    )
    return low, high


def _verdict(case: Case, share: float, told: list[_Point]) -> Verdict:
    if share > 1 or any(point.fatal for point in told):
        return "no-go"
    return "caution" if share > case.rules.transport.values["comfort"].value or told else "go"


def _tongue_faults(case: Case) -> list[_Point]:
    """Hitch or truck that cannot bear the least the tongue has to have."""
    least, most = _window(case)
    if most < least:
        bears = Quantity(max(most, 0.0), "share")
        return [_Point(Said("hauls.tongue", bears=bears, least=Quantity(least, "share")), fatal=True)]
    return []


def _deck(case: Case, trailer: Trailer) -> list[_Point]:
    """Does it stand on the deck, and can it be parked there for the right weight on the tongue?"""
    told = []
    length, base = need(case.machine.length, "length"), base_length(case)
    if trailer.deck_length is None:
        return []
    if base > trailer.deck_length:
        told.append(_Point(Said("hauls.deck_short", short=Quantity(base - trailer.deck_length, "length")), fatal=True))
    elif length > trailer.deck_length:
        told.append(_Point(Said("hauls.deck_over", over=Quantity(length - trailer.deck_length, "length"))))
    window = parking(case)
    if window is not None and trailer.deck_from is not None:
        first, last = trailer.deck_from + base / 2, trailer.deck_from + trailer.deck_length - base / 2
        if window[0] > last or window[1] < first:
            told.append(_Point(Said("hauls.no_parking"), fatal=True))
    return told


def _ramp(case: Case, trailer: Trailer) -> list[_Point]:
    if trailer.deck_height is None or trailer.ramp_length is None:
        return []
    values, plate = case.rules.transport.values, case.machine.max_grade
    rise = float(haul.ramp_angle(trailer.deck_height, trailer.ramp_length))
    angle = Quantity(rise, "angle")
    if plate is not None:
        allowed = float(np.degrees(np.arctan(plate)))
        too_steep = Said("hauls.ramp_plate", angle=angle, plate=Quantity(allowed, "angle"))
        return [_Point(too_steep, fatal=True)] if rise > allowed else []
    if rise <= values["ramp"].value:
        return []
    ask, never = (Quantity(values[key].value, "angle") for key in ("ramp", "ramp_most"))
    return [_Point(Said("hauls.ramp", angle=angle, ask=ask, never=never), fatal=rise > never.value)]


def _chains(case: Case, trailer: Trailer) -> list[_Point]:
    return [] if tie_down(case, trailer)[0] else [_Point(Said("hauls.tie_downs"))]


_CLASSES = {
    "licence.us_none": "none",
    "licence.us_b": "B",
    "licence.us_a": "A",
    "licence.gb_b": "B",
    "licence.gb_more": "C1E",
    "licence.eu_b": "B",
    "licence.eu_b96": "B96",
    "licence.eu_be": "BE",
    "licence.eu_more": "C1E",
}
_US, _ELSEWHERE = ("none", "B", "A"), ("none", "B", "B96", "BE", "C1E", "CE")  # each covers those before it


def class_needed(case: Case) -> str | None:
    """The licence class the rig takes; None where no rule of the country is known."""
    return _CLASSES.get(licence(case)[0].key)


def covers(holds: str, needs: str | None, law: str) -> bool:
    """Whether a licence of one class is enough for a rig that takes another."""
    order = _US if law == "US" else _ELSEWHERE
    return needs is None or (holds in order and order.index(holds) >= order.index(needs))


def _driver(case: Case) -> list[_Point]:
    """Whether the driver may drive the rig at all, where the job says what he holds."""
    holds, needs = case.job.driver.licence, class_needed(case)
    if holds is None or needs is None or covers(holds, needs, case.law):
        return []
    return [_Point(Said("hauls.driver", needs=needs, holds=holds if holds != "none" else Term("no_class")), fatal=True)]


def _remedy(case: Case) -> Statements:
    """No other machine makes a driver's class another."""
    return (Said("hauls.mend_driver"),) if _driver(case) else (Said("hauls.mend"),)


def _lacking(case: Case) -> list[_Point]:
    """What nobody gave: never counted as good."""
    truck, trailer = _rig(case)
    gaps = [f"truck.{key}" for key in ("tow_rating", "gcwr", "hitch_rating") if getattr(truck, key) is None]
    gaps += [
        f"trailer.{key}"
        for key in ("axles_at", "deck_length", "deck_height", "ramp_length", "tie_down")
        if getattr(trailer, key) is None
    ]
    told = [_Point(Said("hauls.not_given", gaps=tuple(Key(gap) for gap in gaps)))] if gaps else []
    return told + ([_Point(Said("hauls.weigh_it"))] if "mass" in case.machine.filled else [])


def _says(case: Case, worst: _Limit, weights: _Weights, told: list[_Point]) -> Statements:
    fatal = any(point.fatal for point in told)
    key = "hauls.too_heavy" if worst.share > 1 else "hauls.not_on_this" if fatal else "hauls.goes"
    lead = Said(
        key,
        rating=Term(worst.name),
        weight=Quantity(worst.weight, "mass"),
        limit=Quantity(worst.rating, "mass"),
        used=Quantity(worst.share, "share"),
    )
    lead = next((point.says for point in _driver(case)), lead)
    machine = Said("hauls.machine", weight=Quantity(weights.machine, "mass"))
    return (lead, machine, *(point.says for point in told if point.says != lead), *licence(case))


def licence(case: Case) -> Statements:
    """The licence class by the rule of the country; ratings count where they are above the scale."""
    truck, trailer = case.truck, case.trailer
    assert truck is not None
    assert trailer is not None
    rules = {"US": _us_licence, "UK": _uk_licence, "EU": _eu_licence}
    if case.law == "other":
        return (Said("licence.unknown"),)
    return rules[case.law](case, truck, trailer)


def _us_licence(case: Case, truck: Truck, trailer: Trailer) -> Statements:
    values = case.rules.transport.values
    loaded = _weigh(case, truck, trailer).loaded_trailer
    combination = max(truck.gcwr or 0.0, truck.gvwr + trailer.gvwr, truck.mass + loaded) / POUND
    towed, single = max(trailer.gvwr, loaded) / POUND, truck.gvwr / POUND
    group, heavy = values["us_group"].value, values["us_trailer"].value
    if combination >= group and towed > heavy:
        told = [Said("licence.us_a")]
    else:
        told = [Said("licence.us_b" if single >= group else "licence.us_none")]
    carrier = combination >= values["us_carrier"].value
    return (*told, *([Said("licence.us_carrier")] if carrier else []), Said("licence.us_states"))


def _uk_licence(case: Case, truck: Truck, trailer: Trailer) -> Statements:
    towed = case.rules.transport.values["gb_trailer"].value
    small = truck.gvwr <= towed and trailer.gvwr <= towed
    return (Said("licence.gb_b" if small else "licence.gb_more"), Said("licence.national"))


def _eu_licence(case: Case, truck: Truck, trailer: Trailer) -> Statements:
    values = case.rules.transport.values
    together, tows = truck.gvwr + trailer.gvwr, values["eu_combination"].value
    if truck.gvwr > tows or trailer.gvwr > values["eu_be"].value:
        key = "licence.eu_more"
    elif trailer.gvwr <= values["eu_trailer"].value or together <= tows:
        key = "licence.eu_b"
    else:
        key = "licence.eu_b96" if together <= values["eu_b96"].value else "licence.eu_be"
    return (Said(key), Said("licence.national"))


def _licence_sources(case: Case) -> Statements:
    keys = {"US": ("us_group", "us_trailer"), "UK": ("gb_trailer",), "EU": ("eu_trailer", "eu_be"), "other": ()}[
        case.law
    ]
    return tuple(source(case.rules, case.rules.transport.values[key], "source.licence") for key in keys)


def _rule_sources(case: Case) -> Statements:
    return () if case.law == "other" else (source(case.rules, getattr(case.rules.transport, case.law)),)


def _rule_used(case: Case) -> Statements:
    """The country's rule of the road, where one is known here."""
    if case.law == "other":
        return ()
    rule = getattr(case.rules.transport, case.law)
    return (Said("hauls.rule", rule=Ruled(rule.says), securement=Ruled(rule.securement)),)


def _working(case: Case, truck: Truck, trailer: Trailer, weights: _Weights, limits: list[_Limit]) -> Statements:
    return (
        Step(
            "hauls.weights",
            trailer=Quantity(weights.trailer, "mass"),
            machine=Quantity(weights.machine, "mass"),
            extras=Quantity(weights.extras, "mass"),
            truck=Quantity(truck.mass, "mass"),
            towed=Quantity(weights.loaded_trailer, "mass"),
            together=Quantity(truck.mass + weights.loaded_trailer, "mass"),
        ),
        *(
            Said(
                "hauls.rating",
                rating=Term(one.name),
                limit=Quantity(one.rating, "mass"),
                used=Quantity(one.share, "share"),
            )
            for one in limits
        ),
        _tongue(case, weights),
        *tie_down(case, trailer)[1],
        *_rule_used(case),
    )


def _tongue(case: Case, weights: _Weights) -> Said:
    least, most = _window(case)
    window = parking(case)
    if window is None:
        return Said("hauls.parking_unknown")
    return Said(
        "hauls.park",
        first=Quantity(window[0], "length"),
        last=Quantity(window[1], "length"),
        least=Quantity(least, "share"),
        most=Quantity(most, "share"),
        weight=Quantity(most * weights.loaded_trailer, "mass"),
    )


def tie_down(case: Case, trailer: Trailer) -> tuple[bool, Statements]:
    """Whether the trailer's tie-downs hold the machine, and how many of what; direct chains, each counting half."""
    loading, length = carry(case), need(case.machine.length, "length")
    mass = loading.mass - loading.operator
    least = max(4, int(haul.least_tie_downs(length, mass)))
    limits = case.rules.transport.tie_downs.limits
    if trailer.tie_down is None:
        return True, (Said("tie_downs.any", least=least, each=Quantity(mass / least, "mass")),)
    each, count, kind = limits[trailer.tie_down], trailer.tie_downs, Ruled(trailer.tie_down)
    if case.law != "US":
        return False, (Said("tie_downs.not_us", count=count, kind=kind),)
    ratio = float(haul.direct_tie_downs(mass, each, count))
    enough = ratio >= 1 and count >= least
    held = Said(
        "tie_downs.hold" if enough else "tie_downs.too_few",
        count=count,
        kind=kind,
        each=Quantity(each, "mass"),
        ratio=number(ratio, 2),
        mass=Quantity(mass, "mass"),
        needed=max(least, int(trips(mass, each))),
    )
    return enough, (held, Said("tie_downs.attachments"))
