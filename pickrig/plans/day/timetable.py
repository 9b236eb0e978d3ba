"""When each job of a day starts: machines, trucks and trailers each in one place at a time."""

from collections.abc import Sequence
from dataclasses import dataclass

Thing = tuple[str, int]


@dataclass(frozen=True)
class Slot:
    """One job of a day. rig: the truck and the trailer that bring and fetch the machine, if any. hours of work; move:
    the road one way, h. there: the machine stands on the site already."""

    machine: int
    rig: tuple[int, int] | None
    hours: float
    move: float
    there: bool = False


@dataclass(frozen=True)
class Times:
    """h after the day begins: machine or operator sets out, work ends, the rig sets out to fetch, all are home."""

    start: float
    end: float
    fetch: float
    back: float


def timetable(slots: Sequence[Slot], stay: bool) -> list[Times]:
    """What can be done soonest goes first; of two, the machine with most left. A list schedule, not the best there is.

    stay: the rig waits on the site. Else it goes home after a delivery, empty, and comes back to fetch.
    """
    free: dict[Thing, float] = {}
    waiting = set(range(len(slots)))
    out: dict[int, Times] = {}  # at work, to be fetched
    told: dict[int, Times] = {}
    while waiting or out:
        away = {slots[k].machine for k in out}
        starts = {
            k: _ready(slots[k], stay, free)
            for k in waiting
            if slots[k].machine not in away and _is_next(k, slots, waiting)
        }
        fetches = {k: max(out[k].end - slots[k].move, _rig_free(slots[k], free)) for k in out}
        soonest = min([*starts.values(), *fetches.values()])
        due = [k for k, at in fetches.items() if at == soonest]
        if due:
            told[due[0]] = _fetched(slots[due[0]], out.pop(due[0]), soonest, free)
            continue
        k = min((k for k, at in starts.items() if at == soonest), key=lambda k: _turn(k, slots, waiting))
        waiting.remove(k)
        times = _sent(slots[k], soonest, stay, free)
        (told if stay or slots[k].rig is None else out)[k] = times
    return [told[k] for k in range(len(slots))]


def _is_next(k: int, slots: Sequence[Slot], waiting: set[int]) -> bool:
    """A machine's work where it stands comes before all its other work."""
    return slots[k].there or not any(slots[j].there and slots[j].machine == slots[k].machine for j in waiting)


def _turn(k: int, slots: Sequence[Slot], waiting: set[int]) -> tuple[float, int]:
    left = sum(slots[j].hours for j in waiting if slots[j].machine == slots[k].machine)
    return -left, k


def _ready(slot: Slot, stay: bool, free: dict[Thing, float]) -> float:
    """When it can set out: a machine that is there waits for no delivery."""
    own = free.get(("machine", slot.machine), 0.0)
    return own if slot.there and not stay else max(own, _rig_free(slot, free))


def _rig_free(slot: Slot, free: dict[Thing, float]) -> float:
    return max((free.get(one, 0.0) for one in _rig(slot)), default=0.0)


def _rig(slot: Slot) -> list[Thing]:
    return [("truck", slot.rig[0]), ("trailer", slot.rig[1])] if slot.rig is not None else []


def _sent(slot: Slot, start: float, stay: bool, free: dict[Thing, float]) -> Times:
    end = start + slot.move + slot.hours
    home = end + slot.move
    if stay or slot.rig is None:
        free["machine", slot.machine] = home
        free.update(dict.fromkeys(_rig(slot), home))
    elif not slot.there:
        free.update(dict.fromkeys(_rig(slot), start + 2 * slot.move))
    return Times(start, end, end, home)


def _fetched(slot: Slot, times: Times, leaves: float, free: dict[Thing, float]) -> Times:
    home = leaves + 2 * slot.move
    free["machine", slot.machine] = home
    free.update(dict.fromkeys(_rig(slot), home))
    return Times(times.start, times.end, leaves, home)
