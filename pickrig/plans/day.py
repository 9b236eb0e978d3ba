"""Many jobs, one fleet: which machine to which job, on which day, behind which truck."""

import datetime as dt
from collections.abc import Callable

from pickrig.errors import InputError
from pickrig.inputs import Fleet
from pickrig.inputs.board import Board
from pickrig.inputs.reading import nearest
from pickrig.plans import day_says
from pickrig.plans.assign import NONE, Choice, solve
from pickrig.plans.board import DayPlan, Idle, Left, Line
from pickrig.plans.meetings import meet
from pickrig.plans.table import Table, make_table, money_left
from pickrig.quantities import System
from pickrig.rulebook import Rules

_ASK_AGAIN = 4_000  # offers up to which every line is solved again with its first choice


def day(
    board: Board,
    fleet: Fleet,
    rules: Rules,
    units: System = "us",
    seed: int = 0,
    step: Callable[[int, int], None] = lambda _done, _of: None,
) -> DayPlan:
    """The board. The order of jobs and machines plays no part."""
    fleet = fleet.model_copy(
        update={
            key: tuple(sorted(getattr(fleet, key), key=lambda one: one.name))
            for key in ("machines", "trucks", "trailers")
        }
    )
    _check_names(board, fleet)
    table = make_table(board, fleet, rules, meet(board, fleet, rules, units, seed, step))
    choice = solve(table.problem)
    again = len(table.problem.job) <= _ASK_AGAIN
    lines = _lines(table, choice, rules, units, again)
    used = {line.machine for line in lines}
    idle = [m.name for m in fleet.machines if m.name not in used]
    return DayPlan(
        board=board,
        units=units,
        by_money=table.by_money,
        answer=day_says.answer(lines, choice, table, units),
        lines=lines,
        left=_left(table, choice, units, again),
        idle=tuple(Idle(name, day_says.idle(table, choice, name, units, again)) for name in idle),
        total=choice.worth,
        gap=choice.gap,
        warnings=day_says.warnings(table, choice, again),
        assumed=day_says.assumed(board, fleet, table),
        seed=seed,
    )


def _check_names(board: Board, fleet: Fleet) -> None:
    names = [m.name for m in fleet.machines]
    problems = [
        f'the day file, "{call.name}", {key}: "{name}" is not in the fleet file; '
        f"{nearest(name, names, 'its machines are')}"
        for call in board.calls
        for key, given in (("keep", [call.keep] if call.keep else []), ("there", call.there))
        for name in given
        if name not in names
    ]
    if problems:
        raise InputError(problems)


def _lines(table: Table, choice: Choice, rules: Rules, units: System, again: bool) -> tuple[Line, ...]:
    """In the order of date, machine and start."""
    board, fleet, problem = table.board, table.fleet, table.problem
    clock: dict[tuple[int, dt.date], dt.datetime] = {}
    lines = []
    for offer in sorted(choice.taken.tolist(), key=lambda k: (table.of(k).date, table.of(k).machine, table.of(k).call)):
        meeting = table.of(offer)
        call = board.calls[meeting.call]
        key = (meeting.machine, meeting.date)
        start = clock.get(key, dt.datetime.combine(meeting.date, board.start))
        moved = float(problem.hauling[offer]) / 2
        end = start + dt.timedelta(hours=moved + meeting.bill.hours)
        clock[key] = end + dt.timedelta(hours=moved)
        truck, trailer = int(problem.truck[offer]), int(problem.trailer[offer])
        lines.append(
            Line(
                call=call,
                date=meeting.date,
                standing=meeting.standing,
                start=start,
                end=end,
                truck=fleet.trucks[truck].name if truck != NONE else "",
                trailer=fleet.trailers[trailer].name if trailer != NONE else "",
                tool=call.job.task.attachment or rules.work[call.job.task.kind].attachment,
                bill=meeting.bill,
                leaves=money_left(board, meeting, moved) if table.by_money else None,
                chance=meeting.standing.finding("floats").chance,
                minds=tuple(f for f in meeting.standing.findings if f.verdict in ("caution", "unknown")),
                why=day_says.why(table, choice, offer, units, again),
            )
        )
    return tuple(lines)


def _left(table: Table, choice: Choice, units: System, again: bool) -> tuple[Left, ...]:
    out = []
    for index in (*choice.hired.tolist(), *choice.undone.tolist()):
        call, hired = table.board.calls[index], index in choice.hired
        costs = call.hire if hired else call.postpone
        out.append(
            Left(
                call,
                hired,
                costs if table.by_money or hired else None,
                day_says.undone(table, choice, index, units, again),
            )
        )
    return tuple(out)
