"""What a machine's work in snow comes to: does it grip, and is the lot open in time?"""

from dataclasses import replace

import numpy as np

from pickrig.checks.case import Case, need
from pickrig.checks.cited import source
from pickrig.checks.finding import Account, Finding, Verdict
from pickrig.checks.ground.draws import Array
from pickrig.checks.snow.grip import View, air, counted, gear_and_tread, kind_of, practice, snow_of
from pickrig.checks.snow.ways import beside, dock_time, overlap
from pickrig.checks.snow.work import Clearing, clearing, pile_sizes
from pickrig.facts import Chance, Quantity, Ruled, Said, Statements, Step, Term, number
from pickrig.inputs.snow import Snow
from pickrig.physics.cycle import trips
from pickrig.rulebook.tables import Belly

_VIEWS: tuple[View, ...] = ("force", "reach", "practice")
NOBODY_LOOKED = ("bare pavement", "ice")


def unders(case: Case) -> tuple[str, ...]:
    """What may be under the snow: what the job says, else the best and the worst it can be."""
    under = snow_of(case).under
    return (under,) if under else NOBODY_LOOKED


def snow_grips(case: Case) -> Finding:
    """Traction over all that resists a full box, in the middle draw, where the ground under the snow is worst."""
    works = {under: clearing(case, under, counted(case)) for under in unders(case)}
    ordered = sorted(works, key=lambda under: float(np.median(works[under].ratio)))  # worst first: its chance counts
    worst = ordered[0]
    verdicts = {under: _grip_verdict(case, work) for under, work in works.items()}
    work = works[worst]
    verdict: Verdict = verdicts[worst] if len(set(verdicts.values())) == 1 else "unknown"
    if verdict == "go" and (_blocky(case, work) or _ramp(case, work)):
        verdict = "caution"
    ratio = _middle(work.ratio)
    value = ratio if work.belly is None else min(ratio, _rides(case, _middle(work.belly)))
    chance = float(np.mean(work.pull >= work.full))
    return Finding(
        check="grips",
        verdict=verdict,
        unit="ratio",
        value=value,
        limit=1.0,
        margin=value,
        chance=chance,
        depends_on=("snow", "ground.temperature", "machine.mass", f"machine.{case.machine.gear}"),
        account=lambda: Account(
            says=tuple(said for under in ordered for said in _grip_says(case, works[under], verdicts[under])),
            remedy=_grip_remedy(case, verdict),
            working=tuple(line for under in works for line in _grip_working(case, under)),
            sources=_sources(case),
        ),
    )


def _rides(case: Case, belly: float) -> float:
    """Clearance over sinkage on the scale of the pull: from hanging up, through dragging, to well clear."""
    row = _belly(case)
    return float(np.interp(belly, [row.hangs, row.drags, row.clear], [0.5, 1.0, 3.0]))


def _belly(case: Case) -> Belly:
    return case.rules.snow.belly.tracks if case.machine.tracks else case.rules.snow.belly.tyres


def _middle(draws: Array) -> float:
    return float(np.median(draws))


def _grip_verdict(case: Case, work: Clearing) -> Verdict:
    limits = case.rules.limits.floats
    belly = None if work.belly is None else _middle(work.belly)
    if float(np.mean(work.pull >= work.least)) < limits.caution or _hangs(case, work) or _slides(case, work):
        return "no-go"
    if _ramp(case, work) and (case.job.ground.grade or 0.0) > case.rules.snow.values["ramp_most"].value:
        return "no-go"
    rides = belly is None or belly >= _belly(case).drags
    covered = not case.rules.snow.kinds[
        kind_of(case)
    ].thawing  # wet snow lies outside what the equations were fitted on
    return "go" if float(np.mean(work.pull >= work.full)) >= limits.go and rides and covered else "caution"


def _blocky(case: Case, work: Clearing) -> bool:
    """Block-tread belts on pavement, bare or glazed: the trade's word is that they spin and slide."""
    block = case.machine.tracks is not None and case.machine.tracks.tread == "block"
    return block and work.row.practice and counted(case) == "practice"


def _ramp(case: Case, work: Clearing) -> bool:
    """A slope it may slide back down with the pusher before it, on packed snow or ice."""
    steep = case.rules.snow.values["ramp"].value
    return (case.job.ground.grade or 0.0) >= steep and work.row.drives_on in ("packed", "ice")


