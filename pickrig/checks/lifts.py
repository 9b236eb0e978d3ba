"""Can it lift the load? Tipping load on this attachment, the share of it that may be carried, and the height."""

from pickrig.checks.carrying import Carry, bucketful, carry, tipping_rule
from pickrig.checks.case import Case, MissingError, need
from pickrig.checks.cited import source
from pickrig.checks.finding import Account, Finding, Verdict
from pickrig.facts import Quantity, Ruled, Said, Statements, Step, number, small
from pickrig.inputs import Job
from pickrig.inputs.job import attachment_of
from pickrig.physics import contact, tipping
from pickrig.rulebook import Rules


def applies(job: Job, rules: Rules) -> bool:
    """Where something is carried, or has to go up: tools work and snow is pushed."""
    fitted = rules.attachments[attachment_of(job.task, rules)]["compact"]
    carries = fitted.carries and rules.work[job.task.kind].carries
    return carries or job.task.load is not None or job.task.truck_side is not None


def lifts(case: Case) -> Finding:
    """Safe load on this attachment over the load to be moved, and the trips that makes. See `Finding`."""
    load = case.job.task.load
    if case.job.task.bucketful:
        load = carry(case).payload or bucketful(case)
    short = _short(case)
    if load is None and short:
        return _too_high(case, short)
    if load is None:
        raise MissingError("task.load", how=Said("missing.load"))
    loading = carry(case)
    verdict = _verdict(case, loading, load, short)
    return Finding(
        check="lifts",
        verdict=verdict,
        unit="ratio",
        value=loading.safe / load,
        limit=None if case.job.task.split else 1.0,
        margin=loading.safe / load,
        depends_on=("task.load", "task.split", "machine.tipping_load", "machine.tipping_share"),
        account=lambda: Account(
            says=_says(case, loading, load, short),
            remedy=_remedy(case, loading, load, short) if verdict == "no-go" else (),
            working=_working(case, loading),
            sources=(*case.cite("statics"), _share_source(case)),
        ),
    )


def _too_high(case: Case, short: Statements) -> Finding:
    """A height out of reach, whatever the load weighs."""
    return Finding(
        check="lifts",
        verdict="no-go",
        unit="ratio",
        depends_on=("task.truck_side", "task.set_height"),
        account=lambda: Account(short[:1], short[1:], sources=case.cite("statics")),
    )


def _short(case: Case) -> Statements:
    """What the arms do not reach, and what would mend it; () where they reach all the job asks: setting down or dumping
    as high, and over the side of a truck."""
    task = case.job.task
    over = task.truck_side + case.rules.limits.lifts.over_side_m if task.truck_side is not None else None
    height = max((h for h in (over, task.set_height) if h is not None), default=None)
    if height is not None and _highest(case) < height:
        ends = Quantity(_highest(case), "length")
        return (
            Said("lifts.too_high", height=Quantity(height, "length"), ends=ends),
            Said("lifts.mend_height", ends=ends),
        )
    if task.truck_reach is not None and _reach(case) < task.truck_reach:
        reach = Quantity(_reach(case), "length")
        middle = Quantity(task.truck_reach, "length")
        return (Said("lifts.too_far", reach=reach, middle=middle), Said("lifts.mend_reach", reach=reach))
    return ()


def _highest(case: Case) -> float:
    """Height of fork tips or dumping edge with the arms up, m: as the file has it, else the hinge pin's less the
    drop."""
    if case.attachment == "bucket" and case.machine.dump_height is not None:
        return case.machine.dump_height
    return need(case.machine.lift_height, "lift_height") - case.tool.drop


def _reach(case: Case) -> float:
    """How far ahead of its front it dumps at full height, m; radial arms come back towards the machine up there."""
    reach = need(case.machine.dump_reach, "dump_reach")
    from_class = "dump_reach" in case.machine.filled
    return reach * case.rules.strength["radial_reach"].value if from_class and case.machine.arms == "radial" else reach


def _verdict(case: Case, loading: Carry, load: float, short: Statements) -> Verdict:
    if loading.trips == 0 or short:
        return "no-go"
    sloping = max(case.job.ground.grade or 0.0, case.job.ground.grade_across or 0.0) > case.rules.limits.climbs.level
    heavy = _is_close(case, loading, load) or _heaviest(case) > loading.safe
    return "caution" if loading.trips > 1 or heavy or sloping or _own_coupler(case) else "go"


def _is_close(case: Case, loading: Carry, load: float) -> bool:
    return load > case.rules.limits.lifts.comfort * loading.safe


def _own_coupler(case: Case) -> bool:
    return case.machine.coupler == "its own" and case.attachment != "bucket"


def _heaviest(case: Case) -> float:
    """What a pallet of these goods weighs at the most, kg; 0 where the job gives a weight."""
    goods = case.rules.goods[case.job.task.goods] if case.job.task.goods is not None else None
    return goods.pallet[2] if goods is not None and goods.pallet is not None and not case.job.task.split else 0.0


