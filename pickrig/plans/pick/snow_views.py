"""Wheels against tracks in snow, three ways: computed force, who reaches the pavement, and the trade's word."""

from collections.abc import Callable

import numpy as np

from pickrig.checks import Case
from pickrig.checks.case import MissingError
from pickrig.checks.ground.site import Site
from pickrig.checks.snow.findings import unders
from pickrig.checks.snow.grip import View
from pickrig.checks.snow.work import clearing
from pickrig.facts import Said, Statements, number
from pickrig.inputs import Fleet, Job
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


def decided(views: tuple[SnowView, ...]) -> Statements:
    """Which of the three views made the pick."""
    if not views:
        return ()
    last = next(view for view in views if view.counted)
    if len({view.pulls for view in views}) == 1:
        return (Said("snow_views.alike"),)
    if len({view.pick for view in views}) == 1:
        lead = Said("snow_views.all_send", machine=last.pick) if last.pick else Said("snow_views.all_none")
        return (lead, *_compared(views))
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
