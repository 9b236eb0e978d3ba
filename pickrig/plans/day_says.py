"""The board in sentences: why a job got its second choice, why a machine stands idle, why a job stays undone."""

import datetime as dt
from collections import Counter
from dataclasses import replace

import numpy as np

from pickrig import quantities
from pickrig.inputs import Fleet
from pickrig.inputs.board import Board
from pickrig.plans.assign import Choice, solve
from pickrig.plans.board import Line
from pickrig.plans.meetings import Meeting
from pickrig.plans.table import Table, money_left, stops
from pickrig.quantities import System

_SAME = 0.5  # $ or points within which two plans are the same
_SECONDS = 5.0
_OVERTIME = 300.0  # s


def answer(lines: tuple[Line, ...], choice: Choice, table: Table, units: System) -> str:
    """How much gets done, with what is left over."""
    jobs = len(table.board.calls)
    machines = len({line.machine for line in lines})
    said = f"{len(lines)} of {jobs} jobs go out with {machines} machine{'s' if machines != 1 else ''}"
    said += f", {len(choice.hired)} to a hired one" if len(choice.hired) else ""
    said += f", {len(choice.undone)} stay undone" if len(choice.undone) else ""
    if table.by_money:
        said += f": about {_money(_plain(table, choice), units)} left after costs"
    return f"{said}."


def why(table: Table, choice: Choice, offer: int, units: System, again: bool) -> tuple[str, ...]:
    """Why this machine and not its best; why this day; what a kept machine costs."""
    meeting = table.of(offer)
    call = table.board.calls[meeting.call]
    told = []
    if call.keep is not None:
        return (f"{call.keep} is kept for it by the file.", *_cost_of_keeping(table, choice, meeting, units, again))
    own = np.flatnonzero(table.problem.job == meeting.call)
    best = int(own[np.argmax(table.problem.worth[own])])
    first = table.of(best)
    if first.machine != meeting.machine:
        told.append(_second_choice(table, choice, offer, best, units, again))
    elif len({table.of(int(k)).machine for k in own}) == 1:
        told.append("No other machine can.")
    if meeting.date > min(call.days):
        told.append(_waits(table, meeting))
    return tuple(told)


def _second_choice(table: Table, choice: Choice, offer: int, best: int, units: System, again: bool) -> str:
    first, name = table.of(best), table.fleet.machines[table.of(best).machine].name
    more = table.problem.worth[best] - table.problem.worth[offer]
    said = f"{name} would be better here by {_amount(table, more, units)}"
    if not again:
        return f"{said}, but earns more elsewhere or has no hours left."
    offers = (table.problem.job == first.call) & (table.problem.machine == first.machine)
    other = solve(table.problem.forced(first.call, offers), _SECONDS)
    lost = choice.worth - other.worth
    if lost < _SAME:
        return f"{said}, and sending it makes no odds to the whole."
    return (
        f"{said}, but sending it costs {_amount(table, lost, units)} over the whole board{_then(table, choice, other)}."
    )


def _then(table: Table, choice: Choice, other: Choice) -> str:
    """What would then stay undone."""
    lost = sorted(set(other.undone.tolist()) - set(choice.undone.tolist()))
    return f", and “{table.board.calls[lost[0]].name}” stays undone" if lost else ""


def _cost_of_keeping(table: Table, choice: Choice, meeting: Meeting, units: System, again: bool) -> tuple[str, ...]:
    """What the dispatcher's own choice costs against a board free of it."""
    if not again:
        return ()
    others = [k for k, call in enumerate(table.board.calls) if call.keep is not None and k != meeting.call]
    free = solve(table.keeping(others), _SECONDS)
    if free.worth - choice.worth < _SAME:
        return ("It costs nothing: the whole board is as good.",)
    instead = [
        table.fleet.machines[table.of(k).machine].name for k in free.taken.tolist() if table.of(k).call == meeting.call
    ]
    said = f"Left free, {instead[0]} would go" if instead else "Left free, the job would not be done by the yard"
    return (f"{said}, and the whole board would be {_amount(table, free.worth - choice.worth, units)} better.",)


def _waits(table: Table, meeting: Meeting) -> str:
    earlier = [
        m for m in table.meetings if m.call == meeting.call and m.machine == meeting.machine and m.date < meeting.date
    ]
    chances = [m.standing.finding("floats").chance for m in earlier]
    now = meeting.standing.finding("floats").chance
    if chances and chances[0] is not None and now is not None and now > chances[0] + 0.02:
        then = f"{now:.0%} chance, {chances[0]:.0%} on {earlier[0].date:%A}"
        return f"Left for {meeting.date:%A}: the ground then holds with {then}."
    return f"Left for {meeting.date:%A}: the hours of the days before earn more elsewhere."


