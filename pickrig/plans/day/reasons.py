"""The board in sentences: why a job got its second choice, why a machine stands idle, why a job stays undone."""

import datetime as dt
from collections import Counter
from dataclasses import dataclass, replace

import numpy as np

from pickrig import quantities
from pickrig.checks import Finding
from pickrig.plans.day.assignment import Choice, Problem, solve
from pickrig.plans.day.candidates import Meeting, in_words
from pickrig.plans.day.offers import Table, stops
from pickrig.plans.day.record import Line
from pickrig.quantities import System
from pickrig.rulebook import Rules

_SAME = 0.5  # $ or points within which two plans are the same
_SECONDS = 5.0
_OVERTIME = 300.0  # s
_POOR = 0.6  # chance of the ground under which a line is pointed out


@dataclass(frozen=True)
class Chosen:
    """A table and what was chosen. again: whether the board is small enough to be solved again for every reason."""

    table: Table
    choice: Choice
    rules: Rules
    units: System
    again: bool

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
        problem = self.table.problem
        offers = problem.job == job
        return solve(
            problem.forced(job, offers if machine is None else offers & (problem.machine == machine)), _SECONDS
        )

    def amount(self, sum_: float) -> str:
        return money(sum_, self.units) if self.table.by_money else f"{sum_:.0f} points"

    def words(self, meeting: Meeting) -> tuple[Finding, ...]:
        return in_words(meeting, self.table.board, self.rules, self.units)

    def offers(self, of: str, index: int) -> list[int]:
        """Offers of one job, or of one machine, the best first."""
        problem: Problem = self.table.problem
        own = np.flatnonzero(getattr(problem, of) == index)
        return [int(k) for k in own[np.argsort(-problem.worth[own], kind="stable")]]


def answer(lines: tuple[Line, ...], chosen: Chosen) -> str:
    """How much gets done, with what is left over."""
    choice, machines = chosen.choice, len({line.machine for line in lines})
    said = f"{len(lines)} of {len(chosen.table.board.calls)} jobs go out with {machines} "
    said += "machine" if machines == 1 else "machines"
    said += f", {len(choice.hired)} to a hired one" if len(choice.hired) else ""
    said += (
        f", {len(choice.undone)} {'stays' if len(choice.undone) == 1 else 'stay'} undone" if len(choice.undone) else ""
    )
    if chosen.table.by_money:
        said += f": about {money(chosen.total(choice), chosen.units)} left after costs"
    return f"{said}."


def why(chosen: Chosen, offer: int) -> tuple[str, ...]:
    """Why this machine and not its best; why this day; what a kept machine costs."""
    table, meeting = chosen.table, chosen.table.of(offer)
    call = table.board.calls[meeting.call]
    if call.keep is not None:
        return (f"{call.keep} is kept for it by the file.", *_cost_of_keeping(chosen, meeting))
    own, told = chosen.offers("job", meeting.call), []
    if table.of(own[0]).machine != meeting.machine:
        told.append(_second_choice(chosen, offer, own[0]))
    elif len({table.of(k).machine for k in own}) == 1:
        told.append("No other machine can.")
    if meeting.date > min(call.days):
        told.append(_waits(chosen, offer))
    return tuple(line for line in told if line)


def _second_choice(chosen: Chosen, offer: int, best: int) -> str:
    table = chosen.table
    more = table.problem.worth[best] - table.problem.worth[offer]
    if more < _SAME:
        return ""
    said = f"{table.name(best)} would be better here by {chosen.amount(more)}"
    if not chosen.again:
        return f"{said}, but earns more elsewhere or has no hours left."
    other = chosen.forced(table.of(best).call, table.of(best).machine)
    return f"{said}, but sending it {_costs(chosen, other)}."


def _costs(chosen: Chosen, other: Choice) -> str:
    """What another board costs against the chosen one, whole."""
    calls = chosen.table.board.calls
    broken = sorted(set(other.broken.tolist()) - set(chosen.choice.broken.tolist()))
    if broken:
        return f"leaves “{calls[broken[0]].name}” undone, which {_bound(calls[broken[0]].keep)}"
    lost = sorted(set(other.undone.tolist()) - set(chosen.choice.undone.tolist()))
    more = f" and {len(lost) - 1} more" if len(lost) > 1 else ""
    then = f", and “{calls[lost[0]].name}”{more} then {'stays' if len(lost) == 1 else 'stay'} undone" if lost else ""
    sum_ = chosen.total(chosen.choice) - chosen.total(other)
    most = "at most " if other.gap else ""
    if sum_ >= _SAME:
        return f"costs {most}{chosen.amount(sum_)} over the whole board{then}"
    if chosen.choice.worth - other.worth >= _SAME:
        return f"costs nothing in money, but goes against the priorities{then}"
    return f"makes no odds to the whole{then}"


