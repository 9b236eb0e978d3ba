"""Can it get there? Machine on trailer behind truck, against every rating; licence, tie-downs and ramps by country."""

from dataclasses import dataclass

import numpy as np

from pickrig.checks.carrying import base_length, carry
from pickrig.checks.case import Case, need
from pickrig.checks.finding import Finding, Verdict
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
    """A weight against its rating, kg."""

    name: str
    weight: float
    rating: float

    @property
    def share(self) -> float:
        return self.weight / self.rating


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
        *_lacking(case),
    ]
    verdict = _verdict(case, worst.share, told)
    rule = getattr(case.rules.transport, case.job.country)
    heavier = "A heavier trailer or truck, a lighter machine, or the attachments in a second run."
    return Finding(
        check="hauls",
        verdict=verdict,
        unit="share",
        value=worst.share,
        limit=1.0,
        margin=1 / worst.share,
        says=_says(case, worst, weights, told),
        working=() if case.brief else _working(case, truck, trailer, weights, limits),
        sources=(case.rules.cite(rule), *case.cite("tongue weight"), *_licence_sources(case)),
        depends_on=("haul", "machine.mass", "machine.length"),
        remedy=heavier if verdict == "no-go" else "",
    )


def _rig(case: Case) -> tuple[Truck, Trailer]:
    assert case.truck is not None
    assert case.trailer is not None  # `applies` asks only where the job names both, and pick() has looked them up
    return case.truck, case.trailer


def _weigh(case: Case, truck: Truck, trailer: Trailer) -> _Weights:
    """The machine as it travels: with its attachment and counterweight, nobody on it."""
    assert case.job.haul is not None
    extras = case.job.haul.extras
    given = extras if extras is not None else case.rules.transport.values["extras"].value
    loading = carry(case)
    return _Weights(loading.mass - loading.operator, given, trailer.mass, truck.mass)


def _limits(case: Case, truck: Truck, trailer: Trailer, weights: _Weights) -> list[_Limit]:
    """Every rating that is known; the truck's own with the least weight the tongue has to have."""
    loaded = weights.loaded_trailer
    least = _tongue_shares(case, trailer)[0]
    limits = [
        _Limit("the trailer's GVWR", loaded, trailer.gvwr),
        _Limit("the truck's own GVWR", truck.mass + least * loaded, truck.gvwr),
    ]
    if trailer.axle_rating is not None:
        limits.append(_Limit("the trailer's axles", (1 - least) * loaded, trailer.axle_rating))
    if truck.tow_rating is not None:
        limits.append(_Limit("the truck's tow rating", loaded, truck.tow_rating))
    if truck.gcwr is not None:
        limits.append(_Limit("the GCWR", truck.mass + loaded, truck.gcwr))
    if truck.hitch_rating is not None:
        limits.append(_Limit("the hitch's rating", least * loaded, truck.hitch_rating))
    return limits


def _tongue_shares(case: Case, trailer: Trailer) -> tuple[float, float]:
    """Least and most of the loaded trailer that should rest on the coupler."""
    values, kind = case.rules.transport.values, "goose" if trailer.hitch == "gooseneck" else "tongue"
    return values[f"{kind}_least"].value, values[f"{kind}_most"].value


def _window(case: Case) -> tuple[float, float]:
    """Share on the coupler from the least for steadiness to the most that hitch and truck bear; empty where they "
    "cross."""
    truck, trailer = _rig(case)
    loaded = _weigh(case, truck, trailer).loaded_trailer
    least, most = _tongue_shares(case, trailer)
    bears = [most, (truck.gvwr - truck.mass) / loaded]
    bears += [truck.hitch_rating / loaded] if truck.hitch_rating is not None else []
    return least, min(bears)


def parking(case: Case) -> tuple[float, float] | None:
    """How far behind the coupler the machine's centre of weight may stand, m; None where figures lack or nothing "
    "fits."""
    truck, trailer = _rig(case)
    least, most = _window(case)
    if trailer.axles_at is None or most < least:
        return None
    weights = _weigh(case, truck, trailer)
    centre = trailer.centre_at if trailer.centre_at is not None else 0.94 * trailer.axles_at
    carried = weights.machine + weights.extras
    low, high = (
        float(haul.parking_position(share, carried, trailer.mass, centre, trailer.axles_at)) for share in (most, least)
    )
    return low, high


def _verdict(case: Case, share: float, told: list[tuple[bool, str]]) -> Verdict:
    if share > 1 or any(fatal for fatal, _ in told):
        return "no-go"
    return "caution" if share > case.rules.transport.values["comfort"].value or told else "go"


