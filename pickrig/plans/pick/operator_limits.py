"""What the operator of the picked machine has to keep to on this job."""

from pickrig.checks import Case
from pickrig.checks.carrying import carry
from pickrig.checks.ground.site import Site
from pickrig.checks.hauls import licence, parking, tie_down
from pickrig.facts import Chance, Quantity, Ruled, Said, Statements, small
from pickrig.inputs import Fleet, Job
from pickrig.plans.pick.record import Standing
from pickrig.plans.pick.rig import rig
from pickrig.rulebook import Rules


def limits_today(job: Job, fleet: Fleet, pick: Standing | None, site: Site, rules: Rules) -> Statements:
    """Each limit with its label; () where nothing is sent."""
    if pick is None:
        return ()
    truck, trailer = rig(job, fleet)
    case = Case(job, pick.machine, site, rules, truck=truck, trailer=trailer)
    told = (_load(case), *_slopes(case), *_turning(case), *_ground(case, pick))
    if truck is None or trailer is None:
        return told
    return (
        *told,
        Said("limit.road", trailer=trailer.name, truck=truck.name),
        *(Said("limit.licence", rule=said) for said in licence(case)),
        *(Said("limit.tie_downs", how=said) for said in tie_down(case, trailer)[1]),
        *_parking(case),
    )


def _parking(case: Case) -> Statements:
    window = parking(case)
    if window is None:
        return ()
    first, last = (Quantity(x, "length") for x in window)
    return (Said("limit.parking", first=first, last=last),)


def _load(case: Case) -> Said:
    loading = carry(case)
    if not case.tool.carries:
        return Said("limit.load_none", tool=Ruled(case.attachment))
    key = "limit.load_slope" if loading.tipping < loading.level else "limit.load"
    return Said(key, safe=Quantity(loading.safe, "mass"), tool=Ruled(case.attachment))


def _slopes(case: Case) -> Statements:
    """The plate's limit each way; where there is none, the manual has to say it."""
    machine, told = case.machine, []
    for key, plate in (("up", machine.max_grade), ("across", machine.max_grade_across)):
        if plate is None:
            told.append(Said(f"limit.{key}_manual"))
        else:
            told.append(Said(f"limit.{key}", plate=Quantity(plate, "slope")))
    return tuple(told)


def _turning(case: Case) -> Statements:
    """No turning on the spot where it spoils what it drives on."""
    spoiled = tuple(Ruled(name) for name in case.job.ground.travel if name in case.rules.care.surfaces)
    if not spoiled or case.machine.kind == "articulated loader":
        return ()
    mode = case.job.task.turning
    if mode in ("wide", "on boards"):
        return (Said("limit.turning_how", how=Ruled(case.rules.care.turns[mode].says), surfaces=spoiled),)
    return (Said("limit.turning", surfaces=spoiled),)


def stop_rut(job: Job, rules: Rules) -> float:
    """Depth of the rut at which it stops, m: in a lawn, one that has to be repaired."""
    on_lawn = "turf" in job.surfaces
    return 2 * rules.care.values["rut_shows"].value if on_lawn else rules.limits.tiers.stop_rut_m


def _ground(case: Case, pick: Standing) -> Statements:
    """When to stop, where the ground may not hold or a lawn may be rutted."""
    floats, depth = pick.finding("floats"), small(stop_rut(case.job, case.rules))
    if floats.verdict == "go":
        rutted = "turf" in case.job.ground.travel and pick.finding("spares_surface").verdict != "go"
        return (Said("limit.lawn", depth=depth),) if rutted else ()
    if floats.chance is None:
        return (Said("limit.ground_unknown", depth=depth),)
    return (Said("limit.ground", chance=Chance(floats.chance), depth=depth),)
