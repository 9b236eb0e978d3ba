"""How a machine carries: the fitted attachment, the safe load, and where its centre lies."""

from dataclasses import dataclass

from pickrig.checks.case import Case, need
from pickrig.inputs import soft_share
from pickrig.physics import tipping
from pickrig.physics.cycle import trips
from pickrig.rulebook.tables import AttachmentSize, Material

GRAVITY = 9.80665


@dataclass(frozen=True)
class Carry:
    """Masses in kg, lengths in m from the tipping line (front axle, or front end of the contact length).

    mass, rear_share: the machine with the fitted attachment, empty, and whoever stands on it, `operator`. held: part
    of the moment that would tip it which the empty attachment takes. level, tipping: load that tips it on the
    level and on the job's slope, load downhill. safe: what it may carry on this attachment. payload: what it takes a
    trip. trips: per load of the job; 0 if it cannot. taken: what a trip takes on the level. A slope across takes from
    what may be carried and not from what the bucket holds, so grip is asked for the whole of it. fitted: mass of the
    attachment that is on.
    """

    mass: float
    rear_share: float
    base: float
    held: float
    operator: float
    level: float
    tipping: float
    share: float
    safe: float
    by_hydraulics: bool
    payload: float
    trips: int
    taken: float
    low_reach: float
    high_reach: float
    attachment: AttachmentSize
    fitted: float
    bucket: AttachmentSize
    bucket_mass: float


def carry(case: Case) -> Carry:
    """The carrying state of a machine on a job. Raises MissingError for a figure nobody gave."""
    return case.once("carry", lambda: _carry(case))


def _carry(case: Case) -> Carry:
    machine = case.machine
    fitted, bucket = (case.rules.attachments[name][machine.frame] for name in (case.attachment, "bucket"))
    bucket_mass = machine.rated_bucket if machine.rated_bucket is not None else bucket.mass
    fitted_mass = (bucket_mass if case.attachment == "bucket" else fitted.mass) * case.wider
    high, low = (need(getattr(machine, f"coupler_reach_{end}"), f"coupler_reach_{end}") for end in ("high", "low"))
    tipping_now = float(
        tipping.tipping_load(
            need(machine.tipping_load, "tipping_load"),
            high + bucket.load_centre,
            bucket_mass,
            high + bucket.centre,
            fitted_mass,
            high + fitted.centre,
            high + fitted.load_centre,
        )
    )
    hung = machine.counterweight
    base = base_length(case)
    if hung is not None:
        reach = high + fitted.load_centre
        tipping_now += float(tipping.counterweight_gain(hung.mass, base + hung.behind, reach))
    level = tipping_now
    mass = need(machine.mass, "mass")
    operator = case.rules.strength["operator_mass"].value if machine.kind == "stand-on loader" else 0.0
    fitted_total = mass - bucket_mass + fitted_mass + operator + (hung.mass if hung is not None else 0.0)
    tipping_now *= _on_slope(case, high + fitted.load_centre, tipping_now, fitted_total)
    share = tipping_share(case)
    by_tipping = max(share * tipping_now, 0.0)
    safe = _within_hydraulics(case, by_tipping)
    payload, trips = _trips(case, safe)
    # Moments about the tipping line: take the rating bucket off, put the fitted attachment on, arms low.
    behind = mass * rear_share(case) * base
    behind += bucket_mass * (low + bucket.centre) - fitted_mass * (low + fitted.centre)
    behind += operator * base  # who stands on it stands at the rear end
    if hung is not None:
        behind += hung.mass * (base + hung.behind)
    return Carry(
        mass=fitted_total,
        rear_share=behind / fitted_total / base,
        base=base,
        held=fitted_mass
        * (high + fitted.centre)
        / (level * (high + fitted.load_centre) + fitted_mass * (high + fitted.centre)),
        operator=operator,
        level=level,
        tipping=tipping_now,
        share=share,
        safe=safe,
        by_hydraulics=safe < by_tipping,
        payload=payload,
        trips=trips,
        taken=_trips(case, _within_hydraulics(case, max(share * level, 0.0)))[0],
        low_reach=low + fitted.load_centre,
        high_reach=high + fitted.load_centre,
        attachment=fitted,
        fitted=fitted_mass,
        bucket=bucket,
        bucket_mass=bucket_mass,
    )