def _tongue_faults(case: Case) -> list[tuple[bool, str]]:
    """(fatal, sentence): hitch or truck that cannot bear the least the tongue has to have."""
    least, most = _window(case)
    if most < least:
        return [(True, f"hitch or truck bear {max(most, 0.0):.0%} of the loaded trailer, it sways under {least:.0%}")]
    return []


def _deck(case: Case, trailer: Trailer) -> list[tuple[bool, str]]:
    """Does it stand on the deck, and can it be parked there for the right weight on the tongue?"""
    told = []
    length, base = need(case.machine.length, "length"), base_length(case)
    if trailer.deck_length is None:
        return []
    if base > trailer.deck_length:
        short = case.show(base - trailer.deck_length, "length")
        told.append((True, f"the deck is {short} shorter than what it stands on"))
    elif length > trailer.deck_length:
        over = case.show(length - trailer.deck_length, "length")
        told.append((False, f"with its bucket on it is {over} longer than the deck: take it off or turn the machine"))
    window = parking(case)
    if window is not None and trailer.deck_from is not None:
        first, last = trailer.deck_from + base / 2, trailer.deck_from + trailer.deck_length - base / 2
        if window[0] > last or window[1] < first:
            told.append((True, "it cannot be parked on this deck for the right weight on the tongue"))
    return told


def _ramp(case: Case, trailer: Trailer) -> list[tuple[bool, str]]:
    if trailer.deck_height is None or trailer.ramp_length is None:
        return []
    values, plate = case.rules.transport.values, case.machine.max_grade
    angle = float(haul.ramp_angle(trailer.deck_height, trailer.ramp_length))
    if plate is not None:
        allowed = float(np.degrees(np.arctan(plate)))
        return [(True, f"the ramps rise at {angle:.0f} deg, its plate allows {allowed:.0f}")] if angle > allowed else []
    if angle <= values["ramp"].value:
        return []
    steep = values["ramp_most"].value
    return [
        (
            angle > steep,
            f"the ramps rise at {angle:.0f} deg; over {values['ramp'].value:.0f} ask the manual, over {steep:.0f} "
            "never",
        )
    ]


def _chains(case: Case, trailer: Trailer) -> list[tuple[bool, str]]:
    enough, _ = tie_down(case, trailer)
    return [] if enough else [(False, "its tie-downs are too few or too weak, see below")]


def _lacking(case: Case) -> list[tuple[bool, str]]:
    """What nobody gave: never counted as good."""
    truck, trailer = _rig(case)
    gaps = [f"truck {key}" for key in ("tow_rating", "gcwr", "hitch_rating") if getattr(truck, key) is None]
    gaps += [
        f"trailer {key}"
        for key in ("axles_at", "deck_length", "deck_height", "ramp_length", "tie_down")
        if getattr(trailer, key) is None
    ]
    told = [f"not given: {', '.join(gaps).replace('_', ' ')}"] if gaps else []
    told += ["its weight is from the size class: weigh it"] if "mass" in case.machine.filled else []
    return [(False, sentence) for sentence in told]


def _says(case: Case, worst: _Limit, weights: _Weights, told: list[tuple[bool, str]]) -> str:
    lead = (
        "Too heavy"
        if worst.share > 1
        else "Not on this rig"
        if any(fatal for fatal, _ in told)
        else "Goes on the trailer"
    )
    used = (
        f"{lead}: {case.show(worst.weight, 'mass')} against {worst.name} of {case.show(worst.rating, 'mass')} "
        f"({worst.share:.0%}); the machine with its attachment {case.show(weights.machine, 'mass')}"
    )
    also = "".join(f"; {sentence}" for _, sentence in told)
    return f"{used}{also}. {licence(case)}"


def licence(case: Case) -> str:
    """The licence class by the rule of the country; ratings count where they are above the scale."""
    truck, trailer = case.truck, case.trailer
    assert truck is not None
    assert trailer is not None
    rule = _us_licence if case.job.country == "US" else _uk_licence if case.job.country == "UK" else _eu_licence
    return rule(case, truck, trailer)


