"""Cautions, walk-around, glossary and assumptions that go with an answer: chosen from the rules, never made up here."""

from math import isfinite

from pickrig import quantities
from pickrig.checks import asked
from pickrig.checks.ground.site import Site
from pickrig.inputs import Job, soft_share
from pickrig.plans.pick.record import Standing
from pickrig.quantities import System
from pickrig.rulebook import Rules

_THROW = ("brush cutter", "drum mulcher", "cold planer", "stump grinder")
_BREAK = ("breaker", "cold planer")


def tags_of(job: Job, pick: Standing | None, site: Site, rules: Rules) -> set[str]:
    """What is true of this job and machine, in the words that `when` uses in the rules (`TAGS`)."""
    held = {
        **_work_tags(job, rules),
        **_ground_tags(job, site, rules),
        **_danger_tags(job, rules),
        **(_machine_tags(pick) if pick else {}),
    }
    attachment = job.task.attachment or rules.work[job.task.kind].attachment
    return {"always", job.country, attachment} | {tag for tag, holds in held.items() if holds}


def _work_tags(job: Job, rules: Rules) -> dict[str, bool]:
    attachment = job.task.attachment or rules.work[job.task.kind].attachment
    return {
        "digs": rules.work[job.task.kind].digs,
        "loads trucks": job.task.kind == "load trucks" or job.task.truck_side is not None,
        "forks": "forks" in attachment,
        "hydraulic": rules.attachments[attachment]["compact"].hydraulics is not None,
        "throws": attachment in _THROW,
        "breaks": attachment in _BREAK,
        "hauled": job.haul is not None,
        "not hauled": job.haul is None,
    }


def _ground_tags(job: Job, site: Site, rules: Rules) -> dict[str, bool]:
    """The ground, its water, its frost, and what is driven on."""
    ground, air, snow = job.ground, job.ground.temperature, job.snow
    soft = soft_share(ground, rules) > 0
    hard = snow is None and any(rules.surfaces[name].hard for name in ground.travel)
    nobody_said = ground.wetness is None and ground.moisture is None
    hot_asphalt = ground.new_asphalt or (air is not None and air >= rules.care.values["hot"].value)
    return {
        "soft": soft,
        "wet": soft and (ground.wetness == "wet" or ground.standing_water or nobody_said),
        "rain": site.rain >= rules.wetness["slippery_rain"].value,
        "standing water": ground.standing_water,
        "frozen": bool(ground.frost or site.frost),
        "hard surface": hard,
        "hot asphalt": "asphalt" in ground.travel and hot_asphalt,
        "turf": "turf" in ground.travel,
        "snow": snow is not None or "packed snow" in ground.travel,
        "ice": snow is not None and snow.under in (None, "ice", "packed snow"),
        "hot": air is not None and air >= rules.care.values["heat"].value,
        "cold": snow is not None or (air is not None and air <= 0),
    }


def _danger_tags(job: Job, rules: Rules) -> dict[str, bool]:
    """What hurts people and plant, as far as the job says; a septic tank, wires or lines nobody has looked for may be
    there."""
    hazards, ground = job.hazards, job.ground
    slope = max(ground.grade or 0.0, ground.grade_across or 0.0)
    low = job.access.headroom is not None and isfinite(job.access.headroom)
    trench = hazards.trench in ("protected", "unprotected") or job.task.kind == "trench"
    return {
        "septic": hazards.septic != "none",
        "power lines": hazards.power_lines in ("clear", "near"),
        "power lines unknown": hazards.power_lines is None,
        "power lines near": hazards.power_lines == "near",
        "edge": hazards.edges or trench,
        "slope": slope > 0,
        "may tip": hazards.edges or trench or slope > rules.limits.climbs.level,
        "indoors": hazards.indoors is True,
        "headroom": low and hazards.indoors is None,
        "services unknown": hazards.services in (None, "unmarked"),
        "services marked": hazards.services == "marked",
        "people": hazards.people,
        "irrigation": hazards.irrigation,
        "roots": hazards.roots,
    }


def _machine_tags(pick: Standing) -> dict[str, bool]:
    stands_on = pick.machine.kind == "stand-on loader"
    return {
        pick.machine.gear: True,
        "stand-on": stands_on,
        "articulated": pick.machine.kind == "articulated loader",
        "ride-in": not stands_on,
        "tight": pick.finding("fits").verdict == "caution",
    }


def cautions(job: Job, pick: Standing | None, site: Site, rules: Rules) -> tuple[tuple[str, str], ...]:
    """What to mind, with its source: in the order of the rules, what kills first."""
    tags = tags_of(job, pick, site, rules)
    own = ((site.instead, "our judgment"),) if site.instead else ()
    hold = [row for row in rules.cautions.values() if tags.issuperset(row.when)]
    return own + tuple((row.says, rules.cite(row)) for row in hold)


def walkaround(job: Job, pick: Standing | None, site: Site, rules: Rules) -> tuple[tuple[str, str], ...]:
    """Where to look before starting the picked machine, and what stops it."""
    if pick is None:
        return ()
    tags = tags_of(job, pick, site, rules)
    return tuple((step.look, step.stop) for step in rules.walkaround.values() if tags.issuperset(step.when))


