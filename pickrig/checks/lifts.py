"""Can it lift the load? Tipping load on this attachment, the share of it that may be carried, and the height."""

from pickrig.checks.case import Case, MissingError, need
from pickrig.checks.finding import Finding, Verdict
from pickrig.checks.loading import Carry, carry, tipping_rule
from pickrig.inputs import Job
from pickrig.rulebook import Rules


def applies(job: Job, _rules: Rules) -> bool:
    """Snow is pushed, not lifted, unless the job gives a load."""
    return job.snow is None or job.task.load is not None


def lifts(case: Case) -> Finding:
    """Safe load on this attachment over the load to be moved, and the trips that makes. See `Finding`."""
    load = case.job.task.load
    if load is None:
        raise MissingError(
            "task.load", of_the_job=True, how="Give the weight of one load as it comes: a pallet, a bucketful."
        )
    loading = carry(case)
    reaches = _reaches(case)
    verdict = _verdict(case, loading, load, reaches)
    return Finding(
        check="lifts",
        verdict=verdict,
        unit="ratio",
        value=loading.safe / load,
        limit=None if case.job.task.split else 1.0,
        margin=loading.safe / load,
        says=_says(case, loading, load, reaches),
        working=_working(case, loading),
        sources=(*case.cite("statics"), _share_source(case)),
        depends_on=("task.load", "task.split", "machine.tipping_load", "machine.tipping_share"),
        remedy=_remedy(case, loading, load, reaches) if verdict == "no-go" else "",
    )


def _reaches(case: Case) -> bool:
    """Whether the arms set the load down, or dump it, as high as the job asks."""
    height = case.job.task.set_height
    return height is None or _highest(case) >= height


def _highest(case: Case) -> float:
    """Height of fork tips or dumping edge with the arms up: the hinge pin's less the attachment's drop, m."""
    drop = case.rules.attachments[case.attachment][case.machine.frame].drop
    return need(case.machine.lift_height, "lift_height") - drop


def _verdict(case: Case, loading: Carry, load: float, reaches: bool) -> Verdict:
    if loading.trips == 0 or not reaches:
        return "no-go"
    if loading.trips > 1 or load > case.rules.limits.lifts.comfort * loading.safe:
        return "caution"
    return "go"


def _says(case: Case, loading: Carry, load: float, reaches: bool) -> str:
    safe, wanted = case.show(loading.safe, "mass"), case.show(load, "mass")
    pieces = case.job.task.pieces
    faults = []
    if loading.trips == 0:
        faults.append(
            f"Too heavy: it may carry {safe} on its {case.attachment}, the load is {wanted} and cannot be split."
        )
    if not reaches:
        faults.append(
            f"Does not reach: the load has to go up {case.show(case.job.task.set_height or 0, 'length')}, the arms end "
            f"at {case.show(_highest(case), 'length')} with this attachment."
        )
    if faults:
        return " ".join(faults)
    if loading.trips > 1:
        total = loading.trips * pieces
        trips = f"{total} trips for {pieces} loads" if pieces > 1 else f"{total} trips"
        parts = f"Takes the {wanted} load in {loading.trips} parts"
        return f"{parts}: it may carry {safe} on its {case.attachment}; {trips}."
    close = ", close to its limit" if load > case.rules.limits.lifts.comfort * loading.safe else ""
    more = f"; {pieces} trips" if pieces > 1 else ""
    return f"Lifts the {wanted} load in one go{close}: it may carry {safe} on its {case.attachment}{more}."


def _working(case: Case, loading: Carry) -> tuple[str, ...]:
    machine, show = case.machine, case.show
    rated, reach = need(machine.tipping_load, "tipping_load"), need(machine.coupler_reach_high, "coupler_reach_high")
    fitted_mass = loading.bucket_mass if case.attachment == "bucket" else loading.attachment.mass
    balance = (
        f"tipping load T = (T_rated {show(rated, 'mass')} x {show(reach + loading.bucket.load_centre, 'small length')} "
        f"+ bucket {show(loading.bucket_mass, 'mass')} x {show(reach + loading.bucket.centre, 'small length')} - "
        f"{case.attachment} {show(fitted_mass, 'mass')} x {show(reach + loading.attachment.centre, 'small length')}) / "
        f"load centre {show(loading.high_reach, 'small length')} = {show(loading.tipping, 'mass')}"
    )
    share = f"{loading.share:.0%} of it may be carried on level ground: {show(loading.share * loading.tipping, 'mass')}"
    if loading.by_hydraulics:
        share += f"; the hydraulics stop at {show(loading.safe, 'mass')} first"
    return balance, share


def _share_source(case: Case) -> str:
    if case.machine.tipping_share is not None:
        return "share of the tipping load: as the fleet file gives it"
    return f"share of the tipping load: {case.rules.cite(case.rules.tipping[tipping_rule(case)])}"


def _remedy(case: Case, loading: Carry, load: float, reaches: bool) -> str:
    if not reaches:
        highest = case.show(_highest(case), "length")
        return f"Set the load down no higher than {highest}, or send a machine with a higher lift."
    if case.job.task.split or loading.safe <= 0:
        return "A lighter attachment, or a machine with a larger tipping load."
    trips = -(-load // loading.safe)
    return f"Split the load: {trips:.0f} parts of {case.show(load / trips, 'mass')} (task.split = true)."
