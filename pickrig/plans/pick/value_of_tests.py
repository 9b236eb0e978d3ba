"""What a test tonight is worth: the money that knowing its result before sending a machine saves, on average."""

from dataclasses import dataclass
from math import log

import numpy as np
from numpy.typing import NDArray

from pickrig.checks import Case
from pickrig.checks.carrying import carry
from pickrig.checks.ground.demand import needed, own_error
from pickrig.checks.ground.site import Site
from pickrig.facts import Chance, Quantity, Said, Value
from pickrig.inputs import Job
from pickrig.plans.pick.money import cost, setting
from pickrig.plans.pick.record import Standing, TestWorth
from pickrig.plans.pick.stakes import stakes
from pickrig.rulebook import Rules
from pickrig.rulebook.tables import Question
from pickrig.scoring import piecewise_value

HOME = ""  # nothing is sent
_CONE_BINS = 10
_NOISE = 0.01  # share of results below which a change of pick is the luck of the draw


@dataclass(frozen=True)
class _Choice:
    """One machine that could be sent: the points of its other answers, and what it costs where it holds, $."""

    name: str
    other_points: float
    holds: NDArray[np.bool_]  # a draw each
    handling: float


@dataclass(frozen=True)
class _Rule:
    """How a machine is picked once the chance of holding is known: the pick's own rule."""

    choices: tuple[_Choice, ...]
    weight: float
    curve: Question
    limit: float
    stuck: float  # $ a bogged machine costs
    home: float  # $ sending nothing costs; the work itself is done another day

    def pick(self, here: NDArray[np.bool_]) -> int | None:
        """Index of the machine picked on the draws that are left, None to send nothing."""
        best, points = None, -1.0
        for index, choice in enumerate(self.choices):
            chance = float(choice.holds[here].mean())
            worth = piecewise_value(chance, self.curve.points, self.curve.values)
            total = choice.other_points + 100 * self.weight * float(worth)
            if chance >= self.limit and total > points:
                best, points = index, total
        return best

    def cost(self, index: int | None, here: NDArray[np.bool_]) -> float:
        """Mean cost of that choice on those draws, $."""
        if index is None:
            return self.home + min(choice.handling for choice in self.choices)
        choice = self.choices[index]
        return choice.handling + self.stuck * (1 - float(choice.holds[here].mean()))

    def name(self, index: int | None) -> str:
        return HOME if index is None else self.choices[index].name


def worth_of_tests(
    job: Job, ranking: list[Standing], site: Site, weights: dict[str, float], rules: Rules, seed: int
) -> tuple[TestWorth, ...]:
    """What a thumb test and a cone reading are worth, by what their results would do to the pick; () without fine soil.

    Expected value of sample information on the draws of the ground: cost of the pick as it stands, less the mean cost
    of what would be done given each result, which is the pick's own rule again, or waiting a day where that is
    cheaper. Zero when no result changes the pick.
    """
    if site.undrained is None or site.undisturbed is None or site.frost or job.ground.frost:
        return ()
    rule = _rule(job, ranking, site, weights, rules)
    if not rule.choices:
        return ()
    noise = np.random.default_rng([seed, 1]).standard_normal((2, len(site.undrained)))
    hand, cone = rules.field_tests["thumb"], rules.field_tests["cone"]
    edges = [1e3 * result.kpa[0] for result in hand.results.values()][1:]
    thumb = np.digitize(site.undrained * np.exp(log(hand.misreading) * noise[0]), edges)
    reading = site.undisturbed * np.exp(log(cone.misreading) * noise[1])
    bins = np.digitize(reading, np.quantile(reading, np.linspace(0, 1, _CONE_BINS + 1)[1:-1]))
    tests = {"thumb": thumb, "cone": bins}
    return tuple(_worth(test, rule, result) for test, result in tests.items() if not getattr(job.ground, test))


def _rule(job: Job, ranking: list[Standing], site: Site, weights: dict[str, float], rules: Rules) -> _Rule:
    assert site.strength is not None
    position = list(weights).index("floats")
    choices = []
    for standing in sorted(ranking, key=lambda s: s.name):
        if standing.open_questions or any(f.verdict == "no-go" for f in standing.findings if f.check != "floats"):
            continue
        case = Case(job, standing.machine, site, rules)
        loading = carry(case)
        holds = site.holds(standing.machine, needed(case, loading, loading.payload), own_error(case))
        other = standing.score - standing.parts[position]
        own = cost(case, standing)
        choices.append(_Choice(standing.name, other, holds, own.work + own.rubber + own.repair))
    half_day = setting(job, rules, "lost_half_day")
    bet = max(stakes(job, rules).bet, rules.limits.floats.caution)
    return _Rule(
        tuple(choices),
        weights["floats"],
        rules.questions["floats"],
        bet,
        stuck=setting(job, rules, "recovery") + half_day,
        home=half_day,
    )


def _worth(test: str, rule: _Rule, result: NDArray[np.int_]) -> TestWorth:
    everywhere = np.ones_like(result, dtype=bool)
    now = rule.pick(everywhere)
    informed, changed = 0.0, 0.0
    instead: dict[str, float] = {}
    for value in np.unique(result):
        here = result == value
        share = float(here.mean())
        then = rule.pick(here)
        if rule.cost(then, here) > rule.cost(None, here):
            then = None  # knowing this, one would rather wait a day
        informed += share * rule.cost(then, here)
        if then != now:
            changed += share
            instead[rule.name(then)] = instead.get(rule.name(then), 0.0) + share
    if changed < _NOISE:
        changed = 0.0
    value = max(rule.cost(now, everywhere) - informed, 0.0) if changed else 0.0
    return TestWorth(test, value, changed, _says(test, value, changed, instead))


def _says(test: str, value: float, changed: float, instead: dict[str, float]) -> Said:
    """What it is worth, how often it would change what is sent, and what would go most often then."""
    if changed == 0:
        return Said(f"worth.{test}_nothing")
    likeliest = max(instead, key=lambda n: instead[n])
    money = f"worth.{test}" if value >= 1 else f"worth.{test}_little"
    given: dict[str, Value] = {"value": Quantity(value, "money"), "changes": Chance(changed)}
    return Said(f"{money}_home", **given) if likeliest == HOME else Said(money, **given, machine=likeliest)
