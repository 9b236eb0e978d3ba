"""A route is as weak as its weakest spots: how far they lie below the lot's own strength."""

import numpy as np

from pickrig.checks.ground.draws import Array, Luck
from pickrig.inputs import Job
from pickrig.rulebook import Rules

_STEP = 2.0  # m, about the length of a contact


def length(job: Job, rules: Rules) -> float:
    """Metres the machine goes over soft ground, one way: as the job says, else a usual route."""
    given = job.ground.route if job.ground.route is not None else job.task.haul
    return rules.strength["usual_route"].value if given is None else given


def weakest(job: Job, rules: Rules, luck: Luck) -> Array:
    """Strength of the weakest spot along the route over that of the lot, a draw each, the same for every machine.

    The logarithm of strength varies along a route as a normal process with an exponential correlation (spread and
    length measured: rules/strength.toml). A vehicle cone index is read off a lane against that lane's mean, so what a
    lane of its own holds is taken off again; a way shorter than such a lane gains nothing by it.
    """
    rows = rules.strength
    way = min(max(length(job, rules), rows["lane_length"].value), rows["longest_route"].value)
    steps, lane = (1 + int(reach / _STEP) for reach in (way, rows["lane_length"].value))
    keeps = float(np.exp(-_STEP / rows["spot_length"].value))
    along = luck.along(steps)
    spot = lowest = of_lane = next(along)
    for step, fresh in enumerate(along, start=2):
        spot = keeps * spot + np.sqrt(1 - keeps**2) * fresh
        lowest = np.minimum(lowest, spot)
        of_lane = lowest if step == lane else of_lane
    put_back = rows["lane_spread"].value * float(np.median(of_lane))
    return np.exp(rows["spot_spread"].value * lowest - put_back)
