"""When each job of a day starts: machines, trucks and trailers each in one place at a time."""

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Slot:
    """One job of a day. rig: the truck and the trailer that bring the machine, if any. move: the road one way, h.

    held: h the rig is away for the delivery, from the yard to the yard; None where it stays until the machine is done.
    """

    machine: int
    rig: tuple[int, int] | None
    hours: float
    move: float
    held: float | None


def timetable(slots: Sequence[Slot]) -> list[tuple[float, float]]:
    """Start, the road there included, and end of each job, h after the day begins. The machine with most left goes
    first.

    A list schedule, not the best there is: it shows who waits for whom, and a day that runs over.
    """
    free: dict[tuple[str, int], float] = {}
    left = list(range(len(slots)))
    times = [(0.0, 0.0)] * len(slots)
    while left:
        own = {s.machine: sum(slots[k].hours for k in left if slots[k].machine == s.machine) for s in slots}
        nearest = {k: max((free.get(one, 0.0) for one in _needs(slots[k])), default=0.0) for k in left}
        k = min(left, key=lambda k: (nearest[k], -own[slots[k].machine], k))
        slot, start = slots[k], nearest[k]
        end = start + slot.move + slot.hours
        times[k] = (start, end)
        free["machine", slot.machine] = end + slot.move
        for one in _needs(slot)[1:]:
            free[one] = end + slot.move if slot.held is None else start + slot.held
        left.remove(k)
    return times


def _needs(slot: Slot) -> list[tuple[str, int]]:
    rig = [("truck", slot.rig[0]), ("trailer", slot.rig[1])] if slot.rig is not None else []
    return [("machine", slot.machine), *rig]
