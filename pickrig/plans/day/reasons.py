"""Why the board is as it is: a job's second choice, an idle machine, a job undone, and what to look at twice."""

import datetime as dt
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from pickrig.checks import Finding
from pickrig.facts import Chance, Key, Quantity, Said, Statements
from pickrig.plans.day.assignment import Choice, Problem, solve
from pickrig.plans.day.candidates import Meeting, in_words
from pickrig.plans.day.offers import Table, hours_of, stops
from pickrig.plans.day.record import Line
from pickrig.plans.day.timetable import Planned
from pickrig.rulebook import Rules

_SAME = 0.5  # $ or points within which two plans are the same
_SECONDS = 5.0


@dataclass(frozen=True)
class Chosen:
    """A table, the problem with what its clock has taught, and what was chosen. again: whether the board is small
    enough to be solved again for every reason. dropped: jobs that the clock took off."""

    table: Table
    problem: Problem
    choice: Choice
    rules: Rules
    again: bool
    dropped: frozenset[int] = frozenset()

    def total(self, choice: Choice) -> float:
        """Dollars a choice leaves, or its points, without priorities."""
        table = self.table
        if not table.by_money:
            return float(sum(table.of(k).standing.score for k in choice.taken.tolist()))
        calls = table.board.calls
        done = sum(table.left_by(k) for k in choice.taken.tolist())
        hired = sum((calls[k].pays or 0.0) - (calls[k].hire or 0.0) for k in choice.hired.tolist())
        return float(done + hired - sum(calls[k].postpone for k in choice.undone.tolist()))

    def forced(self, job: int, machine: int | None = None) -> Choice:
        """The best board on which this job is done by the yard, by this machine if one is named."""
        problem = self.problem
        offers = problem.job == job
        return solve(
            problem.forced(job, offers if machine is None else offers & (problem.machine == machine)), _SECONDS
        )

    def amount(self, sum_: float) -> Quantity:
        """Dollars, or points where the board goes by scores."""
        return Quantity(sum_, "money" if self.table.by_money else "points")

    def name(self, call: int) -> str:
        return self.table.board.calls[call].name

    def words(self, meeting: Meeting) -> tuple[Finding, ...]:
        return in_words(meeting, self.table.board, self.rules)

    def offers(self, of: str, index: int) -> list[int]:
        """Offers of one job, or of one machine, the best first."""
        own = np.flatnonzero(getattr(self.problem, of) == index)
        return [int(k) for k in own[np.argsort(-self.problem.worth[own], kind="stable")]]


def answer(lines: tuple[Line, ...], chosen: Chosen) -> Statements:
    """How much gets done, with what is left over."""
    choice = chosen.choice
    machines, calls = len({line.machine for line in lines}), len(chosen.table.board.calls)
    told = [Said("board.answer", jobs=len(lines), of=calls, machines=machines)]
    told += [Said("board.broken", jobs=len(choice.broken))] if len(choice.broken) else []
    told += [Said("board.hired", jobs=len(choice.hired))] if len(choice.hired) else []
    told += [Said("board.undone", jobs=len(choice.undone))] if len(choice.undone) else []
    if chosen.table.by_money:
        told.append(Said("board.margin", margin=Quantity(chosen.total(choice), "money")))
    return tuple(told)


def why(chosen: Chosen, offer: int) -> Statements:
    """Why this machine and not its best; why this day; what a kept machine costs."""
    table, meeting = chosen.table, chosen.table.of(offer)
    call = table.board.calls[meeting.call]
    if call.keep is not None:
        return (Said("board.kept", machine=call.keep), *_cost_of_keeping(chosen, meeting))
    own, told = chosen.offers("job", meeting.call), list[Said]()
    if table.of(own[0]).machine != meeting.machine:
        told += _second_choice(chosen, offer, own[0])
    elif len({table.of(k).machine for k in own}) == 1:
        told.append(Said("board.no_other"))
    if meeting.date > min(call.days):
        told += _waits(chosen, offer)
    return tuple(told)


