"""What the operator of the picked machine has to keep to on this job, in a line each."""

from math import atan, degrees

from pickrig import quantities
from pickrig.checks import Case
from pickrig.checks.carrying import carry
from pickrig.checks.ground.site import Site
from pickrig.checks.hauls import licence, parking, tie_down
from pickrig.inputs import Fleet, Job
from pickrig.plans.pick.record import Standing
from pickrig.plans.pick.rig import rig
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
    if truck is not None and trailer is not None:
        lines += [
            ("on the road", f"{trailer.name} behind {truck.name}. {licence(case)}"),
            ("tie-downs", tie_down(case, trailer)[1]),
        ]
        lines += _parking(case)
    return tuple((label, text) for label, text in lines if text)


def _parking(case: Case) -> list[tuple[str, str]]:
    window = parking(case)
    if window is None:
        return []
    where = " to ".join(case.show(x, "length") for x in window)
    return [("on the trailer", f"centre of its weight {where} behind the coupler")]


def _load(case: Case) -> tuple[str, str]:
    loading = carry(case)
    if not case.rules.attachments[case.attachment][case.machine.frame].carries:
        return "largest load", f"nothing besides the {case.attachment}"
    sloped = " on this slope" if loading.tipping < loading.level else " on level ground"
    return "largest load", f"{case.show(loading.safe, 'mass')} on the {case.attachment}{sloped}, carried low"


def _slope(case: Case) -> tuple[str, str]:
    """The plate's limit each way; where there is none, the manual has to say it."""
    machine = case.machine
    up = (
        f"{degrees(atan(machine.max_grade)):.0f} deg by the plate"
        if machine.max_grade is not None
        else "look it up in the manual"
    )
    side = (
        f"{degrees(atan(machine.max_grade_across)):.0f} deg by the plate"
        if machine.max_grade_across is not None
        else "not at all unless the manual allows it"
    )
    return "steepest slope", f"up and down {up}; across {side}"


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
