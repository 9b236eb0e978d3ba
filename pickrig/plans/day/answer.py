"""Many jobs, one fleet: which machine to which job, on which day, behind which truck."""

import datetime as dt
from collections.abc import Callable, Sequence

from pickrig.errors import InputError
from pickrig.facts import Said, Statements
from pickrig.inputs import Fleet, Job
from pickrig.inputs.board import Board
from pickrig.inputs.earlier_plan import EarlierPlan
from pickrig.inputs.job import attachment_of
from pickrig.plans.day import reasons
from pickrig.plans.day.assignment import NONE
from pickrig.plans.day.candidates import Rig, in_words, meet
from pickrig.plans.day.changes import Placed, clock_of, differences, event_of, placed_before, without_rain
from pickrig.plans.day.choosing import choose, timetables
from pickrig.plans.day.offers import make_table
from pickrig.plans.day.reasons import Chosen
from pickrig.plans.day.record import DayPlan, Idle, Left, Line, Run
from pickrig.plans.day.timetable import Planned
from pickrig.plans.pick import advice
from pickrig.plans.pick.answer import pick
from pickrig.plans.pick.operator_limits import limits_today
from pickrig.plans.pick.record import Recommendation
from pickrig.plans.yard.said import used as said_by_log
from pickrig.plans.yard.teaching import Yard, taught
from pickrig.reading import Location, nearest
from pickrig.rulebook import Rules

_CAUTIONS = 3  # of a job on the board; its hand-over sheet has six, the page of its own all


def day(
    board: Board,
    fleet: Fleet,
    rules: Rules,
    seed: int = 0,
    step: Callable[[int, int], None] = lambda _done, _of: None,
    earlier: EarlierPlan | None = None,
    yard: Yard | None = None,
) -> DayPlan:
    """The board. earlier: a plan of before, from which it departs only where that is worth it. The order of jobs and
    machines plays no part."""
    fleet, board = _in_service(board, fleet), _taught(board, fleet, yard)
    before = placed_before(earlier, board) if earlier else []
    chosen, days = _planned(board, fleet, rules, seed, step, before)
    lines, runs = _lines(chosen, days), _runs(chosen, days)
    used = {line.machine for line in lines}
    return DayPlan(
        board=board,
        by_money=chosen.table.by_money,
        answer=reasons.answer(lines, chosen),
        lines=lines,
        runs=runs,
        left=_left(chosen),
        idle=tuple(Idle(m.name, reasons.idle(chosen, m.name)) for m in fleet.machines if m.name not in used),
        total=chosen.total(chosen.choice),
        gap=chosen.choice.gap,
        warnings=(*said_by_log(yard), *reasons.warnings(chosen, lines), *reasons.tired(chosen, days)),
        since=differences(before, _placed(chosen, days)) if earlier else None,
        if_dry=_if_dry(chosen, days, rules, seed),
        events={call.name: event_of(board, call, earlier) for call in board.calls},
        dropped=_dropped(earlier, board) if earlier else {},
        assumed=reasons.assumed(chosen),
        seed=seed,
    )


def _dropped(earlier: EarlierPlan, board: Board) -> dict[str, str]:
    """Marks of what a plan of before still had to come, with the job, empty for a drive."""
    jobs = {line.event: line.job for line in earlier.lines}
    return {mark: jobs.get(mark, "") for mark, date in earlier.events.items() if date >= board.date}


def _taught(board: Board, fleet: Fleet, yard: Yard | None) -> Board:
    """Every job with what the log of the yard says of it."""
    if yard is None:
        return board
    calls = tuple(call.model_copy(update={"job": taught(call.job, fleet, yard)}) for call in board.calls)
    return board.model_copy(update={"calls": calls})


Days = dict[dt.date, Planned]


def _planned(
    board: Board,
    fleet: Fleet,
    rules: Rules,
    seed: int,
    step: Callable[[int, int], None],
    before: Sequence[Placed],
) -> tuple[Chosen, Days]:
    """What goes, and when."""
    chosen = choose(make_table(board, fleet, rules, meet(board, fleet, rules, seed, step), before), rules)
    return chosen, timetables(chosen.table, chosen.choice.taken.tolist(), rules)


def _placed(chosen: Chosen, days: Days) -> list[Placed]:
    table = chosen.table
    return [
        Placed(
            table.board.calls[table.of(offer).call].name,
            table.name(offer),
            date,
            dt.datetime.combine(date, table.board.start) + dt.timedelta(hours=day.timetable.times[k].arrive),
        )
        for date, day in days.items()
        for k, offer in enumerate(day.offers)
    ]


def _if_dry(chosen: Chosen, days: Days, rules: Rules, seed: int) -> Statements:
    """What goes otherwise where the rain that is forecast does not come, and by when to look; empty where none is
    forecast."""
    board, fleet = chosen.table.board, chosen.table.fleet
    dry = without_rain(board)
    if dry is None:
        return ()
    wet_plan = _placed(chosen, days)
    other, other_days = _planned(dry, fleet, rules, seed, lambda _done, _of: None, wet_plan)
    dry_plan = _placed(other, other_days)
    told = differences(wet_plan, dry_plan)
    if not told:
        return (Said("board.rain_same"),)
    jobs = {said.value("job") for said in told}
    first = min(one.arrive for one in (*wet_plan, *dry_plan) if one.job in jobs)
    look = first - dt.timedelta(seconds=3600 * rules.money["decide_ahead"].value)
    return (Said("board.rain_decide", date=look.date(), at=clock_of(look)), *told)