def _within_hydraulics(case: Case, load: float) -> float:
    """No more than the arms lift, where the plate says how much."""
    return load if case.machine.lift_limit is None else min(load, case.machine.lift_limit)


def _on_slope(case: Case, reach: float, level: float, mass: float) -> float:
    """Tipping load on the job's slope over the one on the level, arms level and load downhill; never under zero.

    Under way up and down a slope the heavy end stays uphill, which takes nothing from what the front carries; tipping
    over the other end is asked for in `climbs`. Across one, or where it sets down higher than it carries, the load may
    come to hang downhill.
    """
    ground, low = case.job.ground, case.rules.strength["carry_height"].value
    sets_high = (case.job.task.set_height or 0.0) > low
    grade = max(ground.grade_across or 0.0, (ground.grade or 0.0) if sets_high else 0.0)
    if grade <= 0 or level <= 0:
        return 1.0
    height = need(case.machine.centre_height, "centre_height")
    raised = case.rules.strength["lift_height"].value
    centre = level * reach / mass  # of the machine as fitted, behind the tipping line: W x = T a
    return float(tipping.grade_factor(centre, height, reach, raised, grade))


def rear_share(case: Case) -> float:
    """Centre of gravity of the empty machine behind the tipping line, as a share of wheelbase or contact length.

    The file's; else by statics from the tipping load, T a = W r L; else the size class's.
    """
    machine = case.machine
    if machine.rear_share is not None:
        return machine.rear_share
    bucket = case.rules.attachments["bucket"][machine.frame]
    reach = need(machine.coupler_reach_high, "coupler_reach_high") + bucket.load_centre
    moment = need(machine.tipping_load, "tipping_load") * reach
    over = machine.over_tyres.mass if machine.over_tyres is not None else 0.0  # midway, and not on the plate
    return (moment / base_length(case) + over / 2) / need(machine.mass, "mass")


def _trips(case: Case, safe: float) -> tuple[float, int]:
    """Payload of a full trip and trips per load. Without a load given, the machine carries what it safely can."""
    load = case.job.task.load
    if load is None:
        return (min(safe, bucketful(case)), int(safe > 0)) if case.job.task.bucketful else (safe, 1)
    if load <= safe:
        return load, 1
    if not case.job.task.split or safe <= 0:
        return safe, 0
    return safe, int(trips(load, safe))  # full trips, the last one lighter


def bucketful(case: Case) -> float:
    """What its own bucket holds of the material, kg."""
    row = material(case)
    return row.fill[1] * need(case.machine.bucket_capacity, "bucket_capacity") * case.wider * row.density


def material(case: Case) -> Material:
    """What is dug: as the job says, else by its soil."""
    given, soil = case.job.task.material, case.job.ground.soil
    if given is None and soil is not None:
        name = case.rules.soils[soil].name
        given = next((word for word in ("clay", "sand", "gravel") if word in name), None)
    return case.rules.cycles.materials[given or "earth"]


def tipping_share(case: Case) -> float:
    """Share of the tipping load that may be carried: the file's, else the rule for the kind of machine."""
    if case.machine.tipping_share is not None:
        return case.machine.tipping_share
    return case.rules.tipping[tipping_rule(case)].share


def tipping_rule(case: Case) -> str:
    """Key of the rule in rules/tipping.toml that holds: by the kind of machine, and for forks by country and ground."""
    if case.law in ("UK", "EU") and "forks" in case.attachment:
        ground = case.job.ground
        rough = soft_share(ground, case.rules) > 0 or bool(ground.grade) or bool(ground.grade_across)
        return "forks, EU, rough" if rough else "forks, EU, firm"
    if case.machine.gear == "tracks" and case.machine.over_tyres is None:
        return "tracked"
    return "articulated" if case.machine.kind == "articulated loader" else "wheeled"


def base_length(case: Case) -> float:
    """Wheelbase, or contact length of the tracks, m."""
    machine = case.machine
    if machine.tracks:
        return need(machine.tracks.contact_length, "contact_length")
    assert machine.tyres is not None  # a machine stands on one or the other
    return need(machine.tyres.wheelbase, "wheelbase")