def _bound(keep: str | None) -> str:
    return f"{keep} is kept for" if keep else "must be done"


def _cost_of_keeping(chosen: Chosen, meeting: Meeting) -> tuple[str, ...]:
    """What the dispatcher's own choice costs against a board free of it."""
    if not chosen.again:
        return ()
    table = chosen.table
    others = [k for k, call in enumerate(table.board.calls) if call.keep is not None and k != meeting.call]
    free = solve(table.keeping(others), _SECONDS)
    saved = sorted(set(chosen.choice.broken.tolist()) - set(free.broken.tolist()))
    if saved:
        return (f"For it “{table.board.calls[saved[0]].name}” stays undone, which must be done or is kept.",)
    gain = chosen.total(free) - chosen.total(chosen.choice)
    if gain < _SAME:
        return ("That costs nothing: the whole board is as good.",)
    instead = [table.name(k) for k in free.taken.tolist() if table.of(k).call == meeting.call]
    said = f"Left free, {instead[0]} would go" if instead else "Left free, the job would not be done by the yard"
    return (f"{said}, and the whole board would be {chosen.amount(gain)} better.",)


def _waits(chosen: Chosen, offer: int) -> str:
    """Why not on the first of its days with this machine."""
    table, meeting = chosen.table, chosen.table.of(offer)
    same = [
        m for m in table.meetings if (m.call, m.machine) == (meeting.call, meeting.machine) and m.date < meeting.date
    ]
    if not same:
        return f"Left for {meeting.date:%A}: no forecast covers its days before."
    first, then = same[0], f"Left for {meeting.date:%A}"
    if not first.possible:
        return f"{then}: on {first.date:%A} it cannot, {stops(first, chosen.words(first))}."
    chances = [m.standing.finding("floats").chance for m in (meeting, first)]
    if chances[0] is not None and chances[1] is not None and chances[0] > chances[1] + 0.02:
        return f"{then}: the ground then holds with {chances[0]:.0%} chance, {chances[1]:.0%} on {first.date:%A}."
    return f"{then}: the hours of the days before go to other jobs."


def undone(chosen: Chosen, index: int) -> tuple[str, ...]:
    """Why a job is not done by the yard's own machines, and what would make it possible."""
    table, own = chosen.table, chosen.offers("job", index)
    if not own:
        return _nearest_to_possible(chosen, index)
    name, worth = table.name(own[0]), table.left_by(own[0]) if table.by_money else 0.0
    if table.by_money and worth < 0 and table.problem.worth[own[0]] <= table.problem.undone[index]:
        return (f"{name} could do it, but it would cost {chosen.amount(-worth)} more than it pays.",)
    if not chosen.again:
        return (f"{name} could do it, but earns more elsewhere or has no hours left.",)
    other = chosen.forced(index)
    if index in other.broken:
        return (f"{name} could do it, but no hours are left with what else must be done or is kept.",)
    doing = next(table.name(k) for k in other.taken.tolist() if table.of(k).call == index)
    freed = solve(replace(table.problem, hauling=np.zeros_like(table.problem.hauling)), _SECONDS)
    done = index in {table.of(k).call for k in freed.taken.tolist()}
    return (f"{doing} could do it; that {_costs(chosen, other)}.", *(["With trucks enough it would be done."] * done))


def _nearest_to_possible(chosen: Chosen, index: int) -> tuple[str, ...]:
    """The machine with the fewest questions against it, and the remedy of each."""
    own = [m for m in chosen.table.meetings if m.call == index]
    if not own:
        return ("No forecast covers its days.",)
    nearest = min(
        own, key=lambda m: (sum(f.verdict == "no-go" for f in m.standing.findings), -m.standing.score, m.machine)
    )
    findings = chosen.words(nearest)
    remedies = [f.remedy for f in findings if f.verdict == "no-go" and f.remedy]
    name = chosen.table.fleet.machines[nearest.machine].name
    return (f"Nearest is {name}: {stops(nearest, findings)}.", *remedies[:2])


def idle(chosen: Chosen, name: str) -> str:
    """Why a machine stays in the yard."""
    table = chosen.table
    index = next(i for i, m in enumerate(table.fleet.machines) if m.name == name)
    own = chosen.offers("machine", index)
    if not own:
        return f"Nothing here is work for it: {_mostly(table, index)}."
    job = table.of(own[0]).call
    called = table.board.calls[job].name
    if not chosen.again:
        return f"Others do better; its best would be “{called}”."
    return f"Its best would be “{called}”; sending it there {_costs(chosen, chosen.forced(job, index))}."