def fitting(job: Job, pick: Standing | None, site: Site, rules: Rules) -> tuple[tuple[str, str], ...]:
    """What to fit and how to use it, with its source."""
    tags = tags_of(job, pick, site, rules)
    return tuple((row.says, rules.cite(row)) for row in rules.fitting.values() if tags.issuperset(row.when))


def nothing_happens(rules: Rules) -> tuple[str, ...]:
    """What to try first when the machine does nothing, in order."""
    return tuple(row.try_ for row in rules.nothing_happens.values())


def glossary(rules: Rules) -> tuple[tuple[str, str], ...]:
    return tuple((term, row.says) for term, row in rules.glossary.items())


def assumed(job: Job, ranking: list[Standing], site: Site, rules: Rules, units: System) -> tuple[str, ...]:
    """Everything the answer took for granted because no file said it."""
    work = rules.work[job.task.kind]
    notes = list(site.assumed)
    if job.task.passes is None and soft_share(job.ground, rules) > 0:
        notes.append(f"{'a day of work, 50 passes' if work.passes > 1 else 'one crossing'} (task.passes is not given)")
    if job.task.attachment is None:
        notes.append(f"the attachment is {work.attachment} (task.attachment is not given)")
    attachment = job.task.attachment or work.attachment
    status = ", ".join(dict.fromkeys(rules.cite(row) for row in rules.attachments[attachment].values()))
    notes.append(f"{attachment}: weight, width and load centre of a generic one ({status})")
    if job.task.goods is not None and job.task.load is not None:
        goods = rules.goods[job.task.goods]
        if goods.pallet is not None:
            low, _, high = (quantities.show(kg, "mass", units) for kg in goods.pallet)
            spread = f", {low} to {high} as they come"
        else:
            spread = ""
        weight = quantities.show(job.task.load, "mass", units)
        notes.append(f"{goods.says}: {weight} a load{spread} ({rules.cite(goods)}); weigh one")
    if job.task.load is None and job.snow is None:
        notes.append("each machine carries what it safely can (task.load is not given)")
    usual_area = work.usual_area
    if usual_area is not None and job.task.area is None and job.task.volume is None and job.task.pieces == 1:
        notes.append(f"{quantities.show(usual_area, 'area', units)} to do (task.area is not given)")
    by_trips = job.snow is None and (job.task.volume is not None or job.task.pieces > 1)
    if by_trips and job.task.haul is None and job.ground.route is None:
        usual = quantities.show(rules.cycles.values["usual_haul"].value, "length", units)
        notes.append(f"a haul of {usual} one way (task.haul is not given)")
    if job.ground.grade is None and job.ground.grade_across is None:
        notes.append("level ground (ground.grade is not given)")
    return (*notes, *_weight_notes(job, rules), *_surface_notes(job, rules), *_machine_notes(ranking, rules))


def _weight_notes(job: Job, rules: Rules) -> list[str]:
    """Weights of the file's own on questions this job does not ask."""
    if job.weights is None:
        return []
    given = job.weights.ranking or [name for name, points in (job.weights.points or {}).items() if points > 0]
    idle = [name for name in given if name not in asked(job, rules)]
    return [f"weights on {', '.join(idle)} count for nothing: this job does not ask it"] if idle else []


def _surface_notes(job: Job, rules: Rules) -> list[str]:
    """What was taken for granted of surfaces, turning and snow."""
    notes, snow = [], job.snow
    if job.task.turning is None and any(name in rules.care.surfaces for name in job.ground.travel):
        notes.append(f"{rules.care.turns['ordinary'].says} (task.turning is not given)")
    paved = [name for name in job.ground.travel if rules.surfaces[name].carries == "itself"]
    if paved and snow is None and job.ground.wetness is None:
        notes.append(f"{', '.join(paved)}: wet, for grip (ground.wetness is not given)")
    if snow is None:
        return notes
    if snow.kind is None and snow.density is None:
        notes.append(f"the snow is {rules.snow.kinds['packs into a ball'].says} (snow.kind is not given)")
    if snow.under is None:
        notes.append("nobody has looked under the snow: judged on bare pavement and on ice (snow.under is not given)")
    if job.ground.temperature is None:
        notes.append(f"air of {rules.snow.values['usual_air'].value:.0f} degC (ground.temperature is not given)")
    return notes


def _machine_notes(ranking: list[Standing], rules: Rules) -> list[str]:
    """What was filled in for the machines, each note once with the machines it holds for."""
    holders: dict[str, list[str]] = {}
    for standing in sorted(ranking, key=lambda s: s.name):
        machine = standing.machine
        if machine.filled:
            row = rules.machine_classes[machine.size_class or ""]
            names = ", ".join(name.replace("_", " ").replace(".", " ") for name in machine.filled)
            holders.setdefault(f"{names}: from the size class ({rules.cite(row)})", []).append(machine.name)
        if machine.tipping_share is None:
            holders.setdefault("share of the tipping load: the rule for its kind", []).append(machine.name)
        if machine.rated_bucket is None:
            holders.setdefault("weight of the bucket of the rating: a generic one", []).append(machine.name)
        if machine.tyres and machine.tyres.kind != "solid" and machine.tyres.inflation is None:
            holders.setdefault(rules.tyres["inflation"].says, []).append(machine.name)
    return [f"{', '.join(names)}: {note}" for note, names in holders.items()]
