"""Cautions, walk-around, glossary and assumptions that go with an answer: chosen from the rules, never made up here."""

from pickrig import quantities
from pickrig.checks import asked
from pickrig.checks.site import Site
from pickrig.inputs import Job, soft_share
from pickrig.plans.recommendation import Standing
from pickrig.quantities import System
from pickrig.rulebook import Rules


def _tags(job: Job, pick: Standing | None, site: Site, rules: Rules) -> set[str]:
    """What is true of this job and machine, in the words that `when` uses in the rules."""
    ground = job.ground
    tags = {"always"}
    tags |= {"septic"} if job.hazards.septic != "none" else set()
    if soft_share(job.ground, rules) > 0:
        tags.add("soft")
        if ground.wetness == "wet" or ground.standing_water or (ground.wetness is None and ground.moisture is None):
            tags.add("wet")
    if job.snow is None and any(rules.surfaces[name].hard for name in ground.travel):
        tags.add("hard surface")
    tags |= {"standing water"} if ground.standing_water else set()
    tags |= {"frozen"} if ground.frost or site.frost else set()
    tags |= {"rain"} if site.rain >= rules.wetness["slippery_rain"].value else set()
    tags |= {"forks"} if "forks" in (job.task.attachment or rules.work[job.task.kind].attachment) else set()
    attachment = job.task.attachment or rules.work[job.task.kind].attachment
    tags.add(attachment)
    tags |= {"hydraulic"} if rules.attachments[attachment]["compact"].hydraulics else set()
    tags |= {"throws"} if attachment in ("brush cutter", "drum mulcher", "cold planer", "stump grinder") else set()
    tags |= {"hauled"} if job.haul is not None else set()
    tags |= {"digs"} if rules.work[job.task.kind].digs else set()
    tags |= _winter_tags(job)
    tags |= {"turf"} if "turf" in ground.travel else set()
    tags |= {"irrigation"} if job.hazards.irrigation else set()
    tags |= {"roots"} if job.hazards.roots else set()
    hot = rules.care.values["hot"].value
    soft = ground.new_asphalt or (ground.temperature is not None and ground.temperature >= hot)
    tags |= {"hot asphalt"} if "asphalt" in ground.travel and soft else set()
    tags |= {"slope"} if ground.grade or ground.grade_across else set()
    if pick is not None:
        tags.add(pick.machine.gear)
        tags.add("stand-on" if pick.machine.kind == "stand-on loader" else "ride-in")
        tags |= {"tight"} if pick.finding("fits").verdict == "caution" else set()
    return tags


def _winter_tags(job: Job) -> set[str]:
    """Snow, cold and ice."""
    air, tags = job.ground.temperature, set()
    tags |= {"snow"} if job.snow is not None or "packed snow" in job.ground.travel else set()
    tags |= {"cold"} if (air is not None and air <= 0) or job.snow is not None else set()
    tags |= {"ice"} if job.snow is not None and job.snow.under in (None, "ice", "packed snow") else set()
    return tags


def cautions(job: Job, pick: Standing | None, site: Site, rules: Rules) -> tuple[tuple[str, str], ...]:
    """What to mind, with its source: this job's own first, then what holds for every job."""
    tags = _tags(job, pick, site, rules)
    own = ((site.instead, "our judgment"),) if site.instead else ()
    hold = [row for row in rules.cautions.values() if tags.issuperset(row.when)]
    hold.sort(key=lambda row: row.when == ["always"])
    return own + tuple((row.says, rules.cite(row)) for row in hold)


def walkaround(job: Job, pick: Standing | None, site: Site, rules: Rules) -> tuple[tuple[str, str], ...]:
    """Where to look before starting the picked machine, and what stops it."""
    if pick is None:
        return ()
    tags = _tags(job, pick, site, rules)
    return tuple((step.look, step.stop) for step in rules.walkaround.values() if tags.issuperset(step.when))


def fitting(job: Job, pick: Standing | None, site: Site, rules: Rules) -> tuple[tuple[str, str], ...]:
    """What to fit and how to use it, with its source."""
    tags = _tags(job, pick, site, rules)
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