def _second_choice(chosen: Chosen, offer: int, best: int) -> Statements:
    table = chosen.table
    more = table.problem.worth[best] - table.problem.worth[offer]
    if more < _SAME:
        return ()
    better = Said("board.better", machine=table.name(best), more=chosen.amount(float(more)))
    if not chosen.again:
        return (better, Said("board.elsewhere"))
    call = table.of(best).call
    return (better, *_costs(chosen, chosen.forced(call, table.of(best).machine), call))


def _costs(chosen: Chosen, other: Choice, call: int) -> Statements:
    """What another board costs against the chosen one, whole; the job it is made for is not among what it loses."""
    calls = chosen.table.board.calls
    if call in other.broken:
        return (Said("board.elsewhere"),)
    broken = sorted(set(other.broken.tolist()) - set(chosen.choice.broken.tolist()))
    if broken:
        name, keep = calls[broken[0]].name, calls[broken[0]].keep
        if keep:
            return (Said("board.breaks_keep", job=name, machine=keep),)
        return (Said("board.breaks_must", job=name),)
    lost = sorted(set(other.undone.tolist()) - set(chosen.choice.undone.tolist()) - {call})
    then = (Said("board.loses", job=chosen.name(lost[0]), more=len(lost) - 1),) if lost else ()
    sum_ = chosen.total(chosen.choice) - chosen.total(other)
    if sum_ >= _SAME:
        return (Said("board.costs_at_most" if other.gap else "board.costs", cost=chosen.amount(sum_)), *then)
    against = chosen.choice.worth - other.worth >= _SAME
    return (Said("board.priorities" if against else "board.same"), *then)


def _cost_of_keeping(chosen: Chosen, meeting: Meeting) -> Statements:
    """What the dispatcher's own choice costs against a board free of it."""
    if not chosen.again:
        return ()
    table = chosen.table
    others = [k for k, call in enumerate(table.board.calls) if call.keep is not None and k != meeting.call]
    free = solve(replace(table.keeping(others), limits=chosen.problem.limits), _SECONDS)
    saved = sorted(set(chosen.choice.broken.tolist()) - set(free.broken.tolist()))
    if saved:
        return (Said("board.keeping_breaks", job=chosen.name(saved[0])),)
    gain = chosen.total(free) - chosen.total(chosen.choice)
    if gain < _SAME:
        return (Said("board.keeping_free"),)
    instead = [table.name(k) for k in free.taken.tolist() if table.of(k).call == meeting.call]
    if instead:
        return (Said("board.keeping_costs", machine=instead[0], gain=chosen.amount(gain)),)
    return (Said("board.keeping_undone", gain=chosen.amount(gain)),)


def _waits(chosen: Chosen, offer: int) -> Statements:
    """Why not on the first of its days with this machine."""
    table, meeting = chosen.table, chosen.table.of(offer)
    same = [
        m for m in table.meetings if (m.call, m.machine) == (meeting.call, meeting.machine) and m.date < meeting.date
    ]
    if not same:
        return (Said("board.waits_forecast", date=meeting.date),)
    first = same[0]
    if not first.possible:
        stop = stops(first, chosen.words(first))
        return (Said("board.waits_cannot", date=meeting.date, first=first.date), *stop)
    then, before = (m.standing.finding("floats").chance for m in (meeting, first))
    if then is not None and before is not None and then > before + 0.02:
        chances = {"then": Chance(then), "before": Chance(before)}
        return (Said("board.waits_ground", date=meeting.date, first=first.date, **chances),)
    worth = chosen.problem.worth
    sooner = [k for k in chosen.offers("job", meeting.call) if table.of(k) is first]
    more = float(worth[offer] - worth[sooner[0]]) if sooner else 0.0
    if more >= _SAME:
        return (Said("board.waits_worth", date=meeting.date, first=first.date, more=chosen.amount(more)),)
    return (Said("board.waits_hours", date=meeting.date),)