def _hangs(case: Case, work: Clearing) -> bool:
    return work.belly is not None and _middle(work.belly) < _belly(case).hangs


def _slides(case: Case, work: Clearing) -> bool:
    """Whether it slides down sideways on a slope it works across, in more than a few draws."""
    across = case.job.ground.grade_across or 0.0
    return across > 0 and float(np.mean(work.traction >= across)) < case.rules.limits.floats.go


def _grip_says(case: Case, work: Clearing, verdict: Verdict) -> Statements:
    where, box = Ruled(work.row.says), Quantity(_middle(work.full), "force")
    grip = Said("snow.grip", gear=Term(case.machine.gear), share=number(_middle(work.traction), 2))
    pull = Quantity(_middle(work.pull), "force")
    if _slides(case, work):
        return (Said("snow.slides", where=where, across=Quantity(case.job.ground.grade_across or 0.0, "share")), grip)
    if _hangs(case, work):
        told = [Said("snow.hangs", where=where)]
    elif _ramp(case, work) and verdict == "no-go":
        told = [Said("snow.ramp_no", where=where, grade=Quantity(case.job.ground.grade or 0.0, "share")), grip]
    elif work.hours.way in ("blow", "sweep") and verdict != "no-go":
        told = [Said("snow.drives", where=where), grip]
    elif verdict == "no-go":
        told = [Said("snow.spins", where=where)]
        moves = _middle(work.pull) > 0
        told += [Said("snow.leaves", pull=pull) if moves else Said("snow.stuck"), grip]
    else:
        chance = Chance(float(np.mean(work.pull >= work.full)))
        told = [Said("snow.keeps" if verdict == "go" else "snow.may", where=where, chance=chance)]
        told += [Said("snow.pull", pull=pull, box=box), grip]
    if case.rules.snow.kinds[kind_of(case)].thawing:
        told.append(Said("snow.unpublished"))
    if verdict != "no-go":
        told += [Said("snow.ramp", grade=Quantity(case.job.ground.grade or 0.0, "share"))] if _ramp(case, work) else []
        told += [Said("snow.blocky", where=where)] if _blocky(case, work) else []
    if work.belly is not None and _middle(work.belly) < _belly(case).clear and not _hangs(case, work):
        share = number(_middle(work.belly), 2)
        told.append(Said("snow.belly", sinks=Quantity(_middle(work.sinks), "length"), share=share))
    if work.by_engine and _middle(work.pull) < case.rules.snow.values["engine_near"].value * _middle(work.full):
        told.append(Said("snow.engine"))
    return tuple(told)


def _grip_working(case: Case, under: str) -> Statements:
    """Three views in three steps, each to be redone by hand; then the box."""
    works = {view: clearing(case, under, view) for view in _VIEWS}
    last = works["practice"]
    told: list[Said] = [
        Said(
            "snow.drive",
            where=Ruled(last.row.says),
            gear=Term(case.machine.gear),
            tread=Term(gear_and_tread(case).replace(" ", "_")),
            weight=Quantity(last.weight_on_drive, "force"),
            pressure=Quantity(last.pressure, "pressure"),
            air=Quantity(air(case), "temperature"),
        )
    ]
    for view, work in works.items():
        counts = "" if _VIEWS.index(view) <= _VIEWS.index(counted(case)) else "_beyond"
        told.append(
            Step(
                f"snow.view_{view}{counts}",
                k=number(practice(case, work.row, view), 2),
                μ=number(_middle(work.traction), 3),
                W=Quantity(work.weight_on_drive, "force"),
                R=Quantity(_middle(work.resists), "force"),
                pull=Quantity(_middle(work.pull), "force"),
            )
        )
    if last.hours.way in ("blow", "sweep"):
        return tuple(told)
    box, takes = Quantity(_middle(last.box), "mass"), Quantity(_middle(last.full), "force")
    return (*told, Said("snow.full_box", box=box, takes=takes))


def _grip_remedy(case: Case, verdict: Verdict) -> Statements:
    if verdict == "go":
        return ()
    if verdict == "unknown":
        return (Said("snow.look_under"),)
    tyres = case.machine.tyres
    chains = tyres is not None and not tyres.chains
    return (Said("snow.mend_chains" if chains else "snow.mend_salt"),)


