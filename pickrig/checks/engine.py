"""What the engine pulls with."""

from pickrig.checks.case import Case, need
from pickrig.physics import traction


def engine_pull(case: Case, speed: float) -> float:
    """Pull the engine keeps up at this speed, m/s, or the drive's stall where the file has it, N."""
    pull = float(traction.rimpull(need(case.machine.power, "power"), speed, case.rules.pull.drive_efficiency.value))
    return min(pull, case.machine.drive_pull or pull)
