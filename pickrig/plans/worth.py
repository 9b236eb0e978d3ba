"""What a test tonight is worth: the money that knowing its result before sending a machine saves, on average."""

from dataclasses import dataclass
from math import log

import numpy as np
from numpy.typing import NDArray

from pickrig.checks import Case
from pickrig.checks.case import MissingError
from pickrig.checks.demand import most_needed, states
from pickrig.checks.loading import carry
from pickrig.checks.site import Site
from pickrig.inputs import Job
from pickrig.plans.recommendation import Standing, TestWorth
from pickrig.rulebook import Rules

Array = NDArray[np.float64]
HOME = "nothing"
_CONE_BINS = 10


@dataclass(frozen=True)
class _Choices:
    """Cost of each choice in each draw, $: rows are machines, the last is to send nothing."""

    names: tuple[str, ...]
    cost: Array


def worth_of_tests(job: Job, ranking: list[Standing], site: Site, rules: Rules, seed: int) -> tuple[TestWorth, ...]:
    """Expected value of a thumb test and of a cone reading, by what either could change; () where they do not apply.

    Expected value of sample information, on the draws of the ground: mean of the cheapest choice given each result,
    less the cheapest choice now. Zero when no result would change the choice.
    """
    if site.undrained is None or site.undisturbed is None or site.frost:
        return ()
    choices = _choices(job, ranking, site, rules)
    if len(choices.names) < 2:
        return ()
    noise = np.random.default_rng([seed, 1]).standard_normal((2, len(site.undrained)))
    hand, cone = rules.field_tests["thumb"], rules.field_tests["cone"]
    edges = [1e3 * result.kpa[0] for result in hand.results.values()][1:]
    thumb = np.digitize(site.undrained * np.exp(log(hand.misreading) * noise[0]), edges)
    reading = site.undisturbed * np.exp(log(cone.misreading) * noise[1])
    bins = np.digitize(reading, np.quantile(reading, np.linspace(0, 1, _CONE_BINS + 1)[1:-1]))
    tests = (("thumb", "A thumb test", thumb), ("cone", "A cone reading", bins))
    return tuple(_worth(test, name, choices, result) for test, name, result in tests if not getattr(job.ground, test))


def _choices(job: Job, ranking: list[Standing], site: Site, rules: Rules) -> _Choices:
    assert site.strength is not None
    stuck = _money(job, rules, "recovery") + _money(job, rules, "lost_half_day")
    names, rows = [], []
    for standing in sorted(ranking, key=lambda s: s.name):
        others = [f for f in standing.findings if f.check != "floats"]
        if any(f.verdict == "no-go" for f in others):
            continue
        case = Case(job, standing.machine, site, rules, brief=True)
        try:
            loading = carry(case)
            needs = most_needed(states(case, loading, loading.payload)).needs
        except MissingError:
            continue
        bogs = site.strength < needs * site.error[standing.machine.gear]
        names.append(standing.name)
        rows.append(_handling(job, standing, loading.trips, rules) + stuck * bogs)
    rows.append(np.full(len(site.strength), 2 * _money(job, rules, "lost_half_day")))
    return _Choices((*names, HOME), np.array(rows))


def _handling(job: Job, standing: Standing, trips: int, rules: Rules) -> float:
    """Trips and rubber of the day, $."""
    minutes = rules.money["trip_minutes"].value * max(trips, 1) * job.task.pieces
    rubber = (standing.finding("wears").value or 0.0) * rules.money["job_hours"].value
    return minutes / 60 * _money(job, rules, "machine_hour") + rubber


def _money(job: Job, rules: Rules, key: str) -> float:
    own = getattr(job.costs, key)
    return float(own if own is not None else rules.money[key].value)


def _worth(test: str, name: str, choices: _Choices, result: NDArray[np.int_]) -> TestWorth:
    draws = choices.cost.shape[1]
    now = choices.cost.mean(axis=1)
    best_now = int(np.argmin(now))
    informed, changed = 0.0, 0.0
    instead: dict[str, float] = {}
    for value in np.unique(result):
        here = result == value
        given = choices.cost[:, here].mean(axis=1)
        best = int(np.argmin(given))
        informed += given[best] * here.sum() / draws
        if best != best_now:
            share = float(here.sum()) / draws
            changed += share
            instead[choices.names[best]] = instead.get(choices.names[best], 0.0) + share
    value = float(now[best_now] - informed) if changed else 0.0
    return TestWorth(test, _sentence(name, value, changed, choices.names[best_now], instead), value, changed)


def _sentence(name: str, value: float, changed: float, now: str, instead: dict[str, float]) -> str:
    if changed == 0:
        return f"{name} tonight is worth nothing here: no result would change what to send."
    likeliest = max(instead, key=lambda n: instead[n])
    then = "keep everything at home" if likeliest == HOME else f"send {likeliest}"
    return (
        f"{name} tonight is worth about ${value:,.0f}: {_times(changed)} it would change what to send by cost alone "
        f"(now {now}), most often to {then}."
    )


def _times(share: float) -> str:
    tenths = round(10 * share)
    return "less than one time in ten" if tenths == 0 else f"{tenths} {'time' if tenths == 1 else 'times'} in ten"
