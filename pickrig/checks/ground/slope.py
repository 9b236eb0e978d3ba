"""What a slope does to the loads on the ground: up and down it the heavy end is uphill, across it one side carries."""

from dataclasses import dataclass

import numpy as np

from pickrig.checks.carrying import Carry
from pickrig.checks.case import Case, need
from pickrig.checks.ground.draws import Array
from pickrig.facts import Step, number, small
from pickrig.physics import tipping


@dataclass(frozen=True)
class Lean:
    """Empty and loaded. forward: how far the weight comes to lie ahead of where it lies on the level, m. downhill: load
    on the downhill side over half the weight."""

    forward: Array
    downhill: Array

    def working(self, loaded: int) -> tuple[Step, ...]:
        """The step that shows it; none on the level."""
        ahead, share = float(self.forward[loaded]), float(self.downhill[loaded])
        if ahead == 0 and share == 1:
            return ()
        return (Step("floats.lean", x=small(ahead), k=number(share, 2)),)


def lean(case: Case, loading: Carry, payload: Array) -> Lean:
    """Of a machine on the job's slope, load carried low. Statics: h tan b, and 1 + 2 h tan b / gauge across.

    Loaded it drives with its front uphill, empty with its tail: the slope presses the lighter end.
    """
    ground = case.job.ground
    grade, across = ground.grade or 0.0, ground.grade_across or 0.0
    if not grade and not across:
        return Lean(np.zeros_like(payload), np.ones_like(payload))
    low = case.rules.strength["carry_height"].value
    height = tipping.combined_height(loading.mass, need(case.machine.centre_height, "centre_height"), payload, low)
    way = np.where(payload > 0, -1.0, 1.0)
    downhill = 1 + 2 * height * across / need(case.machine.gauge, "gauge") if across else np.ones_like(payload)
    return Lean(way * height * grade, np.minimum(downhill, 2.0))