def _mostly(table: Table, machine: int) -> str:
    """The question that stops it most often, and how often."""
    own = [m for m in table.meetings if m.machine == machine]
    if not own:
        return "no forecast covers the days"
    word, count = Counter(_stop_word(m) for m in own).most_common(1)[0]
    return f"{word}, {count} of {len(own)} times" if len(own) > 1 else word


_WORDS = {
    "floats": "the ground does not hold it",
    "fits": "it does not get in",
    "lifts": "it does not lift the load",
    "grips": "it does not grip",
    "climbs": "the slope is too steep for it",
    "powers": "it does not run the tool",
    "spares_surface": "it would spoil the surface",
    "produces": "it is not done in the day",
}


def _stop_word(meeting: Meeting) -> str:
    for finding in meeting.standing.findings:
        if finding.verdict == "no-go":
            return _WORDS.get(finding.check, finding.check)
    if meeting.standing.open_questions:
        return "its figures are missing"
    return "no truck and trailer may bring it" if meeting.rigs == () else "it takes longer than the day"


def warnings(chosen: Chosen, lines: tuple[Line, ...]) -> tuple[str, ...]:
    """What must be done and is not, lines to look at twice, a search cut short, reasons not worked out."""
    board = chosen.table.board
    told = [_broken(board.calls[k].name, board.calls[k].keep) for k in chosen.choice.broken.tolist()]
    met = {m.call for m in chosen.table.meetings}
    told += [f"“{call.name}”: no forecast covers its days." for k, call in enumerate(board.calls) if k not in met]
    for line in lines:
        told += _second_look(line, chosen)
    if chosen.choice.gap:
        told.append(f"The search was stopped: a better board may be had, by at most {chosen.choice.gap:.1%}.")
    if not chosen.again:
        told.append("So many jobs and machines: what forcing a first choice would cost was not worked out.")
    if not chosen.table.by_money:
        lacking = [call.name for call in board.calls if call.pays is None]
        have = "has" if len(lacking) == 1 else "have"
        told.append(f"Scores are added up, not dollars, because {', '.join(lacking[:3])} {have} no pays.")
    return tuple(told)


def _broken(name: str, keep: str | None) -> str:
    if keep is not None:
        return f"{keep} is kept for “{name}” and has no hours for it with what else it must do: take a keep out."
    return f"“{name}” must be done, and cannot: see below."


def _second_look(line: Line, chosen: Chosen) -> list[str]:
    board, told = chosen.table.board, []
    over = (line.back - dt.datetime.combine(line.date, board.start)).total_seconds() - board.day
    if over > _OVERTIME:
        told.append(
            f"{line.machine} is back from “{line.call.name}” {quantities.duration(over)} after the day ends, because "
            "trucks "
            "and machines wait for each other: move it, or let a truck start earlier."
        )
    if line.leaves is not None and line.leaves < 0:
        told.append(f"“{line.call.name}” loses {money(-line.leaves, chosen.units)}.")
    if line.chance is not None and line.chance < _POOR:
        told.append(f"“{line.call.name}”: the ground holds {line.machine} with {line.chance:.0%} chance only.")
    return told


def assumed(chosen: Chosen) -> tuple[str, ...]:
    """What was taken for granted."""
    board, fleet = chosen.table.board, chosen.table.fleet
    shuttle = "a driver brings each machine, goes home empty, and comes back to fetch it, for every job anew"
    stay = "truck and trailer stay on the site until the machine is done; waiting is not charged"
    told = [shuttle if board.rigs == "shuttle" else stay]
    told.append("starts include the road there; what can set out soonest does, and no better timetable was looked for")
    if not fleet.trucks or not fleet.trailers:
        told = ["the road is left out, in time and in money: the fleet file has no trucks and trailers"]
    if not board.attachments:
        told.append("there are attachments enough: [attachments] is not given")
    last = max((date for call in board.calls for date in call.days), default=board.date)
    if any(call.beyond for call in board.calls):
        told.append(f"looked no farther than {last:%A} {last.day} {last:%B}")
    still = [call.name for call in board.calls if call.job.weather is None]
    if still:
        told.append("ground without weather is as its job file has it, whatever the day")
    return tuple(told)


def money(sum_: float, units: System) -> str:
    """Dollars, with a sign where it is a loss."""
    shown = quantities.show(abs(sum_), "money", units)
    return f"-{shown}" if sum_ <= -0.5 else shown
