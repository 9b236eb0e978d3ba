"""Many jobs, one fleet: which machine to which job, on which day, behind which truck."""

import datetime as dt
from collections.abc import Callable

from pickrig.errors import InputError
from pickrig.inputs import Fleet, Job
from pickrig.inputs.board import Board
from pickrig.inputs.job import attachment_of
from pickrig.plans.day import reasons
from pickrig.plans.day.assignment import NONE, Choice, solve
from pickrig.plans.day.candidates import in_words, meet
from pickrig.plans.day.offers import Table, make_table
from pickrig.plans.day.reasons import Chosen
from pickrig.plans.day.record import DayPlan, Idle, Left, Line
from pickrig.plans.day.timetable import Slot, Times, timetable
from pickrig.plans.pick import advice
from pickrig.plans.pick.answer import pick
from pickrig.plans.pick.operator_limits import limits_today
from pickrig.plans.pick.record import Recommendation
from pickrig.reading import Location, nearest
from pickrig.rulebook import Rules

_CAUTIONS = 3  # of a job on the board; its hand-over sheet has six, the page of its own all
_ASK_AGAIN = 1_500  # offers up to which every line is solved again with its first choice


def day(
    board: Board,
    fleet: Fleet,
    rules: Rules,
    seed: int = 0,
    step: Callable[[int, int], None] = lambda _done, _of: None,
) -> DayPlan:
    """The board. The order of jobs and machines plays no part."""
    fleet = _in_service(board, fleet)
    table = make_table(board, fleet, rules, meet(board, fleet, rules, seed, step))
    choice = solve(table.problem)
    chosen = Chosen(table, choice, rules, again=len(table.problem.job) <= _ASK_AGAIN)
    lines = _lines(chosen)
    used = {line.machine for line in lines}
    return DayPlan(
        board=board,
        by_money=table.by_money,
        answer=reasons.answer(lines, chosen),
        lines=lines,
        left=_left(chosen),
        idle=tuple(Idle(m.name, reasons.idle(chosen, m.name)) for m in fleet.machines if m.name not in used),
        total=chosen.total(choice),
        gap=choice.gap,
        warnings=reasons.warnings(chosen, lines),
        assumed=reasons.assumed(chosen),
        seed=seed,
    )


_KINDS = ("machines", "trucks", "trailers")


def _in_service(board: Board, fleet: Fleet) -> Fleet:
    """The fleet by name, without what is out. Raises InputError where the day file names what the fleet has not."""
    names = {kind: [one.name for one in getattr(fleet, kind)] for kind in _KINDS}
    everything: tuple[Location, list[str]] = (("out",), [*names["machines"], *names["trucks"], *names["trailers"]])
    asked = [(*everything, name) for name in board.out]
    for call in board.calls:
        given = [("keep", call.keep)] if call.keep else []
        given += [("there", name) for name in call.there]
        asked += [(("job", call.number, key), names["machines"], name) for key, name in given]
    problems = [
        board.fault(where, "fault.not_in", name=name, place=fleet.file, near=nearest(name, known, "known.it_has"))
        for where, known, name in asked
        if name not in known
    ]
    standing = [name for call in board.calls for name in call.there]
    problems += [
        board.fault(("job", call.number, "there"), "fault.two_sites", name=name)
        for name in sorted({name for name in standing if standing.count(name) > 1})
        for call in [next(one for one in board.calls if name in one.there)]
    ]
    if problems:
        raise InputError(problems)
    kept = {kind: [one for one in getattr(fleet, kind) if one.name not in board.out] for kind in _KINDS}
    return fleet.model_copy(update={kind: tuple(sorted(ones, key=lambda one: one.name)) for kind, ones in kept.items()})


def _lines(chosen: Chosen) -> tuple[Line, ...]:
    """In the order of date, machine and start."""
    table, rules = chosen.table, chosen.rules
    board, fleet, problem = table.board, table.fleet, table.problem
    lines = []
    for offer, times in _times(table, chosen.choice).items():
        meeting = table.of(offer)
        call, begins = board.calls[meeting.call], dt.datetime.combine(meeting.date, board.start)
        start, end, back = (begins + dt.timedelta(hours=h) for h in (times.start, times.end, times.back))
        truck, trailer = int(problem.truck[offer]), int(problem.trailer[offer])
        hauled = _hauled(call.job, fleet, truck, trailer)
        cautions = advice.cautions(hauled, meeting.standing, meeting.site, rules)
        lines.append(
            Line(
                call=call,
                date=meeting.date,
                standing=meeting.standing,
                start=start,
                end=end,
                back=back,
                there=table.is_there(offer),
                truck=fleet.trucks[truck].name if truck != NONE else "",
                trailer=fleet.trailers[trailer].name if trailer != NONE else "",
                tool=attachment_of(call.job.task, rules),
                bill=meeting.bill,
                margin=table.left_by(offer) if table.by_money else None,
                chance=meeting.standing.finding("floats").chance,
                watch=tuple(f for f in in_words(meeting, board, rules) if f.verdict in ("caution", "unknown")),
                limits=limits_today(hauled, fleet, meeting.standing, meeting.site, rules),
                cautions=cautions[:_CAUTIONS],
                why=reasons.why(chosen, offer),
            )
        )
    return tuple(sorted(lines, key=lambda line: (line.date, line.machine, line.start)))


def _times(table: Table, choice: Choice) -> dict[int, Times]:
    """Of each offer taken."""
    problem = table.problem
    out: dict[int, Times] = {}
    for date in sorted({table.of(k).date for k in choice.taken.tolist()}):
        own = [k for k in choice.taken.tolist() if table.of(k).date == date]
        own.sort(key=lambda k: (table.of(k).machine, table.of(k).call))
        slots = [
            Slot(
                machine=table.of(k).machine,
                rig=None if problem.truck[k] == NONE else (int(problem.truck[k]), int(problem.trailer[k])),
                hours=table.of(k).bill.hours,
                move=float(table.moves[k]),
                there=table.is_there(k),
            )
            for k in own
        ]
        out.update(zip(own, timetable(slots, stay=table.board.rigs == "stay"), strict=True))
    return out


def _hauled(job: Job, fleet: Fleet, truck: int, trailer: int) -> Job:
    """The job with the truck and trailer the board gives it."""
    if truck == NONE:
        return job.model_copy(update={"haul": None})
    return job.behind(fleet.trucks[truck].name, fleet.trailers[trailer].name)


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
    return pick(job, alone, rules, plan.seed)


def _left(chosen: Chosen) -> tuple[Left, ...]:
    """Hired out first, then undone."""
    out = []
    for index in (*chosen.choice.hired.tolist(), *chosen.choice.undone.tolist()):
        call, hired = chosen.table.board.calls[index], index in chosen.choice.hired
        costs = call.hire if hired else call.postpone
        shown = costs if chosen.table.by_money or hired else None
        out.append(Left(call, hired, shown, reasons.undone(chosen, index)))
    return tuple(out)