def undone(chosen: Chosen, index: int) -> Statements:
    """Why a job is not done by the yard's own machines, and what would make it possible."""
    table, own = chosen.table, chosen.offers("job", index)
    if not own:
        return _nearest_to_possible(chosen, index)
    name, margin = table.name(own[0]), table.left_by(own[0]) if table.by_money else 0.0
    if table.by_money and margin < 0 and chosen.problem.worth[own[0]] <= chosen.problem.undone[index]:
        return (Said("board.loses_money", machine=name, loss=chosen.amount(-margin)),)
    if index in chosen.dropped:
        return (Said("board.no_hands", machine=name),)
    if not chosen.again:
        return (Said("board.could", machine=name), Said("board.elsewhere"))
    other = chosen.forced(index)
    if index in other.broken:
        return (Said("board.no_hours", machine=name),)
    doing = next(table.name(k) for k in other.taken.tolist() if table.of(k).call == index)
    freed = solve(replace(table.problem, limits=table.needs.people), _SECONDS)
    done = index in {table.of(k).call for k in freed.taken.tolist()}
    truck = (Said("board.another_truck"),) if done else ()
    return (Said("board.could", machine=doing), *_costs(chosen, other, index), *truck)


def _nearest_to_possible(chosen: Chosen, index: int) -> Statements:
    """The machine with the fewest questions against it, and the remedy of each."""
    own = [m for m in chosen.table.meetings if m.call == index]
    if not own:
        return (Said("board.no_forecast"),)
    nearest = min(
        own, key=lambda m: (sum(f.verdict == "no-go" for f in m.standing.findings), -m.standing.score, m.machine)
    )
    findings = chosen.words(nearest)
    remedies = [f.remedy for f in findings if f.verdict == "no-go" and f.remedy]
    name = chosen.table.fleet.machines[nearest.machine].name
    mends = (said for remedy in remedies[:2] for said in remedy)
    return (Said("board.nearest", machine=name), *stops(nearest, findings), *mends)


def idle(chosen: Chosen, name: str) -> Statements:
    """Why a machine stays in the yard."""
    table = chosen.table
    index = next(i for i, m in enumerate(table.fleet.machines) if m.name == name)
    stands = tuple(Said("board.idle_stands", job=call.name) for call in table.board.calls if name in call.there)
    return (*stands, *_why_idle(chosen, index))


def _why_idle(chosen: Chosen, index: int) -> Statements:
    table = chosen.table
    own = chosen.offers("machine", index)
    if not own:
        return _mostly(table, index)
    job = table.of(own[0]).call
    if not chosen.again:
        return (Said("board.idle_others", job=chosen.name(job)),)
    return (Said("board.idle_best", job=chosen.name(job)), *_costs(chosen, chosen.forced(job, index), job))


def _mostly(table: Table, machine: int) -> Statements:
    """The question that stops it most often, and how often."""
    own = [m for m in table.meetings if m.machine == machine]
    if not own:
        return (Said("board.no_work"), Said("board.no_forecast"))
    stop, count = Counter(_stop(m) for m in own).most_common(1)[0]
    often = (Said("board.times", count=count, of=len(own)),) if len(own) > 1 else ()
    return (Said("board.no_work"), Said(f"stop.{stop}"), *often)


def _stop(meeting: Meeting) -> str:
    """The question that stops it, or "figures", "operator", "rig", "hours"."""
    for finding in meeting.standing.findings:
        if finding.verdict == "no-go":
            return finding.check
    if meeting.standing.open_questions:
        return "figures"
    if meeting.operators == ():
        return "operator"
    return "rig" if meeting.rigged == () else "hours"


