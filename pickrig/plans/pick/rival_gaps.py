"""What would make another machine the pick: how much better one of its answers would have to be."""

import numpy as np

from pickrig import scoring
from pickrig.facts import Quantity, Ruled, Said, Statements
from pickrig.plans.pick.record import CatchUp, Standing
from pickrig.plans.pick.robustness import value_row
from pickrig.rulebook import Rules


def catch_ups(
    pick: Standing | None, ranking: list[Standing], weights: dict[str, float], rules: Rules
) -> tuple[CatchUp, ...]:
    """For each usable rival, the single answers that would lift it past the pick, the nearest first."""
    if pick is None:
        return ()
    heavy = np.array(list(weights.values()))
    return tuple(
        CatchUp(rival.name, _ways(pick, rival, heavy, list(weights), rules), pick.score - rival.score)
        for rival in ranking
        if rival.usable and rival is not pick
    )


def _ways(pick: Standing, rival: Standing, heavy: scoring.Array, order: list[str], rules: Rules) -> Statements:
    """Its value would have to rise by the lead over the weight; past 1, this question alone cannot do it."""
    lead, values = (pick.score - rival.score) / 100, value_row(rival, heavy)
    found: list[tuple[float, Said]] = []
    for k, check in enumerate(order):
        now = rival.finding(check).value
        if heavy[k] <= 0 or now is None or rival.finding(check).verdict == "unknown":
            continue
        wanted = values[k] + lead / heavy[k]
        if wanted > 1:
            continue
        question = rules.questions[check]
        point = scoring.point_of_value(wanted, question.points, question.values)
        at, was = (Quantity(float(x), question.dimension) for x in (point, now))
        found.append((lead / heavy[k], Said("catch_up.way", what=Ruled(question.legend), at=at, now=was)))
    return tuple(said for _, said in sorted(found, key=lambda pair: pair[0]))
