"""Every machine asked about every job on every day it may be done: the findings, worked out once."""

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, field

from pickrig.checks import Case, Finding, ask_all
from pickrig.checks.ground.site import Site, draw_sites
from pickrig.checks.hauls import hauls
from pickrig.inputs import Fleet, Job, Machine
from pickrig.inputs.board import Board, Call
from pickrig.inputs.job import attachment_of
from pickrig.plans.pick.money import cost
from pickrig.plans.pick.ranking import rank, weigh
from pickrig.plans.pick.record import Cost, Standing
from pickrig.rulebook import Rules

_JOB_DRAWS = 2_000
Rig = tuple[int, int]  # truck and trailer by number


@dataclass(frozen=True)
class Meeting:
    """One machine on one job on one day, its findings without their accounts. bill: what the job costs with it; rigs:
    trucks and trailers that may bring it.

    rigs is None where the fleet file has no trucks and trailers.
    """

    call: int
    machine: int
    date: dt.date
    site: Site
    standing: Standing
    bill: Cost
    rigs: tuple[Rig, ...] | None

    @property
    def possible(self) -> bool:
        return self.standing.usable and self.rigs != ()


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
                out.append(Meeting(index, machine, date, site, standing, bill, rigs))
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
        asked.rigs[key] = tuple(pair for pair in pairs if _brings(call.job, machine, site, fleet, pair, rules))
    return asked.rigs[key]


def _brings(job: Job, machine: Machine, site: Site, fleet: Fleet, pair: Rig, rules: Rules) -> bool:
    truck, trailer = fleet.trucks[pair[0]], fleet.trailers[pair[1]]
    hauled = job.behind(truck.name, trailer.name)
    return hauls(Case(hauled, machine, site, rules, truck, trailer)).verdict in ("go", "caution")