_KINDS = ("machines", "trucks", "trailers", "people")


def _in_service(board: Board, fleet: Fleet) -> Fleet:
    """The fleet by name, without what is out. Raises InputError where the day file names what the fleet has not."""
    names = {kind: [one.name for one in getattr(fleet, kind)] for kind in _KINDS}
    everything: tuple[Location, list[str]] = (("out",), [name for kind in _KINDS for name in names[kind]])
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
    problems += [
        board.fault(("job", call.number, "keep"), "fault.keep", machine=call.keep, why=(Said("board.is_out"),))
        for call in board.calls
        if call.keep in board.out
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
    if fleet.people and not kept["people"]:
        raise InputError([board.fault(("out",), "fault.nobody")])
    return fleet.model_copy(update={kind: tuple(sorted(ones, key=lambda one: one.name)) for kind, ones in kept.items()})


def _lines(chosen: Chosen, days: Days) -> tuple[Line, ...]:
    """In the order of date, machine and start."""
    table, rules = chosen.table, chosen.rules
    board, fleet = table.board, table.fleet
    lines = []
    for date, day in days.items():
        begins = dt.datetime.combine(date, board.start)
        for k, offer in enumerate(day.offers):
            meeting, times = table.of(offer), day.timetable.times[k]
            call, rig = board.calls[meeting.call], times.hands.rig or Rig(NONE, NONE)
            start, arrive, end, back = (
                begins + dt.timedelta(hours=h) for h in (times.start, times.arrive, times.end, times.back)
            )
            stands = times.onto is not None or table.is_stranded(offer)
            hauled = _hauled(call.job, fleet, rig)
            cautions = advice.cautions(hauled, meeting.standing, meeting.site, rules)
            lines.append(
                Line(
                    call=call,
                    date=date,
                    standing=meeting.standing,
                    start=start,
                    arrive=arrive,
                    end=end,
                    back=None if stands else back,
                    onto="" if times.onto is None else board.calls[table.of(day.offers[times.onto]).call].name,
                    there=table.is_there(offer),
                    operator="" if times.hands.runs is None else fleet.people[times.hands.runs].name,
                    truck=fleet.trucks[rig.truck].name if rig.truck != NONE else "",
                    trailer=fleet.trailers[rig.trailer].name if rig.trailer != NONE else "",
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


def _runs(chosen: Chosen, days: Days) -> tuple[Run, ...]:
    """In the order of date, truck and clock."""
    table, runs = chosen.table, []
    for date, day in days.items():
        begins = dt.datetime.combine(date, table.board.start)

        def site(slot: int, of: tuple[int, ...] = day.offers) -> str:
            return table.board.calls[table.of(of[slot]).call].name

        for leg in day.timetable.legs:
            here, before = site(leg.slot), "" if leg.before is None else site(leg.before)
            origin, to = {
                "deliver": ("", here),
                "home": (here, ""),
                "out": ("", before or here),
                "fetch": (here, ""),
                "shift": (before, here),
            }[leg.what]
            runs.append(
                Run(
                    date=date,
                    what=leg.what,
                    truck=table.fleet.trucks[leg.rig.truck].name,
                    trailer=table.fleet.trailers[leg.rig.trailer].name,
                    driver="" if leg.driver is None else table.fleet.people[leg.driver].name,
                    machine="" if leg.what in ("home", "out") else table.name(day.offers[leg.slot]),
                    origin=origin,
                    to=to,
                    leaves=begins + dt.timedelta(hours=leg.leaves),
                    arrives=begins + dt.timedelta(hours=leg.arrives),
                )
            )
    return tuple(sorted(runs, key=lambda run: (run.date, run.truck, run.leaves, run.arrives)))


def _hauled(job: Job, fleet: Fleet, rig: Rig) -> Job:
    """The job with the truck and trailer the board gives it."""
    if rig.truck == NONE:
        return job.model_copy(update={"haul": None})
    return job.behind(fleet.trucks[rig.truck].name, fleet.trailers[rig.trailer].name)


def handed_over(line: Line, plan: DayPlan, fleet: Fleet, rules: Rules, yard: Yard | None = None) -> Recommendation:
    """What `pick` says of one line with its machine and rig alone, for the hand-over sheet."""
    job = line.call.job
    trucks, trailers = ([one.name for one in kind] for kind in (fleet.trucks, fleet.trailers))
    rig = Rig(trucks.index(line.truck), trailers.index(line.trailer)) if line.truck else Rig(NONE, NONE)
    job = _hauled(job, fleet, rig)
    if job.weather is not None and line.date != job.weather.job_day:
        later = job.weather.model_copy(update={"job_day": line.date, "today": job.weather.last_measured})
        job = job.model_copy(update={"weather": later})
    alone = fleet.model_copy(update={"machines": tuple(m for m in fleet.machines if m.name == line.machine)})
    return pick(job, alone, rules, plan.seed, yard=yard)


def _left(chosen: Chosen) -> tuple[Left, ...]:
    """Hired out first, then undone."""
    out = []
    for index in (*chosen.choice.hired.tolist(), *chosen.choice.undone.tolist()):
        call, hired = chosen.table.board.calls[index], index in chosen.choice.hired
        costs = call.hire if hired else call.postpone
        shown = costs if chosen.table.by_money or hired else None
        out.append(Left(call, hired, shown, reasons.undone(chosen, index)))
    return tuple(out)
