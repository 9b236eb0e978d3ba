"""Many jobs, one fleet: which machine to which job, on which day, behind which truck."""

import datetime as dt
from collections.abc import Callable

from pickrig.errors import InputError
from pickrig.inputs import Fleet, Job
from pickrig.inputs.board import Board
from pickrig.inputs.reading import nearest
from pickrig.inputs.transport import Haul
from pickrig.plans import advice, day_says
from pickrig.plans.assign import NONE, Choice, solve
from pickrig.plans.board import DayPlan, Idle, Left, Line
from pickrig.plans.clock import Slot, timetable
from pickrig.plans.meetings import meet
from pickrig.plans.pick import pick
from pickrig.plans.recommendation import Recommendation
from pickrig.plans.table import Table, make_table, money_left
from pickrig.plans.today import limits_today
from pickrig.quantities import System
from pickrig.rulebook import Rules

_CAUTIONS = 3  # of a job on the board; all of them stand on its hand-over sheet
_ASK_AGAIN = 1_500  # offers up to which every line is solved again with its first choice


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
        warnings=day_says.warnings(table, choice, lines, again),
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
    lines = []
    for offer, (start, end) in _times(table, choice).items():
        meeting = table.of(offer)
        call, moved = board.calls[meeting.call], float(table.moves[offer])
        begins = dt.datetime.combine(meeting.date, board.start)
        truck, trailer = int(problem.truck[offer]), int(problem.trailer[offer])
        hauled = _hauled(call.job, fleet, truck, trailer)
        lines.append(
            Line(
                call=call,
                date=meeting.date,
                standing=meeting.standing,
                start=begins + dt.timedelta(hours=start),
                end=begins + dt.timedelta(hours=end),
                truck=fleet.trucks[truck].name if truck != NONE else "",
                trailer=fleet.trailers[trailer].name if trailer != NONE else "",
                tool=call.job.task.attachment or rules.work[call.job.task.kind].attachment,
                bill=meeting.bill,
                leaves=money_left(board, meeting, moved) if table.by_money else None,
                chance=meeting.standing.finding("floats").chance,
                minds=tuple(f for f in meeting.standing.findings if f.verdict in ("caution", "unknown")),
                limits=limits_today(hauled, fleet, meeting.standing, meeting.site, rules, units),
                cautions=tuple(
                    says for says, _ in advice.cautions(call.job, meeting.standing, meeting.site, rules)[:_CAUTIONS]
                ),
                why=day_says.why(table, choice, offer, units, again),
            )
        )
    return tuple(sorted(lines, key=lambda line: (line.date, line.machine, line.start)))


def _times(table: Table, choice: Choice) -> dict[int, tuple[float, float]]:
    """Start and end of each offer taken, h after its day begins."""
    problem = table.problem
    out: dict[int, tuple[float, float]] = {}
    for date in sorted({table.of(k).date for k in choice.taken.tolist()}):
        own = [k for k in choice.taken.tolist() if table.of(k).date == date]
        own.sort(key=lambda k: (table.of(k).machine, table.of(k).call))
        slots = [
            Slot(
                machine=table.of(k).machine,
                rig=None if problem.truck[k] == NONE else (int(problem.truck[k]), int(problem.trailer[k])),
                hours=table.of(k).bill.hours,
                move=float(table.moves[k]),
                held=2 * float(table.moves[k]) if table.board.rigs == "shuttle" else None,
            )
            for k in own
        ]
        out.update(zip(own, timetable(slots), strict=True))
    return out


def _hauled(job: Job, fleet: Fleet, truck: int, trailer: int) -> Job:
    """The job with the truck and trailer the board gives it."""
    if truck == NONE:
        return job.model_copy(update={"haul": None})
    extras = job.haul.extras if job.haul else None
    haul = Haul.model_construct(truck=fleet.trucks[truck].name, trailer=fleet.trailers[trailer].name, extras=extras)
    return job.model_copy(update={"haul": haul})


def handed_over(line: Line, plan: DayPlan, fleet: Fleet, rules: Rules) -> Recommendation:
    """What `pick` says of one line with its machine and rig alone, for the hand-over sheet."""
    job = line.call.job
    trucks, trailers = ([one.name for one in kind] for kind in (fleet.trucks, fleet.trailers))
    rig = (trucks.index(line.truck), trailers.index(line.trailer)) if line.truck else (NONE, NONE)
    job = _hauled(job, fleet, *rig)
    if job.weather is not None and line.date != job.weather.job_day:
        later = job.weather.model_copy(update={"job_day": line.date, "today": job.weather.last_measured})
        job = job.model_copy(update={"weather": later})
    alone = fleet.model_copy(update={"machines": tuple(m for m in fleet.machines if m.name == line.machine)})
    return pick(job, alone, rules, plan.units, plan.seed)


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