def _says(case: Case, loading: Carry, load: float, short: Statements) -> Statements:
    safe, wanted, tool = Quantity(loading.safe, "mass"), Quantity(load, "mass"), Ruled(case.attachment)
    if loading.trips == 0:
        return (Said("lifts.too_heavy", load=wanted, safe=safe, tool=tool), *_rated(case, loading), *short[:1])
    if short:
        return short[:1]
    pieces = case.job.task.pieces
    total = loading.trips * pieces
    if loading.trips > 1:
        lead = Said("lifts.in_parts", load=wanted, parts=loading.trips, safe=safe, tool=tool, trips=total)
    else:
        key = "lifts.close" if _is_close(case, loading, load) else "lifts.whole"
        lead = Said(key, load=wanted, safe=safe, tool=tool)
    trips = (Said("lifts.trips", trips=total, pieces=pieces),) if pieces > 1 else ()
    return (lead, *trips, *_besides(case, loading))


def _besides(case: Case, loading: Carry) -> Statements:
    """What calls for care besides the weight."""
    told = []
    if _heaviest(case) > loading.safe:
        told.append(Said("lifts.heavy_pallet", heaviest=Quantity(_heaviest(case), "mass")))
    if loading.tipping < loading.level:
        told.append(Said("lifts.slope", share=Quantity(loading.tipping / loading.level, "share")))
    if _own_coupler(case):
        told.append(Said("lifts.coupler", tool=Ruled(case.attachment)))
    return tuple(told)


def _rated(case: Case, loading: Carry) -> Statements:
    """The bucket's rating, where the attachment is another: the figure on the plate is not the one that holds."""
    if case.attachment == "bucket":
        return ()
    rated = loading.share * need(case.machine.tipping_load, "tipping_load")
    return (Said("lifts.rated", rated=Quantity(rated, "mass"), tool=Ruled(case.attachment)),)


def _working(case: Case, loading: Carry) -> Statements:
    rated = need(case.machine.tipping_load, "tipping_load")
    reach = need(case.machine.coupler_reach_high, "coupler_reach_high")
    fitted_mass = loading.fitted
    allowed = Quantity(loading.share * loading.tipping, "mass")
    told: list[Said] = [
        Step(
            "lifts.tipping",
            T_r=Quantity(rated, "mass"),
            a_r=small(reach + loading.bucket.load_centre),
            W_b=Quantity(loading.bucket_mass, "mass"),
            c_b=small(reach + loading.bucket.centre),
            W_t=Quantity(fitted_mass, "mass"),
            c_t=small(reach + loading.attachment.centre),
            a=small(loading.high_reach),
            T=Quantity(loading.level, "mass"),
        ),
        *_hung(case, loading),
        *_sloping(loading),
        Said("lifts.share", share=Quantity(loading.share, "share"), allowed=allowed),
    ]
    if loading.by_hydraulics:
        told.append(Said("lifts.hydraulics", safe=Quantity(loading.safe, "mass")))
    return (*told, _axles(case, loading))


def _hung(case: Case, loading: Carry) -> Statements:
    hung = case.machine.counterweight
    if hung is None:
        return ()
    behind = loading.base + hung.behind
    gain = float(tipping.counterweight_gain(hung.mass, behind, loading.high_reach))
    return (
        Step(
            "lifts.counterweight",
            W_c=Quantity(hung.mass, "mass"),
            d=small(behind),
            a=small(loading.high_reach),
            gain=Quantity(gain, "mass"),
        ),
    )


def _sloping(loading: Carry) -> Statements:
    if loading.tipping == loading.level:
        return ()
    factor = loading.tipping / loading.level if loading.level else 0.0
    return (Step("lifts.sloping", k=number(factor, 2), T_s=Quantity(loading.tipping, "mass")),)


def _axles(case: Case, loading: Carry) -> Said:
    """Axle loads, or where the resultant lies on the tracks, when it carries."""
    at = (loading.mass, loading.base, loading.rear_share, loading.payload, loading.low_reach)
    if case.machine.tracks:
        offset = float(contact.resultant_offset(*at))
        return Said("lifts.ahead" if offset >= 0 else "lifts.behind", offset=small(abs(offset)))
    front, rear = (Quantity(float(axle), "mass") for axle in contact.axle_loads(*at))
    return Said("lifts.axles", front=front, rear=rear)


def _share_source(case: Case) -> Said:
    if case.machine.tipping_share is not None:
        return Said("source.tipping_share_given")
    return source(case.rules, case.rules.tipping[tipping_rule(case)], "source.tipping_share")


def _remedy(case: Case, loading: Carry, load: float, short: Statements) -> Statements:
    if short:
        return short[1:]
    if case.job.task.split or loading.safe <= 0:
        return (Said("lifts.mend_lighter"),)
    parts = int(-(-load // loading.safe))
    return (Said("lifts.mend_split", parts=parts, each=Quantity(load / parts, "mass")),)
