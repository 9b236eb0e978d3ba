"""Can it lift the load? Tipping load on this attachment, the share of it that may be carried, and the height."""

from dataclasses import dataclass

from pickrig.checks.carrying import Carry, carry, tipping_rule
from pickrig.checks.case import Case, MissingError, need
from pickrig.checks.finding import Finding, Verdict
from pickrig.inputs import Job
from pickrig.physics import contact, tipping
from pickrig.rulebook import Rules


def applies(job: Job, rules: Rules) -> bool:
    """Where something is carried, or has to go up: tools work and snow is pushed."""
    work = rules.work[job.task.kind]
    carries = rules.attachments[job.task.attachment or work.attachment]["compact"].carries and work.carries
    return carries or job.task.load is not None or job.task.truck_side is not None


def lifts(case: Case) -> Finding:
    """Safe load on this attachment over the load to be moved, and the trips that makes. See `Finding`."""
    load = case.job.task.load
    heights = _heights(case)
    if load is None and heights.fault:
        return _too_high(case, heights)
    if load is None:
        raise MissingError(
            "task.load", of_the_job=True, how="Give the weight of one load as it comes: a pallet, a bucketful."
        )
    loading = carry(case)
    verdict = _verdict(case, loading, load, heights)
    return Finding(
        check="lifts",
        verdict=verdict,
        unit="ratio",
        value=loading.safe / load,
        limit=None if case.job.task.split else 1.0,
        margin=loading.safe / load,
        says=_says(case, loading, load, heights),
        working=_working(case, loading),
        sources=(*case.cite("statics"), _share_source(case)),
        depends_on=("task.load", "task.split", "machine.tipping_load", "machine.tipping_share"),
        remedy=_remedy(case, loading, load, heights) if verdict == "no-go" else "",
    )


def _too_high(case: Case, heights: "_Heights") -> Finding:
    """A height out of reach, whatever the load weighs."""
    return Finding(
        check="lifts",
        verdict="no-go",
        unit="ratio",
        says=heights.fault,
        sources=case.cite("statics"),
        depends_on=("task.truck_side", "task.set_height"),
        remedy=heights.remedy,
    )


@dataclass(frozen=True)
class _Heights:
    """What the job asks and the arms give, m; a fault is told in a sentence, empty where there is none."""

    fault: str
    remedy: str


def _heights(case: Case) -> _Heights:
    """Setting down or dumping as high as the job asks, and reaching over the side of a truck."""
    task = case.job.task
    over = task.truck_side + case.rules.limits.lifts.over_side_m if task.truck_side is not None else None
    height = max((h for h in (over, task.set_height) if h is not None), default=None)
    if height is not None and _highest(case) < height:
        ends = case.show(_highest(case), "length")
        return _Heights(
            f"Does not reach: the load has to go up {case.show(height, 'length')}, the arms end at {ends} with this "
            "attachment.",
            f"Set the load down no higher than {ends}, build a ramp, or send a machine with a higher lift.",
        )
    if task.truck_reach is not None and _reach(case) < task.truck_reach:
        reach = case.show(_reach(case), "length")
        return _Heights(
            f"Does not reach over: it dumps {reach} ahead of its front at full height, the middle of the bed is "
            f"{case.show(task.truck_reach, 'length')} in.",
            f"Park the truck so that {reach} is enough, load from both sides, or send a machine that reaches farther.",
        )
    return _Heights("", "")


def _highest(case: Case) -> float:
    """Height of fork tips or dumping edge with the arms up: as the file has it, else the hinge pin's less the drop, "
    "m."""
    if case.attachment == "bucket" and case.machine.dump_height is not None:
        return case.machine.dump_height
    drop = case.rules.attachments[case.attachment][case.machine.frame].drop
    return need(case.machine.lift_height, "lift_height") - drop


def _reach(case: Case) -> float:
    """How far ahead of its front it dumps at full height, m; radial arms come back towards the machine up there."""
    reach = need(case.machine.dump_reach, "dump_reach")
    from_class = "dump_reach" in case.machine.filled
    return reach * case.rules.strength["radial_reach"].value if from_class and case.machine.arms == "radial" else reach


def _verdict(case: Case, loading: Carry, load: float, heights: _Heights) -> Verdict:
    if loading.trips == 0 or heights.fault:
        return "no-go"
    close = load > case.rules.limits.lifts.comfort * loading.safe
    sloping = max(case.job.ground.grade or 0.0, case.job.ground.grade_across or 0.0) > case.rules.limits.climbs.level
    own_coupler = case.machine.coupler == "its own" and case.attachment != "bucket"
    if loading.trips > 1 or close or sloping or own_coupler or _heaviest(case) > loading.safe:
        return "caution"
    return "go"


def _heaviest(case: Case) -> float:
    """What a pallet of these goods weighs at the most, kg; 0 where the job gives a weight."""
    goods = case.rules.goods[case.job.task.goods] if case.job.task.goods is not None else None
    return goods.pallet[2] if goods is not None and goods.pallet is not None and not case.job.task.split else 0.0


