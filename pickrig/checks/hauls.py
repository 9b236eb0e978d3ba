"""Can it get there? Machine on trailer behind truck, against every rating; licence, tie-downs and ramps by country."""

from dataclasses import dataclass
from math import ceil

import numpy as np

from pickrig.checks.case import Case, MissingError, need
from pickrig.checks.finding import Finding, Verdict
from pickrig.checks.loading import carry
from pickrig.inputs import Job, Trailer, Truck
from pickrig.physics import haul
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
    truck, trailer = case.truck, case.trailer
    assert truck is not None
    assert trailer is not None  # `applies` asks only where the job names both, and pick() has looked them up
    weights = _weigh(case, truck, trailer)
    limits = _limits(truck, trailer, weights)
    worst = max(limits, key=lambda limit: limit.share)
    ramp, faults = _ramp(case, trailer), _deck(case, trailer)
    verdict = _verdict(case, worst.share, [*ramp, *faults])
    rule = getattr(case.rules.transport, case.job.country)
    return Finding(
        check="hauls",
        verdict=verdict,
        unit="share",
        value=worst.share,
        limit=1.0,
        margin=1 / worst.share,
        says=_says(case, worst, weights, [*ramp, *faults]),
        working=() if case.brief else _working(case, truck, trailer, weights, limits),
        sources=(case.rules.cite(rule), *case.cite("tongue weight"), *_licence_sources(case)),
        depends_on=("haul", "machine.mass", "machine.length"),
        remedy="A heavier trailer or truck, a lighter machine, or the attachments in a second run."
        if verdict == "no-go"
        else "",
    )


def _weigh(case: Case, truck: Truck, trailer: Trailer) -> _Weights:
    assert case.job.haul is not None
    extras = case.job.haul.extras
    given = extras if extras is not None else case.rules.transport.values["extras"].value
    machine = carry(case).mass if case.machine.kind != "stand-on loader" else need(case.machine.mass, "mass")
    return _Weights(machine, given, trailer.mass, truck.mass)


def _limits(truck: Truck, trailer: Trailer, weights: _Weights) -> list[_Limit]:
    loaded = weights.loaded_trailer
    limits = [_Limit("the trailer's GVWR", loaded, trailer.gvwr)]
    if trailer.axle_rating is not None:
        on_axles = loaded * 0.9 if trailer.hitch != "gooseneck" else loaded * 0.8
        limits.append(_Limit("the trailer's axles", on_axles, trailer.axle_rating))
    if truck.tow_rating is not None:
        limits.append(_Limit("the truck's tow rating", loaded, truck.tow_rating))
    if truck.gcwr is not None:
        limits.append(_Limit("the GCWR", truck.mass + loaded, truck.gcwr))
    return limits


def _verdict(case: Case, share: float, told: list[tuple[bool, str]]) -> Verdict:
    if share > 1 or any(fatal for fatal, _ in told):
        return "no-go"
    return "caution" if share > case.rules.transport.values["comfort"].value or told else "go"


def _deck(case: Case, trailer: Trailer) -> list[tuple[bool, str]]:
    """Does it stand on the deck, and can it be parked for the right tongue weight? (fatal, sentence)."""
    told = []
    length = need(case.machine.length, "length")
    if trailer.deck_length is not None and length > trailer.deck_length:
        over = case.show(length - trailer.deck_length, "length")
        told.append(
            (False, f"with its bucket on it is {over} longer than the deck: take the attachment off or turn it")
        )
    window = parking(case, trailer)
    if window is not None and trailer.deck_length is not None and trailer.deck_from is not None:
        middle = length / 2
        least, most = trailer.deck_from + middle - 0.3 * length, trailer.deck_from + trailer.deck_length - 0.2 * length
        if window[0] > most or window[1] < least:
            told.append((True, "it cannot be parked on this deck for the right weight on the tongue"))
    return told


def parking(case: Case, trailer: Trailer) -> tuple[float, float] | None:
    """How far behind the coupler the machine's middle of weight may stand, m; None where the trailer's figures lack."""
    if trailer.axles_at is None:
        return None
    values, goose = case.rules.transport.values, trailer.hitch == "gooseneck"
    shares = [values[f"{'goose' if goose else 'tongue'}_{end}"].value for end in ("most", "least")]
    centre = trailer.centre_at if trailer.centre_at is not None else 0.94 * trailer.axles_at
    assert case.job.haul is not None
    extras = case.job.haul.extras or values["extras"].value
    machine = need(case.machine.mass, "mass") + extras
    low, high = (
        float(haul.parking_position(share, machine, trailer.mass, centre, trailer.axles_at)) for share in shares
    )
    return low, high


