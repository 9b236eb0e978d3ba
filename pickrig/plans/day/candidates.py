"""Every machine asked about every job on every day it may be done: the findings, worked out once."""

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import NamedTuple

from pickrig.checks import Case, Finding, ask_all
from pickrig.checks.ground.site import Site, draw_sites
from pickrig.checks.hauls import class_needed, covers, hauls
from pickrig.inputs import Fleet, Job, Machine
from pickrig.inputs.board import Board, Call
from pickrig.inputs.job import attachment_of
from pickrig.plans.pick.money import cost
from pickrig.plans.pick.ranking import rank, weigh
from pickrig.plans.pick.record import Cost, Standing
from pickrig.rulebook import Rules

_JOB_DRAWS = 2_000


class Rig(NamedTuple):
    """Truck and trailer by number, and who may drive them; None where people are not planned."""

    truck: int
    trailer: int
    drivers: tuple[int, ...] | None = None


def two_for(rig: Rig, operators: tuple[int, ...] | None) -> bool:
    """Whether one may drive the rig while another runs the machine."""
    return rig.drivers is None or any(a != b for a in operators or () for b in rig.drivers)


def is_alone(rigs: tuple[Rig, ...], operators: tuple[int, ...] | None) -> bool:
    """Whether no rig has a driver beside who runs the machine: then it waits for him."""
    return bool(rigs) and operators is not None and not any(two_for(rig, operators) for rig in rigs)


@dataclass(frozen=True)
class Meeting:
    """One machine on one job on one day, its findings without their accounts. bill: what the job costs with it; rigs:
    trucks and trailers that may bring it, None where the fleet file has none. operators: who runs it, None where people
    are not planned.
    """

    call: int
    machine: int
    date: dt.date
    site: Site
    standing: Standing
    bill: Cost
    rigs: tuple[Rig, ...] | None
    operators: tuple[int, ...] | None

    @property
    def rigged(self) -> tuple[Rig, ...] | None:
        """The rigs that somebody may drive."""
        return self.rigs if self.rigs is None else tuple(rig for rig in self.rigs if rig.drivers != ())

    @property
    def possible(self) -> bool:
        return self.standing.usable and self.rigged != () and self.operators != ()


@dataclass(frozen=True)
class _Asked:
    """What was asked already: sites by job, standings by job and ground, rigs by machine and tool."""

    sites: dict[int, tuple[Site, ...]] = field(default_factory=dict)
    standings: dict[tuple[int, dt.date | None], list[tuple[Standing, Cost]]] = field(default_factory=dict)
    rigs: dict[tuple[str, str, str], tuple[Rig, ...]] = field(default_factory=dict)


def meet(
    board: Board,
    fleet: Fleet,
    rules: Rules,
    seed: int,
    step: Callable[[int, int], None],
) -> tuple[Meeting, ...]:
    """In the order of the calls, of their days, and of the fleet. The same job on the same ground is asked once."""
    asked, out = _Asked(), []
    for index, call in enumerate(board.calls):
        for date in call.days:
            site = _site(call, date, rules, seed, asked)
            if site is None:
                continue
            for machine, (standing, bill) in enumerate(_standings(call, site, fleet, rules, asked)):
                rigs = _rigs(call, standing.machine, site, fleet, rules, asked) if standing.usable else None
                able = _operators(standing.machine, fleet)
                out.append(Meeting(index, machine, date, site, standing, bill, rigs, able))
        step(index + 1, len(board.calls))
    return tuple(out)


def in_words(meeting: Meeting, board: Board, rules: Rules) -> tuple[Finding, ...]:
    """The meeting's findings again, with what they say."""
    job = board.calls[meeting.call].job.model_copy(update={"haul": None})
    return ask_all(Case(job, meeting.standing.machine, meeting.site, rules))


def _site(call: Call, date: dt.date, rules: Rules, seed: int, asked: _Asked) -> Site | None:
    """The ground on this day; None where the job has weather and none of that day."""
    key = id(call.job)
    if key not in asked.sites:
        asked.sites[key] = draw_sites(call.job, rules, _JOB_DRAWS, seed)
    sites = asked.sites[key]
    if sites[0].date is None:
        return sites[0]
    return next((site for site in sites if site.date == date), None)


def _standings(call: Call, site: Site, fleet: Fleet, rules: Rules, asked: _Asked) -> list[tuple[Standing, Cost]]:
    """In the order of the fleet. The road is left to the plan, which knows what truck is free."""
    key = (id(call.job), site.date)
    if key not in asked.standings:
        job = call.job.model_copy(update={"haul": None})
        by_name = {s.name: s.bare() for s in rank(job, fleet, rules, site, weigh(job, rules))}
        ordered = [by_name[machine.name] for machine in fleet.machines]
        asked.standings[key] = [(s, cost(Case(job, s.machine, site, rules), s)) for s in ordered]
    return asked.standings[key]


def _rigs(
    call: Call, machine: Machine, site: Site, fleet: Fleet, rules: Rules, asked: _Asked
) -> tuple[Rig, ...] | None:
    if not fleet.trucks or not fleet.trailers:
        return None
    tool = attachment_of(call.job.task, rules)
    key = (machine.name, tool, call.job.country)
    if key not in asked.rigs:
        pairs = [(t, r) for t in range(len(fleet.trucks)) for r in range(len(fleet.trailers))]
        found = (_brings(call.job, machine, site, fleet, pair, rules) for pair in pairs)
        asked.rigs[key] = tuple(rig for rig in found if rig is not None)
    return asked.rigs[key]


def _brings(job: Job, machine: Machine, site: Site, fleet: Fleet, pair: tuple[int, int], rules: Rules) -> Rig | None:
    """Whoever drives: the board knows its people, the job file does not."""
    truck, trailer = fleet.trucks[pair[0]], fleet.trailers[pair[1]]
    driver = job.driver.model_copy(update={"licence": None}) if fleet.people else job.driver
    hauled = job.behind(truck.name, trailer.name).model_copy(update={"driver": driver})
    case = Case(hauled, machine, site, rules, truck, trailer)
    if hauls(case).verdict not in ("go", "caution"):
        return None
    if not fleet.people:
        return Rig(*pair)
    needs = class_needed(case)
    able = (p for p, one in enumerate(fleet.people) if one.licence is not None and covers(one.licence, needs, case.law))
    return Rig(*pair, tuple(able))


def _operators(machine: Machine, fleet: Fleet) -> tuple[int, ...] | None:
    if not fleet.people:
        return None
    return tuple(p for p, one in enumerate(fleet.people) if one.knows(machine.name, machine.kind))