def snow_time(case: Case) -> Finding:
    """Time to clear the lot over the window of hours. See `Finding`."""
    lot, values = snow_of(case), case.rules.snow.values
    window = lot.window if lot.window is not None else 3600 * values["usual_window"].value
    # Where nobody knows what lies under the snow, the worst of it counts, for the time and for the chance alike.
    works = [clearing(case, under, counted(case)) for under in unders(case)]
    chances = [float(np.mean(work.time <= window)) for work in works]
    work = works[max(range(len(works)), key=lambda i: (_middle(works[i].time), -chances[i]))]
    time, chance = _middle(work.time), min(chances)
    _, bank, heap = pile_sizes(case)
    reach = need(case.machine.lift_height, "lift_height") - case.tool.drop + case.rules.snow.values["own_pile"].value
    verdict = _time_verdict(case, chance, bank > reach, never=bool(np.isinf(time)))
    return Finding(
        check="produces",
        verdict=verdict,
        unit="share",
        value=min(time / window, 1e3),
        limit=1.0,
        margin=window / time if np.isfinite(time) else 0.0,
        chance=chance,
        depends_on=("snow", "task.attachment", "machine.travel_speed"),
        seconds=time if np.isfinite(time) else None,
        account=lambda: Account(
            says=_time_says(case, work, window, (bank, heap, reach)),
            remedy=() if verdict == "go" else _time_remedy(case, work),
            working=_time_working(case, work),
            sources=_sources(case),
        ),
    )


def _time_verdict(case: Case, chance: float, high: bool, never: bool) -> Verdict:
    limits = case.rules.limits.floats
    if never or (chance < limits.caution and snow_of(case).window is not None):
        return "no-go"
    return "go" if chance >= limits.go and not high and not _narrow(case) else "caution"


def _narrow(case: Case) -> bool:
    """Whether the machine runs in snow that its tool has not cleared."""
    return case.tool_width < need(case.machine.width, "width") - 0.01


def _time_remedy(case: Case, work: Clearing) -> Statements:
    """What would clear it sooner, or at all, by the way it is cleared."""
    if work.hours.way in ("blow", "sweep"):
        return (Said("snow.mend_time_tool" if np.isfinite(_middle(work.time)) else f"snow.mend_{work.hours.way}"),)
    blade = case.tool.box is not None and case.tool.box.is_blade
    aside = (Said("snow.mend_windrow"),) if blade and _cast_is_quicker(case, work) else ()
    return (*aside, Said("snow.mend_time"))


def _cast_is_quicker(case: Case, work: Clearing) -> bool:
    """Whether a blade that casts to the side is done sooner than pushing straight."""
    if snow_of(case).windrow is not None:
        return False
    lot = snow_of(case).model_copy(update={"windrow": "one side"})
    cast = replace(case, job=case.job.model_copy(update={"snow": lot}), memory={})
    return min(_middle(clearing(cast, under, counted(cast)).time) for under in unders(cast)) < _middle(work.time)


def _time_says(case: Case, work: Clearing, window: float, pile: tuple[float, float, float]) -> Statements:
    lot, where = snow_of(case), Ruled(work.row.says)
    if lot.depth <= work.row.left:
        return (Said("snow.nothing", left=Quantity(work.row.left, "length"), where=where),)
    if not np.isfinite(_middle(work.time)):
        return (Said("snow.never" if work.hours.length is not None else f"snow.never_{work.hours.way}", where=where),)
    low, high = (float(q) for q in np.quantile(work.time, (0.1, 0.9), method="nearest"))  # some draws never end
    lead = Said(
        "snow.time" if lot.window is not None else "snow.time_usual",
        time=Quantity(_middle(work.time), "duration"),
        low=Quantity(low, "duration"),
        high=Quantity(high, "duration"),
        window=Quantity(window, "duration"),
    )
    narrow = (Said("snow.narrow"),) if _narrow(case) else ()
    stacks = (_pile(lot, pile),) if work.hours.way == "push" else ()
    return (lead, _loads(lot, work), *stacks, *narrow)