def _ramp(case: Case, trailer: Trailer) -> list[tuple[bool, str]]:
    if trailer.deck_height is None or trailer.ramp_length is None:
        return []
    angle = float(haul.ramp_angle(trailer.deck_height, trailer.ramp_length))
    plate = case.machine.max_grade
    allowed = float(np.degrees(np.arctan(plate))) if plate is not None else case.rules.transport.values["ramp"].value
    if angle <= allowed:
        return []
    by = "its manual allows" if plate is not None else "our margin is"
    return [(plate is not None, f"the ramps rise at {angle:.0f} deg, {by} {allowed:.0f}")]


def _says(case: Case, worst: _Limit, weights: _Weights, told: list[tuple[bool, str]]) -> str:
    lead = "Goes on the trailer" if worst.share <= 1 else "Too heavy"
    used = (
        f"{lead}: {case.show(worst.weight, 'mass')} against {worst.name} of {case.show(worst.rating, 'mass')} "
        f"({worst.share:.0%}); the machine with its attachment {case.show(weights.machine, 'mass')}"
    )
    also = "".join(f"; {sentence}" for _, sentence in told)
    return f"{used}{also}. {_licence(case)}"


def _licence(case: Case) -> str:
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
        *_tongue(case, truck, trailer, weights),
        _tie_down(case, trailer),
    ]
    rule = getattr(case.rules.transport, case.job.country)
    lines.append(f"rule used: {rule.says}. {rule.securement}")
    return tuple(lines)


def _tongue(case: Case, truck: Truck, trailer: Trailer, weights: _Weights) -> list[str]:
    window = parking(case, trailer)
    if window is None:
        return ["tongue weight cannot be told: give axles_at, the distance from coupler to axles"]
    values, goose = case.rules.transport.values, trailer.hitch == "gooseneck"
    share = values["goose_most" if goose else "tongue_most"].value
    heaviest = share * weights.loaded_trailer
    line = (
        f"park it with its centre {case.show(window[0], 'length')} to {case.show(window[1], 'length')} behind the "
        "coupler, so "
        f"that {values['goose_least' if goose else 'tongue_least'].value:.0%} to {share:.0%} of the loaded trailer "
        "rests on it, "
        f"at most {case.show(heaviest, 'mass')}"
    )
    over = []
    if truck.hitch_rating is not None and heaviest > truck.hitch_rating:
        over.append(f"the hitch bears {case.show(truck.hitch_rating, 'mass')}: park farther back")
    if truck.mass + heaviest > truck.gvwr:
        over.append("the truck would be over its own GVWR at the heavy end: park farther back")
    return ["; ".join([line, *over])]


def _tie_down(case: Case, trailer: Trailer) -> str:
    """Four direct chains on every machine, and as many as its length and weight ask."""
    mass, length = need(case.machine.mass, "mass"), need(case.machine.length, "length")
    count = max(4, int(haul.least_tie_downs(length, mass)), trailer.tie_downs)
    limits = case.rules.transport.tie_downs.limits
    if trailer.tie_down is None:
        each = mass / count
        return f"tie down with {count} or more direct chains, each of at least {case.show(each, 'mass')} working load"
    if trailer.tie_down not in limits:
        raise MissingError("trailer.tie_down", of_the_job=True, how=f"Write one of {', '.join(limits)}.")
    ratio = float(haul.direct_tie_downs(mass, limits[trailer.tie_down], count))
    needed = max(4, ceil(mass / limits[trailer.tie_down]))
    enough = "enough" if ratio >= 1 else f"not enough: {needed} of them"
    return (
        f"{count} direct {trailer.tie_down}, {case.show(limits[trailer.tie_down], 'mass')} each, half of it counting: "
        f"{count} x {case.show(limits[trailer.tie_down] / 2, 'mass')} against half the machine "
        f"{case.show(mass / 2, 'mass')} = "
        f"{ratio:.2f} times, {enough}; and one more for each attachment that can move"
    )
