"""When each job of a day starts: machines, trucks, trailers and people each in one place at a time."""

from collections import Counter, defaultdict
from collections.abc import Hashable, Sequence
from dataclasses import dataclass, field, replace
from itertools import islice
from random import Random
from typing import Any

from pickrig.plans.day.candidates import Rig, two_for

Thing = tuple[str, int]
_TINY = 1e-9
_ORDERS = 200  # slots times orders that are tried


@dataclass(frozen=True)
class Slot:
    """One job of a day. rigs: those that may bring and fetch the machine, and who may drive them; none for a machine
    that no rig brings. hours of work; move: the road one way, h, loading and unloading in it; empty: without them.
    there: the machine stands on the site already. operators: who may run it; None where people are not planned. must:
    it is late last of all. stays: the rig waits on the site, and who drives it runs the machine where he may; else it
    goes home empty after a delivery, and comes back for it. told: when it was to be there by a plan of before, h."""

    machine: int
    rigs: tuple[Rig, ...]
    hours: float
    move: float
    empty: float
    there: bool = False
    operators: tuple[int, ...] | None = None
    must: bool = False
    stays: bool = False
    told: float | None = None


@dataclass(frozen=True)
class Yard:
    """What a day has. length: h of the day of a machine or rig; people: h of each of them. grace: h by which all may be
    late. reload: h of loading and unloading, saved where a machine goes straight on."""

    length: float
    people: Sequence[float] = ()
    grace: float = 0.0
    reload: float = 0.0


@dataclass(frozen=True)
class Hands:
    """The rig that brings or fetches a machine, who runs the machine and who drives the rig."""

    rig: Rig | None = None
    runs: int | None = None
    drives: int | None = None


@dataclass(frozen=True)
class Times:
    """h after the day begins: machine or operator sets out, is on the site, has done, machine is home. onto: the slot
    it goes to straight from here."""

    start: float
    arrive: float
    end: float
    back: float
    hands: Hands
    onto: int | None = None


@dataclass(frozen=True)
class Leg:
    """A drive of one rig. what: "deliver" a machine, "home" empty, "out" empty, "fetch" a machine, or "shift" it from
    the site of one slot to that of another. slot: whose site it goes to or comes from. before: the slot a shift comes
    from."""

    what: str
    slot: int
    rig: Rig
    driver: int | None
    leaves: float
    arrives: float
    before: int | None = None


@dataclass
class Timetable:
    """A day's times by slot, and its drives in the order in which they were planned. over: slots on which somebody
    works longer than he may, or that are not home by the end of the day. tired: who works longer, and how long, h."""

    times: dict[int, Times] = field(default_factory=dict)
    legs: list[Leg] = field(default_factory=list)
    over: set[int] = field(default_factory=set)
    tired: dict[int, float] = field(default_factory=dict)

    @property
    def last(self) -> float:
        return max(times.back for times in self.times.values())


@dataclass(frozen=True)
class Planned:
    """One day's clock. offers: the slots of its timetable, by number."""

    offers: tuple[int, ...]
    timetable: Timetable