def _loads(lot: Snow, work: Clearing) -> Said:
    """What ends a load, or how it is cleared instead."""
    if work.hours.passes is not None:
        return Said("snow.casts", passes=int(np.median(work.hours.passes)))
    if work.hours.length is None:
        return Said(f"snow.{work.hours.way}s", speed=Quantity(_middle(work.hours.speed), "speed"))
    length = _middle(work.hours.length)
    if length >= lot.sides[0]:
        return Said("snow.one_load")
    full = length >= 0.99 * _middle(work.fills) * work.width / work.hours.width
    return Said("snow.box_full" if full else "snow.loses_grip", each=Quantity(length, "length"))


def _pile(lot: Snow, pile: tuple[float, float, float]) -> Said:
    bank, heap, reach = (Quantity(height, "length") for height in pile)
    return Said("snow.piles" if lot.stack == "both ends" else "snow.pile", bank=bank, heap=heap, reach=reach)


def _time_working(case: Case, work: Clearing) -> Statements:
    """The draw in the middle, so that its figures give its time."""
    hours, n = work.hours, work.hours.middle
    if not np.isfinite(hours.time[n]):
        return ()
    snow_is = Said(
        "snow.lies",
        density=Quantity(float(work.density[n]), "density"),
        kind=Ruled(case.rules.snow.kinds[kind_of(case)].says),
        box=Quantity(float(work.box[n]), "mass"),
    )
    lot, pace = snow_of(case), hours.pace
    along, across = lot.sides
    e, v = number(float(pace.share[n]), 3), Quantity(float(hours.speed[n]), "speed")
    lanes = int(trips(across, hours.width - (0 if hours.way != "push" else overlap(case, hours.width))))
    if hours.length is None or hours.way != "push":
        L = Quantity(along, "length")
        turn = Quantity(case.rules.snow.values["turn_time"].value, "fine duration")
        step = Step(
            f"snow.lanes_{hours.way}", lanes=lanes, w=Quantity(hours.width, "length"), L=L, v=v, t_turn=turn, e=e
        )
        return (snow_is, step, *_besides(case, work, n))
    ends = "_both_ends" if lot.stack == "both ends" else ""
    length = along / (2 if ends else 1)
    loads = int(trips(length, float(hours.length[n])))
    alone = float(hours.time[n]) / case.job.pace * beside(case) - float(_docks(case, work)[n])
    beyond = {} if lot.beyond is None else {"b": Quantity(lot.beyond, "length")}
    step = Step(
        f"snow.lanes{ends}{'_beyond' if beyond else ''}",
        lanes=lanes,
        w=Quantity(hours.width, "length"),
        k=loads,
        L=Quantity(length, "length"),
        **beyond,
        v_push=Quantity(work.push_speed, "speed"),
        v_back=Quantity(work.return_speed, "speed"),
        t_turn=Quantity(pace.turn, "fine duration"),
        r=number(float(pace.trickles[n]), 3),
        e=e,
        t=Quantity(alone, "duration"),
    )
    return (snow_is, step, *_besides(case, work, n))


def _docks(case: Case, work: Clearing) -> Array:
    return dock_time(case, work.hours.pace, (work.push_speed, work.return_speed))


def _besides(case: Case, work: Clearing, n: int) -> Statements:
    """What the lot takes besides its lanes, and how it is shared."""
    lot, told = snow_of(case), []
    if lot.dock is not None:
        told.append(
            Said(
                "snow.drags",
                dock=Quantity(lot.dock, "length"),
                time=Quantity(float(_docks(case, work)[n]), "fine duration"),
            )
        )
    if lot.machines > 1:
        whole = Quantity(float(work.hours.time[n]) / case.job.pace, "duration")
        told.append(Said("snow.shared", machines=lot.machines, worth=number(beside(case), 2), time=whole))
    if case.job.pace != 1:
        time = Quantity(float(work.hours.time[n]), "duration")
        told.append(Step("work.by_log", k=number(case.job.pace, 2), t=time))
    return tuple(told)


def _sources(case: Case) -> Statements:
    names = ["snow traction", "snow resistance", "pushing snow", "clearing a lot"]
    return (
        *case.cite(*names),
        source(case.rules, case.rules.snow.values["practice"], "source.trades_word"),
        source(case.rules, case.rules.snow.kinds[kind_of(case)], "source.snow_density"),
    )
