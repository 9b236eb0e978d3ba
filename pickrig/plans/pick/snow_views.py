"""Wheels against tracks in snow, three ways: computed force, who reaches the pavement, and the trade's word."""

from collections.abc import Callable

import numpy as np

from pickrig.checks import Case
from pickrig.checks.case import MissingError
from pickrig.checks.ground.site import Site
from pickrig.checks.snow.findings import NOBODY_LOOKED, unders
from pickrig.checks.snow.grip import View
from pickrig.checks.snow.work import clearing
from pickrig.facts import Quantity, Ruled, Said, Statements, Term, Value, number
from pickrig.inputs import Fleet, Job
from pickrig.plans.pick.reasons import leads
from pickrig.plans.pick.record import SnowPull, SnowView, Standing
from pickrig.rulebook import Rules

_VIEWS: tuple[View, ...] = ("force", "reach", "practice")


def snow_views(
    job: Job, fleet: Fleet, rules: Rules, site: Site, ranked: Callable[[Job], list[Standing]]
) -> tuple[SnowView, ...]:
    """Each machine's pull and time under each view, and the machine each view picks; () without snow."""
    if job.snow is None:
        return ()
    views = []
    for view in _VIEWS:
        changed = job.model_copy(update={"snow": job.snow.model_copy(update={"grip": view})})
        ranking = ranked(changed)
        pulls = [_pull(Case(changed, machine, site, rules), view) for machine in fleet.machines]
        order = [standing.name for standing in ranking]
        rows = sorted((pull for pull in pulls if pull is not None), key=lambda pull: order.index(pull.machine))
        pick = ranking[0].name if ranking[0].usable else None
        views.append(SnowView(view, pick, tuple(rows), counted=view == job.snow.grip))
    return tuple(views)


def _pull(case: Case, view: View) -> SnowPull | None:
    """The worst of what may be under the snow; None where a figure is missing."""
    try:
        works = [clearing(case, under, view) for under in unders(case)]
    except MissingError:
        return None
    work = min(works, key=lambda one: float(np.median(one.ratio)))
    time = float(np.median(max(works, key=lambda one: float(np.median(one.time))).time))
    return SnowPull(
        machine=case.machine.name,
        gear=case.machine.gear,
        traction=float(np.median(work.traction)),
        pull=float(np.median(work.pull)),
        full=float(np.median(work.full)),
        seconds=time if np.isfinite(time) else None,
    )


def by_under(job: Job, rules: Rules, ranked: Callable[[Job], list[Standing]]) -> Statements:
    """Where nobody has looked under the snow: what goes on each that may lie there."""
    if job.snow is None or job.snow.under is not None:
        return ()
    told = []
    for under in NOBODY_LOOKED:
        row, snow = rules.snow.under[under], job.snow.model_copy(update={"under": under})
        ground = job.ground.model_copy(update={"travel": {row.surface: 1.0}})
        first = ranked(job.model_copy(update={"snow": snow, "ground": ground}))[0]
        where = Ruled(row.says)
        told.append(
            Said("snow_views.on", where=where, machine=first.name)
            if first.usable
            else Said("snow_views.on_none", where=where)
        )
    return tuple(told)


def decided(views: tuple[SnowView, ...], ranking: list[Standing], order: list[str], rules: Rules) -> Statements:
    """What decided between wheels and tracks, both machines named; then which of the three views it hangs on."""
    if not views:
        return ()
    return (*_face_to_face(ranking, order, rules), *by_view(views))


def _face_to_face(ranking: list[Standing], order: list[str], rules: Rules) -> Statements:
    """The best on tracks and the best on tyres, and what parts them; () where the fleet has only one of them."""
    first = ranking[0]
    second = next((s for s in ranking if s.machine.gear != first.machine.gear), None)
    if second is None:
        return ()
    if not first.usable:
        return (Said("snow_views.neither"), *_out(first), *_out(second))
    if not second.usable:
        return (Said("snow_views.sent", machine=first.name, gear=Term(first.machine.gear)), *_out(second))
    strongest = max(leads(first, second, order), key=lambda lead: lead.points).check
    return (_parted(first, second, strongest, rules),)


def _out(standing: Standing) -> Statements:
    """What stops it, in its own words."""
    stops = next(f for f in standing.findings if f.verdict in ("no-go", "unknown"))
    return (Said("snow_views.out", machine=standing.name, gear=Term(standing.machine.gear)), *stops.says[:1])


def _parted(first: Standing, second: Standing, check: str, rules: Rules) -> Said:
    """Both machines with the figures of the question that parts them most."""
    own, other = first.finding(check), second.finding(check)
    machines: dict[str, Value] = {"machine": first.name, "gear": Term(first.machine.gear)}
    machines |= {"rival": second.name, "rivals": Term(second.machine.gear)}
    if check == "produces" and own.seconds is not None and other.seconds is not None:
        times = {"time": Quantity(own.seconds, "duration"), "other": Quantity(other.seconds, "duration")}
        return Said("snow_views.by_time", **machines, **times)
    if check == "grips" and own.value is not None and other.value is not None:
        return Said("snow_views.by_grip", **machines, has=number(own.value, 1), other=number(other.value, 1))
    return Said("snow_views.by", **machines, question=Ruled(rules.questions[check].short))


def by_view(views: tuple[SnowView, ...]) -> Statements:
    """Which of the three views made the pick; nothing where none sends any."""
    last = next(view for view in views if view.counted)
    if len({view.pulls for view in views}) == 1:
        return (Said("snow_views.alike"),)
    if len({view.pick for view in views}) == 1:
        return (*((Said("snow_views.all_send", machine=last.pick),) if last.pick else ()), *_compared(views))
    told = (
        Said(f"snow_views.{view.view}", machine=view.pick) if view.pick else Said(f"snow_views.{view.view}_none")
        for view in views
    )
    return (*told, Said(f"snow_views.decided_{_settled(views, last).view}"), *_compared(views))


def _compared(views: tuple[SnowView, ...]) -> Statements:
    """The best pull on tracks over the best on tyres, view by view; () where the fleet has only one of them."""
    ratios = {}
    for view in views:
        best = {gear: max((p.pull for p in view.pulls if p.gear == gear), default=0.0) for gear in ("tracks", "tyres")}
        if min(best.values()) <= 0:
            return ()
        ratios[view.view] = number(best["tracks"] / best["tyres"], 2)
    return (Said("snow_views.compared", **ratios),)


def _settled(views: tuple[SnowView, ...], last: SnowView) -> SnowView:
    """The first view from which on the pick stays what it is."""
    up_to = views[: views.index(last) + 1]
    changed = [i for i, view in enumerate(up_to) if view.pick != last.pick]
    return up_to[changed[-1] + 1] if changed else up_to[0]
