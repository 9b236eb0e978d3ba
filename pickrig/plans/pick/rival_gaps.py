"""What would make another machine the pick: how much better one of its answers would have to be."""

import numpy as np

from pickrig import quantities, scoring
from pickrig.plans.pick.record import CatchUp, Standing
from pickrig.plans.pick.robustness import value_row
from pickrig.quantities import System
from pickrig.rulebook import Rules


def catch_ups(
    pick: Standing | None, ranking: list[Standing], weights: dict[str, float], rules: Rules, units: System
) -> tuple[CatchUp, ...]:
    """For each usable rival, the single answers that would lift it past the pick, the nearest first."""
    if pick is None:
        return ()
    heavy = np.array(list(weights.values()))
    return tuple(
        CatchUp(rival.name, tuple(_ways(pick, rival, heavy, list(weights), rules, units)), pick.score - rival.score)
        for rival in ranking
        if rival.usable and rival is not pick
    )


def _ways(
    pick: Standing, rival: Standing, heavy: scoring.Array, order: list[str], rules: Rules, units: System
) -> list[str]:
    """Its value would have to rise by the lead over the weight; where that passes 1, this question alone cannot do "
    "it."""
    lead, values = (pick.score - rival.score) / 100, value_row(rival, heavy)
    found = []
    for k, check in enumerate(order):
        now = rival.finding(check).value
        if heavy[k] <= 0 or now is None or rival.finding(check).verdict == "unknown":
            continue
        wanted = values[k] + lead / heavy[k]
        if wanted > 1:
            continue
        question = rules.questions[check]
        point = scoring.point_of_value(wanted, question.points, question.values)
        shown = (quantities.show(x, question.dimension, units) for x in (point, now))
        at, was = shown
        found.append((lead / heavy[k], f"{question.legend} of {at} (now {was})"))
    return [says for _, says in sorted(found)]
