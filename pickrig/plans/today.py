"""What the operator of the picked machine has to keep to on this job, in a line each."""

from math import atan, degrees

from pickrig import quantities
from pickrig.checks import Case
from pickrig.checks.hauls import parking
from pickrig.checks.loading import carry
from pickrig.checks.site import Site
from pickrig.inputs import Fleet, Job
from pickrig.plans.recommendation import Standing
from pickrig.plans.rig import rig
from pickrig.quantities import System
from pickrig.rulebook import Rules


def limits_today(
    job: Job, fleet: Fleet, pick: Standing | None, site: Site, rules: Rules, units: System
) -> tuple[tuple[str, str], ...]:
    """Label and text of each limit; () where nothing is sent."""
    if pick is None:
        return ()
    truck, trailer = rig(job, fleet)
    case = Case(job, pick.machine, site, rules, units, truck=truck, trailer=trailer)
    lines = [_load(case), _slope(case), _turning(case), _ground(pick)]
    if trailer is not None and (window := parking(case, trailer)) is not None:
        where = " to ".join(case.show(x, "length") for x in window)
        lines.append(("on the trailer", f"centre of the machine {where} behind the coupler"))
    return tuple((label, text) for label, text in lines if text)


def _load(case: Case) -> tuple[str, str]:
    loading = carry(case)
    if case.rules.attachments[case.attachment][case.machine.frame].hydraulics is not None:
        return "largest load", f"nothing besides the {case.attachment}"
    sloped = " on this slope" if loading.tipping < loading.level else " on level ground"
    return "largest load", f"{case.show(loading.safe, 'mass')} on the {case.attachment}{sloped}, carried low"


def _slope(case: Case) -> tuple[str, str]:
    """The plate's limit; else what our margin leaves, which is no licence to go there."""
    machine, limits = case.machine, case.rules.limits.climbs
    told = []
    for name, plate in (("up and down", machine.max_grade), ("across", machine.max_grade_across)):
        if plate is not None:
            told.append(f"{name} {degrees(atan(plate)):.0f} deg by the plate or manual")
    if not told:
        across = degrees(atan(limits.across))
        told.append(f"look it up in the manual; without it never across more than {across:.0f} deg")
    return "steepest slope", "; ".join(told)


def _turning(case: Case) -> tuple[str, str]:
    """No turning on the spot where it spoils what it drives on."""
    spoiled = [name for name in case.job.ground.travel if name in case.rules.care.surfaces]
    if not spoiled or case.machine.kind == "articulated loader":
        return "turning", ""
    mode = case.job.task.turning
    only = f"{case.rules.care.turns[mode].says}; " if mode in ("wide", "on boards") else ""
    return "turning", f"{only}never on the spot on {', '.join(spoiled)}"


def _ground(pick: Standing) -> tuple[str, str]:
    floats = pick.finding("floats")
    if floats.verdict == "go":
        return "ground", ""
    chance = f" ({quantities.percent(floats.chance)} chance that it holds)" if floats.chance is not None else ""
    return "ground", f"stop at the first rut deeper than a hand{chance}"
