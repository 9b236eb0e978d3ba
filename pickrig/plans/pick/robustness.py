"""How sure the pick is: shares of weightings, of weightings with grounds, and weights at which it would lose."""

from math import log, sqrt
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from pickrig import scoring
from pickrig.checks import Case, where_found
from pickrig.checks.carrying import carry
from pickrig.checks.ground.demand import needed, own_error
from pickrig.checks.ground.sand import spare_pull
from pickrig.facts import Quantity, Ruled, Said, Statements
from pickrig.plans.pick.record import Interval, Robustness, Standing
from pickrig.rulebook import Rules

_WHOLE = 0.995  # a share that prints as all of them


def robustness(
    ranking: list[Standing], weights: dict[str, float], cases: dict[str, Case], rules: Rules, seed: int
) -> Robustness | None:
    """None where nothing is usable."""
    usable = [s for s in ranking if s.usable]
    if not usable:
        return None
    heavy = np.array(list(weights.values()))
    values = np.array([value_row(s, heavy) for s in usable])
    names = [s.name for s in usable]
    kept = scoring.rank_shares(values, ranked=True, seed=seed)
    any_ = scoring.rank_shares(values, seed=seed)
    together, none = dict.fromkeys(names, 0.0), 0.0
    if "floats" in weights:
        grounds = np.column_stack([holds(cases[s.name], s) for s in usable])
        shares, none = scoring.joint_first_shares(values, grounds, list(weights).index("floats"), seed=seed)
        together = dict(zip(names, shares.tolist(), strict=True))
    return Robustness(
        in_order=dict(zip(names, kept.first.tolist(), strict=True)),
        in_any=dict(zip(names, any_.first.tolist(), strict=True)),
        with_ground=together,
        none_holds=none,
        intervals=_intervals(values, weights) if len(usable) > 1 else (),
        says=(
            *_says(usable, kept.first, any_.first, together, none, _intervals(values, weights), rules),
            *(_on_the_ground(usable, cases) if "floats" in weights else ()),
        ),
        beaten=_beaten(usable, values),
    )


def value_row(standing: Standing, weights: scoring.Array) -> scoring.Array:
    """A machine's value on each question, 0 to 1, from its points."""
    values: scoring.Array = np.array(standing.parts) / (100 * np.where(weights > 0, weights, 1))
    return values


def holds(case: Case, standing: Standing) -> NDArray[np.bool_]:
    """Draw by draw, whether the ground holds this machine."""
    floats = standing.finding("floats")
    case = where_found(case, floats)
    site = case.site
    everywhere = np.ones(site.luck.draws, dtype=bool)
    if floats.provided or floats.chance is None or floats.chance >= 1:
        return everywhere
    if site.cone_index is not None:
        return np.asarray(spare_pull(case) >= case.rules.strength["sand_reserve"].value)
    if site.strength is None:
        return everywhere
    return site.holds(case.machine, _needs(case), own_error(case))


def _needs(case: Case) -> float:
    """Strength this machine needs, Pa."""
    loading = carry(case)
    return needed(case, loading, loading.payload)


def asks_less(first: Case, second: Case) -> float | None:
    """Chance that the first machine needs weaker ground than the second, their errors being what they are; None where
    the ground has no strength of its own. Machines on one running gear share part of their error."""
    if first.site.strength is None:
        return None
    shared = log(first.rules.strength["machine_error"].value)
    apart = 0.0 if first.machine.gear == second.machine.gear else 2 * shared**2
    spread = sqrt(own_error(first) ** 2 + own_error(second) ** 2 + apart)
    return NormalDist().cdf(log(_needs(second) / _needs(first)) / spread)


def _intervals(values: scoring.Array, weights: dict[str, float]) -> tuple[Interval, ...]:
    """For the pick against the runner-up: weight of each question now, and between what it keeps its lead."""
    if len(values) < 2:
        return ()
    heavy = list(weights.values())
    return tuple(
        Interval(check, heavy[k], *scoring.weight_interval(values[:2], heavy, k)) for k, check in enumerate(weights)
    )


def _beaten(usable: list[Standing], values: scoring.Array) -> dict[str, str]:
    """Machines that another is at least as good as on every question, and better on one, with that other."""
    beats = scoring.dominated(values)
    return {usable[i].name: usable[int(np.argmax(row))].name for i, row in enumerate(beats) if row.any()}


def _says(
    usable: list[Standing],
    in_order: scoring.Array,
    in_any: scoring.Array,
    together: dict[str, float],
    none: float,
    intervals: tuple[Interval, ...],
    rules: Rules,
) -> Statements:
    first = usable[0]
    if len(usable) == 1:
        return (Said("sure.only", machine=first.name),)
    told = [Said("sure.leads", machine=first.name, order=_share(in_order[0]), any=_share(in_any[0]))]
    if none < 1 and together[first.name] < _WHOLE:
        told.append(Said("sure.with_ground", share=_share(together[first.name])))
        told += [Said("sure.none_holds", share=_share(none))] if none >= 0.005 else []
    return (*told, _would_lose(usable[1].name, intervals, rules))


def _on_the_ground(usable: list[Standing], cases: dict[str, Case]) -> Statements:
    """How sure the order of the first two is in what they ask of the ground."""
    if len(usable) == 1:
        return ()
    first, second = usable[:2]
    less = asks_less(*(where_found(cases[s.name], s.finding("floats")) for s in (first, second)))
    if less is None or less < 0.5:  # where it asks more, something else made it the pick
        return ()
    return (Said("sure.asks_less", machine=first.name, rival=second.name, draws=min(round(100 * less), 99)),)


def _share(share: float) -> Quantity:
    return Quantity(float(share), "share")


def _would_lose(rival: str, intervals: tuple[Interval, ...], rules: Rules) -> Said:
    """The weight that would have to move least for the runner-up to lead."""
    moves = [(one.high - one.weight, "more", one, one.high) for one in intervals if one.high < 1]
    moves += [
        (one.weight - one.low, "less", one, one.low) for one in intervals if one.low >= 0.005
    ]  # told in whole per cent
    if not moves:
        return Said("sure.no_weight", rival=rival)
    _, way, one, at = min(moves, key=lambda move: move[0])
    question = Ruled(rules.questions[one.check].short)
    return Said(f"sure.{way}", rival=rival, question=question, at=_share(at), now=_share(one.weight))
