"""Wheels against tracks in snow, three ways: computed force, who reaches the pavement, and the trade's word."""

from collections.abc import Callable

import numpy as np

from pickrig.checks import Case
from pickrig.checks.case import MissingError
from pickrig.checks.ground.site import Site
from pickrig.checks.snow.findings import unders
from pickrig.checks.snow.grip import View
from pickrig.checks.snow.work import clearing
from pickrig.inputs import Fleet, Job
from pickrig.plans.pick.record import SnowPull, SnowView, Standing
from pickrig.quantities import System
from pickrig.rulebook import Rules

NAMES: dict[View, str] = {
    "force": "By computed force alone",
    "reach": "Counting who reaches the pavement",
    "practice": "Counting the trade's word on tracks (common practice)",
}


def snow_views(
    job: Job, fleet: Fleet, rules: Rules, site: Site, units: System, ranked: Callable[[Job], list[Standing]]
) -> tuple[SnowView, ...]:
    """Each machine's pull and time under each view, and the machine each view picks; () without snow."""
    if job.snow is None:
        return ()
    views = []
    for view, name in NAMES.items():
        changed = job.model_copy(update={"snow": job.snow.model_copy(update={"grip": view})})
        ranking = ranked(changed)
        pulls = [_pull(Case(changed, machine, site, rules, units, brief=True), view) for machine in fleet.machines]
        order = [standing.name for standing in ranking]
        rows = sorted((pull for pull in pulls if pull is not None), key=lambda pull: order.index(pull.machine))
        pick = ranking[0].name if ranking[0].usable else None
        views.append(SnowView(view, name, pick, tuple(rows), counted=view == job.snow.grip))
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


def decided(views: tuple[SnowView, ...]) -> str:
    """Which of the three views made the pick, in a sentence."""
    if not views:
        return ""
    by = {view.view: view.pick for view in views}
    last = next(view for view in views if view.counted)
    told = [f"{_lower(view.name)} {view.pick or 'none of them'}" for view in views]
    picks = f"{'; '.join(told)}. "
    if len({view.pulls for view in views}) == 1:
        return "Here the three ways of reckoning grip come to the same: what counts has no pavement to reach."
    if len(set(by.values())) == 1:
        sent = last.pick or "none of them"
        said = f"All three views send {sent}, so what is said of tracks on pavement does not part them."
        return f"{said}{_compared(views)}"
    settled = _settled(views, last)
    what = {
        "force": "Computed force decided",
        "reach": "What decided is the share of contact that reaches the pavement, which nobody has measured",
        "practice": "What decided is the trade's word on tracks, which nobody has measured",
    }[settled.view]
    return f"{picks[0].upper()}{picks[1:]}{what}; grip in [snow] chooses how far to go.{_compared(views)}"


def _compared(views: tuple[SnowView, ...]) -> str:
    """The best pull on tracks over the best on tyres, view by view; empty where the fleet has only one of them."""
    ratios = []
    for view in views:
        best = {gear: max((p.pull for p in view.pulls if p.gear == gear), default=0.0) for gear in ("tracks", "tyres")}
        if min(best.values()) <= 0:
            return ""
        ratios.append(f"{best['tracks'] / best['tyres']:.2f}")
    return (
        f" The best pull on tracks is {ratios[0]} times the best on tyres by force, {ratios[1]} with the pavement, "
        f"{ratios[2]} by the trade's word."
    )


def _settled(views: tuple[SnowView, ...], last: SnowView) -> SnowView:
    """The first view from which on the pick stays what it is."""
    up_to = views[: views.index(last) + 1]
    changed = [i for i, view in enumerate(up_to) if view.pick != last.pick]
    return up_to[changed[-1] + 1] if changed else up_to[0]


def _lower(name: str) -> str:
    return name[0].lower() + name[1:]