def timetable(slots: Sequence[Slot], yard: Yard) -> Timetable:
    """What can be done soonest goes first; of two, the machine with most left. Where that comes out too late, the best
    of some other orders, in half of which drivers only drive: good, not the best there is. The times that
    people were told are tried first."""
    if any(slot.told is not None for slot in slots):
        held = _Day(slots, yard, None).planned()
        if not held.over:
            return held
        slots = [replace(slot, told=None) for slot in slots]
    drivers = {p for slot in slots for rig in slot.rigs for p in rig.drivers or ()}
    ways = [list(slots), [_spared(slot, drivers) for slot in slots]] if drivers else [list(slots)]
    luck = Random(0)  # the same orders every time
    turns: list[int] | None = None
    days: list[Timetable] = []
    for _ in range(max(_ORDERS // len(slots), 1)):
        days += [_Day(way, yard, turns).planned() for way in ways]
        if any(not day.over for day in days):
            break
        turns = luck.sample(range(len(slots)), len(slots))
    musts = {k for k, slot in enumerate(slots) if slot.must}
    return min(days, key=lambda day: (len(day.over & musts), len(day.over), round(day.last, 6)))


def _spared(slot: Slot, drivers: set[int]) -> Slot:
    """Run by somebody who need not drive, where there is one."""
    others = tuple(p for p in slot.operators or () if p not in drivers)
    return replace(slot, operators=others) if others else slot


class _Day:
    """The day while it is planned: when everything is free again, what waits to be sent, what is out."""

    def __init__(self, slots: Sequence[Slot], yard: Yard, turns: Sequence[int] | None) -> None:
        self.slots, self.yard, self.turns = slots, yard, turns
        self.stays = [slot.stays for slot in slots]
        self.asked = Counter(rig for slot in slots for rig in slot.rigs)
        self.free: dict[Thing, float] = defaultdict(float)
        self.first: dict[Hashable, list[Any]] = {}  # rigs or people by when they are free, until one is taken
        self.hand_in: dict[int, set[int]] = defaultdict(set)  # slots, by the people who have a hand in them
        self.waiting = set(range(len(slots)))
        self.out: set[int] = set()  # slots at work whose machine is to be fetched
        self.day = Timetable()

    def planned(self) -> Timetable:
        while self.waiting or self.out:
            away = {self.slots[k].machine for k in self.out}
            ready = [k for k in self.waiting if self.slots[k].machine not in away and self._is_next(k)]
            starts = {k: self._hands(k)[0] for k in ready}
            leaves = {k: self._comes(k)[0] for k in self.out}
            soonest = min([*starts.values(), *leaves.values()])
            due = sorted(k for k, at in leaves.items() if at == soonest)
            if due:
                self._take_away(due[0])
            else:
                self._send(min((k for k, at in starts.items() if at == soonest), key=self._turn))
        late = {k for k, times in self.day.times.items() if times.back > self.yard.length + self.yard.grace + _TINY}
        self.day.tired = {p: self.free["person", p] for p in self.hand_in if self.free["person", p] > self._until(p)}
        self.day.over = late.union(*(self.hand_in[p] for p in self.day.tired))
        return self.day

    def _is_next(self, k: int) -> bool:
        """A machine's work where it stands comes before all its other work."""
        return self.slots[k].there or not any(
            self.slots[j].there and self.slots[j].machine == self.slots[k].machine for j in self.waiting
        )

    def _turn(self, k: int) -> tuple[float, int]:
        if self.turns is not None:
            return float(self.turns[k]), k
        left = sum(self.slots[j].hours for j in self.waiting if self.slots[j].machine == self.slots[k].machine)
        return -left, k

    def _take(self, thing: Thing, until: float) -> None:
        self.free[thing] = until
        self.first.clear()

    def _hands(self, k: int) -> tuple[float, Hands]:
        """When machine, rig and people can set out together, and which. A machine that is there waits for no
        delivery."""
        slot, stays = self.slots[k], self.stays[k]
        at, whole = max(self.free["machine", slot.machine], self._told(k)), slot.hours + 2 * slot.move
        if not slot.rigs or (slot.there and not stays):
            at, runs = self._who(slot.operators, at, whole)
            return at, Hands(runs=runs)
        tried = [self._with(rig, slot, at, stays) for rig in self._rigs(slot) if stays or two_for(rig, slot.operators)]
        _, at, _, hands = min(tried, key=lambda one: one[:3])
        return at, hands

    def _told(self, k: int) -> float:
        """When it sets out to be there as it was told."""
        slot = self.slots[k]
        return 0.0 if slot.told is None else max(slot.told - self._way_out(k), 0.0)

    def _way_out(self, k: int) -> float:
        """Who waits with a rig beside a machine that is there comes with nothing on the trailer."""
        slot = self.slots[k]
        return slot.empty if slot.there and self.stays[k] else slot.move

    def _rigs(self, slot: Slot) -> list[Rig]:
        """Of rigs that the same people drive, the first to be free; of two, the one that fewer jobs can have."""
        if id(slot.rigs) not in self.first:
            best: dict[tuple[int, ...] | None, Rig] = {}
            for rig in sorted(slot.rigs, key=lambda rig: (self._rig_free(rig), self.asked[rig])):
                best.setdefault(rig.drivers, rig)
            self.first[id(slot.rigs)] = list(best.values())
        return self.first[id(slot.rigs)]

    def _with(self, rig: Rig, slot: Slot, at: float, stays: bool) -> tuple[bool, float, int, Hands]:
        """Whether somebody would work too long with this rig, when it can set out, and with whom."""
        at, whole = max(at, self._rig_free(rig)), slot.hours + 2 * slot.move
        if slot.operators is None or rig.drivers is None:
            return False, at, self.asked[rig], Hands(rig)
        both = tuple(p for p in slot.operators if p in rig.drivers)
        if stays and both:
            then, one = self._who(both, at, whole)
            return self._tired(one, then, whole), then, self.asked[rig], Hands(rig, one, one)
        road = whole if stays else slot.move + slot.empty
        runs, drives = self._firsts(slot.operators, at, whole), self._firsts(rig.drivers, at, road)
        pairs = [(a, b) for a in runs for b in drives if a != b]

        def late(pair: tuple[int, int]) -> tuple[bool, float, tuple[int, int]]:
            then = max(at, *(self.free["person", p] for p in pair))
            return self._tired(pair[0], then, whole) or self._tired(pair[1], then, road), then, pair

        tired, then, (a, b) = min(late(pair) for pair in pairs)
        return tired, then, self.asked[rig], Hands(rig, a, b)

    def _firsts(self, able: tuple[int, ...], at: float, span: float) -> list[int]:
        """The two who are free first, of those who have the hours left before all others."""
        if able not in self.first:
            self.first[able] = sorted(able, key=lambda p: self.free["person", p])
        by_time = self.first[able]
        fresh = (p for p in by_time if not self._tired(p, self._free(p, at), span))
        return list(dict.fromkeys([*islice(fresh, 2), *by_time]))[:2]

    def _who(self, able: tuple[int, ...] | None, at: float, span: float) -> tuple[float, int | None]:
        """The first of these to be free who has the hours left, and when."""
        if not able:
            return at, None
        one = self._firsts(able, at, span)[0]
        return self._free(one, at), one

    def _free(self, person: int, at: float) -> float:
        return max(at, self.free["person", person])

    def _tired(self, person: int | None, at: float, span: float) -> bool:
        return person is not None and at + span > self._until(person)

    def _until(self, person: int) -> float:
        return self.yard.people[person] + self.yard.grace + _TINY

    def _rig_free(self, rig: Rig) -> float:
        return max(self.free["truck", rig.truck], self.free["trailer", rig.trailer])

    def _send(self, k: int) -> None:
        """Machine, rig and people set out for a job."""
        slot = self.slots[k]
        start, hands = self._hands(k)
        self.waiting.remove(k)
        arrive = start + self._way_out(k)
        end = arrive + slot.hours
        self._works(k, Times(start, arrive, end, end + slot.move, hands))
        if not slot.rigs:
            return
        self.out.add(k)
        if self.stays[k]:
            self._drive("out" if slot.there else "deliver", k, hands, start, arrive)
            self._waits(k)
        elif not slot.there:
            self._drive("deliver", k, hands, start, arrive)
            self._drive("home", k, hands, arrive, arrive + slot.empty)

    def _works(self, k: int, times: Times) -> None:
        """Who runs it is home after it; a machine that no rig fetches too."""
        slot = self.slots[k]
        self.day.times[k] = times
        self._take(("machine", slot.machine), times.back)
        self._person(times.hands.runs, times.end + slot.move, k)

    def _waits(self, k: int) -> None:
        """A rig that stays is taken until it is home, and who drives it too."""
        times = self.day.times[k]
        self._busy(times.hands, times.back, k)

    def _busy(self, hands: Hands, until: float, k: int) -> None:
        assert hands.rig is not None
        self._take(("truck", hands.rig.truck), until)
        self._take(("trailer", hands.rig.trailer), until)
        self._person(hands.drives, until, k)

    def _person(self, who: int | None, until: float, k: int) -> None:
        if who is not None:
            self._take(("person", who), self._free(who, until))
            self.hand_in[who].add(k)

    def _drive(self, what: str, k: int, hands: Hands, leaves: float, arrives: float, before: int | None = None) -> None:
        assert hands.rig is not None
        self.day.legs.append(Leg(what, k, hands.rig, hands.drives, leaves, arrives, before))
        self._busy(hands, arrives, k)

    def _next_of(self, k: int) -> int | None:
        """The job its machine goes on to, straight from this one: with the rig that waits, or with one that comes."""
        own = [j for j in sorted(self.waiting) if self.slots[j].machine == self.slots[k].machine and self.slots[j].rigs]
        own = [j for j in own if self.stays[j] == self.stays[k] and (not self.stays[k] or self._stays_on(k, j))]
        return own[0] if own else None

    def _stays_on(self, k: int, j: int) -> bool:
        """Whether the rig and those who are with it may and can do the next job too."""
        times, slot = self.day.times[k], self.slots[j]
        may = times.hands.rig in slot.rigs and (slot.operators is None or times.hands.runs in slot.operators)
        people = {p for p in (times.hands.runs, times.hands.drives) if p is not None}
        back = self._between(k, j) + slot.hours + slot.move
        return may and all(
            self.free["person", p] <= times.back + _TINY and not self._tired(p, times.end, back) for p in people
        )

    def _between(self, k: int, j: int) -> float:
        """By way of the yard without unloading there: nothing tells how near two sites are."""
        return max(self.slots[k].move + self.slots[j].move - self.yard.reload, self.yard.reload)

    def _comes(self, k: int) -> tuple[float, Hands]:
        """When the rig that takes a machine away leaves for it, and who drives."""
        if self.stays[k]:
            return self.day.times[k].end, self.day.times[k].hands
        slot, times, onto = self.slots[k], self.day.times[k], self._next_of(k)
        brings = slot if onto is None else self.slots[onto]
        road = slot.empty + (slot.move if onto is None else self._between(k, onto) + brings.empty)
        tried = []
        for rig in self._rigs(brings):
            at, who = self._who(rig.drivers, max(times.end - slot.empty, self._rig_free(rig)), road)
            tried.append((self._tired(who, at, road), at, self.asked[rig], Hands(rig, times.hands.runs, who)))
        _, at, _, hands = min(tried, key=lambda one: one[:3])
        return at, hands

    def _take_away(self, k: int) -> None:
        """Home, or on to its next job."""
        (leaves, hands), onto, slot = self._comes(k), self._next_of(k), self.slots[k]
        self.out.remove(k)
        there = leaves if self.stays[k] else leaves + slot.empty
        if onto is not None:
            self._shift(k, onto, hands, leaves, there)
            return
        if not self.stays[k]:
            self._drive("out", k, hands, leaves, there)
        self._drive("fetch", k, hands, there, there + slot.move)
        times = self.day.times[k]
        rig = times.hands.rig or hands.rig  # of a machine that was there: the one that fetches it
        self.day.times[k] = replace(times, back=there + slot.move, hands=replace(times.hands, rig=rig))
        self._take(("machine", slot.machine), there + slot.move)

    def _shift(self, k: int, j: int, hands: Hands, leaves: float, there: float) -> None:
        """From one site to the next: who ran it goes with it where he has the hours, else another comes."""
        slot, came = self.slots[j], there + self._between(k, j)
        self.waiting.remove(j)
        if not self.stays[k]:
            self._drive("out", j, hands, leaves, there, before=k)
        self._drive("shift", j, hands, there, came, before=k)
        if not self.stays[k]:
            self._drive("home", j, hands, came, came + slot.empty)
        arrive, runs = (came, hands.runs) if self.stays[k] else self._runs_next(k, j, came)
        before = self.day.times[k]
        rig = before.hands.rig or hands.rig
        self.day.times[k] = replace(before, back=there, onto=j, hands=replace(before.hands, rig=rig))
        end = arrive + slot.hours
        self._works(j, Times(there, arrive, end, end + slot.move, replace(hands, runs=runs)))
        self.out.add(j)
        if self.stays[k]:
            self._waits(j)

    def _runs_next(self, k: int, j: int, came: float) -> tuple[float, int | None]:
        """Who runs the machine on the next site, and from when."""
        slot, before = self.slots[j], self.day.times[k]
        runs = before.hands.runs
        still = runs is not None and self.free["person", runs] <= before.end + self.slots[k].move + _TINY
        if slot.operators is None or (
            still and runs in slot.operators and not self._tired(runs, came, slot.hours + slot.move)
        ):
            return came, runs
        ready, runs = self._who(slot.operators, came - slot.move, slot.hours + 2 * slot.move)
        return max(came, ready + slot.move), runs