def _us_licence(case: Case, truck: Truck, trailer: Trailer) -> str:
    values = case.rules.transport.values
    loaded = _weigh(case, truck, trailer).loaded_trailer
    combination = max(truck.gcwr or 0.0, truck.gvwr + trailer.gvwr, truck.mass + loaded) / POUND
    towed, single = max(trailer.gvwr, loaded) / POUND, truck.gvwr / POUND
    group, heavy = values["us_group"].value, values["us_trailer"].value
    if combination >= group and towed > heavy:
        licence = "Group A commercial licence"
    elif single >= group:
        licence = "Group B commercial licence"
    else:
        licence = "No commercial licence by federal rule"
    carrier = (
        "; carrier rules hold in commerce (USDOT number, medical card)"
        if combination >= values["us_carrier"].value
        else ""
    )
    return f"{licence} (49 CFR 383.91){carrier}; state rules come on top."


def _uk_licence(case: Case, truck: Truck, trailer: Trailer) -> str:
    towed = case.rules.transport.values["gb_trailer"].value
    small = truck.gvwr <= towed and trailer.gvwr <= towed
    licence = "Category B in Great Britain" if small else "More than category B: ask for C1E or CE"
    return f"{licence} (outline); national rules come on top."


def _eu_licence(case: Case, truck: Truck, trailer: Trailer) -> str:
    values = case.rules.transport.values
    together, tows = truck.gvwr + trailer.gvwr, values["eu_combination"].value
    if truck.gvwr > tows or trailer.gvwr > values["eu_be"].value:
        licence = "More than BE: ask for C1E or CE"
    elif trailer.gvwr <= values["eu_trailer"].value or together <= tows:
        licence = "Category B in the EU"
    else:
        licence = "B with code 96" if together <= values["eu_b96"].value else "BE"
    return f"{licence} (outline, from memory); national rules come on top."


def _licence_sources(case: Case) -> tuple[str, ...]:
    keys = {"US": ("us_group", "us_trailer"), "UK": ("gb_trailer",), "EU": ("eu_trailer", "eu_be")}[case.job.country]
    return tuple(f"licence: {case.rules.cite(case.rules.transport.values[key])}" for key in keys)


def _working(case: Case, truck: Truck, trailer: Trailer, weights: _Weights, limits: list[_Limit]) -> tuple[str, ...]:
    lines = [
        f"trailer {case.show(weights.trailer, 'mass')} + machine {case.show(weights.machine, 'mass')} + chains, fuel "
        "and tools "
        f"{case.show(weights.extras, 'mass')} = {case.show(weights.loaded_trailer, 'mass')}; with the truck "
        f"{case.show(truck.mass + weights.loaded_trailer, 'mass')}",
        "; ".join(f"{one.name} {case.show(one.rating, 'mass')}, used {one.share:.0%}" for one in limits),
        _tongue(case, weights),
        tie_down(case, trailer)[1],
    ]
    rule = getattr(case.rules.transport, case.job.country)
    lines.append(f"rule used: {rule.says}. {rule.securement}")
    return tuple(lines)


def _tongue(case: Case, weights: _Weights) -> str:
    least, most = _window(case)
    window = parking(case)
    if window is None:
        return "where to park it cannot be told: give axles_at, coupler to axles, and a hitch that bears the tongue"
    return (
        f"park it with its centre of weight {case.show(window[0], 'length')} to {case.show(window[1], 'length')} "
        "behind the "
        f"coupler, so that {least:.0%} to {most:.0%} of the loaded trailer rests on it, at most "
        f"{case.show(most * weights.loaded_trailer, 'mass')}"
    )


def tie_down(case: Case, trailer: Trailer) -> tuple[bool, str]:
    """Whether the trailer's tie-downs hold the machine, and in words how many of what. Direct chains, each counting "
    "half."""
    loading, length = carry(case), need(case.machine.length, "length")
    mass = loading.mass - loading.operator
    least = max(4, int(haul.least_tie_downs(length, mass)))
    limits = case.rules.transport.tie_downs.limits
    if trailer.tie_down is None:
        return True, f"{least} or more direct chains, each of at least {case.show(mass / least, 'mass')} working load"
    each, count = limits[trailer.tie_down], trailer.tie_downs
    if case.job.country != "US":
        return False, f"{count} {trailer.tie_down}: the half-weight test is a US rule; have them checked by EN 12195-1"
    ratio = float(haul.direct_tie_downs(mass, each, count))
    needed = max(least, int(trips(mass, each)))
    enough = ratio >= 1 and count >= least
    verdict = "enough" if enough else f"not enough: take {needed}"
    return enough, (
        f"{count} direct {trailer.tie_down} of {case.show(each, 'mass')}, half of it counting, hold {ratio:.2f} times "
        "half the "
        f"machine's {case.show(mass, 'mass')}, {verdict}; one more for each attachment that can move"
    )