def _says(case: Case, loading: Carry, load: float, heights: _Heights) -> str:
    safe, wanted = case.show(loading.safe, "mass"), case.show(load, "mass")
    pieces = case.job.task.pieces
    faults = []
    if loading.trips == 0:
        faults.append(
            f"Too heavy: {_rated(case, loading)}it may carry {safe} on its {case.attachment}, the load is {wanted} and "
            "cannot be split."
        )
    faults += [heights.fault] if heights.fault else []
    if faults:
        return " ".join(faults)
    extra = _besides(case, loading)
    if loading.trips > 1:
        total = loading.trips * pieces
        trips = f"{total} trips for {pieces} loads" if pieces > 1 else f"{total} trips"
        parts = f"Takes the {wanted} load in {loading.trips} parts"
        return f"{parts}: it may carry {safe} on its {case.attachment}; {trips}.{extra}"
    close = ", close to its limit" if load > case.rules.limits.lifts.comfort * loading.safe else ""
    more = f"; {pieces} trips" if pieces > 1 else ""
    return f"Lifts the {wanted} load in one go{close}: it may carry {safe} on its {case.attachment}{more}.{extra}"


def _besides(case: Case, loading: Carry) -> str:
    """What calls for care besides the weight."""
    told = ""
    if _heaviest(case) > loading.safe:
        told += (
            f" A heavy pallet of these weighs {case.show(_heaviest(case), 'mass')}, more than that: weigh one first."
        )
    if loading.tipping < loading.level:
        told += (
            f" On this slope, arms level, it tips at {loading.tipping / loading.level:.2f} of its load on the level."
        )
    if case.machine.coupler == "its own" and case.attachment != "bucket":
        told += f" Its coupler is its own: see that the {case.attachment} fit it."
    return told


def _rated(case: Case, loading: Carry) -> str:
    """The bucket's rating, where the attachment is another: the figure on the plate is not the one that holds."""
    if case.attachment == "bucket":
        return ""
    rated = loading.share * need(case.machine.tipping_load, "tipping_load")
    return f"rated {case.show(rated, 'mass')} on its bucket, "


def _working(case: Case, loading: Carry) -> tuple[str, ...]:
    machine, show = case.machine, case.show
    rated, reach = need(machine.tipping_load, "tipping_load"), need(machine.coupler_reach_high, "coupler_reach_high")
    fitted_mass = loading.bucket_mass if case.attachment == "bucket" else loading.attachment.mass
    balance = (
        f"tipping load T = (T_rated {show(rated, 'mass')} x {show(reach + loading.bucket.load_centre, 'small length')} "
        f"+ bucket {show(loading.bucket_mass, 'mass')} x {show(reach + loading.bucket.centre, 'small length')} - "
        f"{case.attachment} {show(fitted_mass, 'mass')} x {show(reach + loading.attachment.centre, 'small length')}) / "
        f"load centre {show(loading.high_reach, 'small length')} = {show(loading.level, 'mass')}"
    )
    share = f"{loading.share:.0%} of it may be carried on level ground: {show(loading.share * loading.tipping, 'mass')}"
    if loading.by_hydraulics:
        share += f"; the hydraulics stop at {show(loading.safe, 'mass')} first"
    return (balance, *_hung(case, loading), *_sloping(case, loading), share, _axles(case, loading))


def _hung(case: Case, loading: Carry) -> tuple[str, ...]:
    hung = case.machine.counterweight
    if hung is None:
        return ()
    behind = loading.base + hung.behind
    gain = float(tipping.counterweight_gain(hung.mass, behind, loading.high_reach))
    return (
        f"the counterweight adds {case.show(hung.mass, 'mass')} x {case.show(behind, 'small length')} / "
        f"{case.show(loading.high_reach, 'small length')} = {case.show(gain, 'mass')} (in the figure above)",
    )


def _sloping(case: Case, loading: Carry) -> tuple[str, ...]:
    if loading.tipping == loading.level:
        return ()
    factor = loading.tipping / loading.level if loading.level else 0.0
    return (
        f"on this slope, arms level and load downhill, it tips at {factor:.2f} of that, "
        f"{case.show(loading.tipping, 'mass')}; "
        "no rated load holds off level ground",
    )


def _axles(case: Case, loading: Carry) -> str:
    """Axle loads, or where the resultant lies on the tracks, when it carries."""
    if case.machine.tracks:
        offset = float(
            contact.resultant_offset(loading.mass, loading.base, loading.rear_share, loading.payload, loading.low_reach)
        )
        way = "ahead of" if offset >= 0 else "behind"
        return f"carrying, the weight presses {case.show(abs(offset), 'small length')} {way} the middle of the tracks"
    front, rear = (
        float(axle)
        for axle in contact.axle_loads(
            loading.mass, loading.base, loading.rear_share, loading.payload, loading.low_reach
        )
    )
    return f"carrying, the front axle bears {case.show(front, 'mass')}, the rear {case.show(rear, 'mass')}"


def _share_source(case: Case) -> str:
    if case.machine.tipping_share is not None:
        return "share of the tipping load: as the fleet file gives it"
    return f"share of the tipping load: {case.rules.cite(case.rules.tipping[tipping_rule(case)])}"


def _remedy(case: Case, loading: Carry, load: float, heights: _Heights) -> str:
    if heights.fault:
        return heights.remedy
    if case.job.task.split or loading.safe <= 0:
        return "A lighter attachment, or a machine with a larger tipping load."
    trips = -(-load // loading.safe)
    return f"Split the load: {trips:.0f} parts of {case.show(load / trips, 'mass')} (task.split = true)."