def warnings(chosen: Chosen, lines: tuple[Line, ...]) -> Statements:
    """What must be done and is not, lines to look at twice, a search cut short, reasons not worked out."""
    board = chosen.table.board
    told = [_broken(board.calls[k].name, board.calls[k].keep) for k in chosen.choice.broken.tolist()]
    met = {m.call for m in chosen.table.meetings}
    told += [Said("board.job_no_forecast", job=call.name) for k, call in enumerate(board.calls) if k not in met]
    for line in lines:
        told += _second_look(line, chosen)
    told += _stands_elsewhere(chosen, lines)
    if chosen.choice.gap:
        told.append(Said("board.cut_short", gap=Quantity(chosen.choice.gap, "fine share")))
    if not chosen.again:
        told.append(Said("board.so_many"))
    if not chosen.table.by_money:
        lacking = tuple(call.name for call in board.calls if call.pays is None)
        told.append(Said("board.by_scores", jobs=lacking[:3], count=len(lacking)))
    return tuple(told)


def tired(chosen: Chosen, days: Mapping[dt.date, Planned]) -> Statements:
    """Who works longer than he may, for what must be done."""
    people = chosen.table.fleet.people
    hours = hours_of(chosen.table.board, chosen.table.fleet)
    return tuple(
        Said("board.tired", who=people[p].name, date=date, over=Quantity(3600 * (until - hours[p]), "duration"))
        for date, day in days.items()
        for p, until in sorted(day.timetable.tired.items())
    )


def _stands_elsewhere(chosen: Chosen, lines: tuple[Line, ...]) -> list[Said]:
    """Machines left on a site that go to another one first: the fetching there is in nobody's times."""
    board, told = chosen.table.board, []
    for call in board.calls:
        for name in call.there:
            own = [line for line in lines if line.machine == name and line.date == board.date]
            if own and not any(line.there for line in own):
                told.append(Said("board.stands_elsewhere", machine=name, at=call.name, job=own[0].call.name))
    return told


def _broken(name: str, keep: str | None) -> Said:
    return Said("board.must", job=name) if keep is None else Said("board.keep_clash", job=name, machine=keep)


def _second_look(line: Line, chosen: Chosen) -> Statements:
    board, rules, told = chosen.table.board, chosen.rules, []
    if line.there and not line.onto and line.back is None:
        told.append(Said("board.stranded", machine=line.machine, job=line.call.name))
    over = ((line.back or line.end) - dt.datetime.combine(line.date, board.start)).total_seconds() - board.day
    if over > rules.money["overtime"].value:
        told.append(Said("board.late", machine=line.machine, job=line.call.name, over=Quantity(over, "duration")))
    if line.margin is not None and line.margin < 0:
        told.append(Said("board.job_loses", job=line.call.name, loss=Quantity(-line.margin, "money")))
    if line.chance is not None and line.chance < rules.limits.tiers.bet:
        told.append(Said("board.poor", job=line.call.name, machine=line.machine, chance=Chance(line.chance)))
    return tuple(told)


def assumed(chosen: Chosen) -> Statements:
    """What was taken for granted."""
    board, fleet = chosen.table.board, chosen.table.fleet
    haul = chosen.table.haul
    stays, goes = bool((haul.rigged & haul.stays).any()), bool((haul.rigged & ~haul.stays).any())
    told = [Said("board.shuttle")] if goes else []
    told += [Said("board.may_stay" if goes else "board.stay")] if stays else []
    told.append(Said("board.starts"))
    told.append(Said("board.people" if fleet.people else "board.no_people"))
    if not fleet.trucks or not fleet.trailers:
        told = [Said("board.no_road"), told[-1]]
    if not board.attachments:
        told.append(Said("board.attachments", key=Key("attachments")))
    last = max((date for call in board.calls for date in call.days), default=board.date)
    if any(call.beyond for call in board.calls):
        told.append(Said("board.no_farther", date=last))
    if any(call.job.weather is None for call in board.calls):
        told.append(Said("board.still_ground"))
    return tuple(told)