def undone(table: Table, choice: Choice, index: int, units: System, again: bool) -> tuple[str, ...]:
    """Why a job is not done by the yard's own machines, and what would make it possible."""
    own = np.flatnonzero(table.problem.job == index)
    if len(own) == 0:
        return _nearest_to_possible(table, index)
    best = int(own[np.argmax(table.problem.worth[own])])
    name = table.fleet.machines[table.of(best).machine].name
    if table.problem.worth[best] <= table.problem.undone[index]:
        return (
            f"{name} could do it, but it would cost {_amount(table, -table.problem.worth[best], units)} more than it "
            "pays.",
        )
    if not again:
        return (f"{name} could do it, but earns more elsewhere or has no hours left.",)
    other = solve(table.problem.forced(index, table.problem.job == index), _SECONDS)
    if index in other.broken:
        return (f"{name} could do it, but no hours are left with what else must be done.",)
    lost = choice.worth - other.worth
    taken = next(k for k in other.taken.tolist() if table.problem.job[k] == index)
    freed = solve(replace(table.problem, hauling=np.zeros_like(table.problem.hauling)), _SECONDS)
    rig = "" if index in freed.undone else "; with another truck and trailer it would be done"
    doing = table.fleet.machines[table.of(taken).machine].name
    return (
        f"{doing} could do it, at a cost of {_amount(table, lost, units)} over the whole "
        f"board{_then(table, choice, other)}{rig}.",
    )


def _nearest_to_possible(table: Table, index: int) -> tuple[str, ...]:
    """The machine with the fewest questions against it, and the remedy of each."""
    own = [m for m in table.meetings if m.call == index]
    if not own:
        return ("No forecast covers its days.",)
    nearest = min(
        own, key=lambda m: (sum(f.verdict == "no-go" for f in m.standing.findings), -m.standing.score, m.machine)
    )
    name = table.fleet.machines[nearest.machine].name
    remedies = [f.remedy for f in nearest.standing.findings if f.verdict == "no-go" and f.remedy]
    return (f"Nearest is {name}: {stops(nearest)}.", *remedies[:2])


def idle(table: Table, choice: Choice, name: str, units: System, again: bool) -> str:
    """Why a machine stays in the yard."""
    index = next(i for i, m in enumerate(table.fleet.machines) if m.name == name)
    own = np.flatnonzero(table.problem.machine == index)
    if len(own) == 0:
        return f"Nothing here is work for it: {_mostly(table, index)}."
    best = int(own[np.argmax(table.problem.worth[own])])
    job = table.of(best).call
    called = table.board.calls[job].name
    if not again:
        return f"Others do better; its best would be “{called}”."
    offers = (table.problem.job == job) & (table.problem.machine == index)
    lost = choice.worth - solve(table.problem.forced(job, offers), _SECONDS).worth
    if lost < _SAME:
        return f"“{called}” could be its as well as another's."
    return f"Its best would be “{called}”; sending it there costs {_amount(table, lost, units)}."


def _mostly(table: Table, machine: int) -> str:
    """The question that stops it most often, and how often."""
    own = [m for m in table.meetings if m.machine == machine]
    told = Counter(_stop_word(m) for m in own)
    word, count = told.most_common(1)[0]
    jobs = len({m.call for m in own})
    return f"{word}, {count} of {jobs} jobs" if jobs > 1 else word


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


def warnings(table: Table, choice: Choice, lines: tuple[Line, ...], again: bool) -> tuple[str, ...]:
    """Musts that cannot be met, a search cut short, reasons not worked out."""
    told = [f"“{table.board.calls[k].name}” must be done, and cannot: see below." for k in choice.broken.tolist()]
    for line in lines:
        over = (line.end - dt.datetime.combine(line.date, table.board.start)).total_seconds() - table.board.day
        if over > _OVERTIME:
            told.append(
                f"“{line.call.name}” ends {quantities.duration(over)} after the day, because trucks and machines wait "
                "for "
                "each other: start it earlier, or move it."
            )
    if choice.gap:
        told.append(f"The search was stopped: a better board may be had, by at most {choice.gap:.1%}.")
    if not again:
        told.append("So many jobs and machines: what forcing a first choice would cost was not worked out.")
    return tuple(told)


def assumed(board: Board, fleet: Fleet, table: Table) -> tuple[str, ...]:
    """What was taken for granted."""
    shuttle = (
        "a truck brings a machine, goes home empty and fetches it again, for every job anew; it is fetched in time"
    )
    stay = "truck and trailer stay on the site until the machine is done"
    told = [shuttle if board.rigs == "shuttle" else stay]
    told.append("starts include the road there; one machine's jobs follow each other in the order that waits least")
    if not fleet.trucks or not fleet.trailers:
        told.append("the road is left out: the fleet file has no trucks and trailers")
    if not board.attachments:
        told.append("there are attachments enough: [attachments] is not given")
    if not table.by_money:
        lacking = [call.name for call in board.calls if call.pays is None]
        told.append(
            f"scores are added up, not dollars: {', '.join(lacking[:3])} {'has' if len(lacking) == 1 else 'have'} no "
            "pays"
        )
    return tuple(told)


def _plain(table: Table, choice: Choice) -> float:
    """Dollars without priorities."""
    done = sum(money_left(table.board, table.of(k), float(table.moves[k])) for k in choice.taken.tolist())
    hired = sum((table.board.calls[k].pays or 0.0) - (table.board.calls[k].hire or 0.0) for k in choice.hired.tolist())
    return float(done + hired - sum(table.board.calls[k].postpone for k in choice.undone.tolist()))


def _amount(table: Table, worth: float, units: System) -> str:
    return _money(worth, units) if table.by_money else f"{worth:.0f} points"


def _money(sum_: float, units: System) -> str:
    shown = quantities.show(abs(sum_), "money", units)
    return f"-{shown}" if sum_ <= -0.5 else shown
