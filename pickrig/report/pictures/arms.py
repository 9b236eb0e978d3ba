"""A load on the arms against what may be carried and what tips the machine: one bar to scale."""

from dataclasses import dataclass

from pickrig.plans.pick.record import OnTheArms

WIDTH = 336.0


@dataclass(frozen=True)
class ArmsPicture:
    """Ends of the load, of what may be carried and of what tips it, along the bar."""

    load: float
    safe: float
    tips: float


def arms_picture(arms: OnTheArms | None) -> ArmsPicture | None:
    if arms is None or arms.tips <= 0:
        return None
    scale = (WIDTH - 8) / max(arms.tips, arms.load)
    load, safe, tips = (round(4 + kg * scale, 1) for kg in (arms.load, arms.safe, arms.tips))
    return ArmsPicture(load, safe, tips)
