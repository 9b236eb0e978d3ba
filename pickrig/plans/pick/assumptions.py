"""Everything an answer took for granted because no file said it."""

from pickrig.checks import asked
from pickrig.checks.cited import cited
from pickrig.checks.ground.site import Site
from pickrig.checks.passes import counted
from pickrig.facts import Key, Quantity, Ruled, Said, Statements
from pickrig.inputs import Job, Machine, soft_share
from pickrig.inputs.job import attachment_of
from pickrig.plans.pick import beginner
from pickrig.plans.pick.record import Standing
from pickrig.rulebook import Rules


def assumed(job: Job, ranking: list[Standing], site: Site, rules: Rules) -> Statements:
    """Of the ground, the work, the surfaces and the machines, in this order."""
    return (
        *job.site_notes,
        *site.assumed,
        *_work(job, rules),
        *beginner.told(job, rules),
        *_money(job, rules),
        *_weights(job, rules),
        *_surfaces(job, rules),
        *_snow(job, rules),
        *_machines(ranking, rules),
    )


def _work(job: Job, rules: Rules) -> Statements:
    task, work = job.task, rules.work[job.task.kind]
    told = []
    if task.passes is None and soft_share(job.ground, rules) > 0:
        trips = work.hauls and (task.volume is not None or counted(task))
        key = "assumed.once" if work.passes == 1 else "assumed.trips" if trips else "assumed.day"
        told.append(Said(key, key=Key("task.passes")))
    if task.attachment is None:
        told.append(Said("assumed.attachment", tool=Ruled(work.attachment), key=Key("task.attachment")))
    tool = attachment_of(job.task, rules)
    sources = tuple(dict.fromkeys(cited(rules, row) for row in rules.attachments[tool].values()))
    told.append(Said("assumed.generic_tool", tool=Ruled(tool), cited=sources))
    told += _goods(job, rules)
    if task.load is None and not task.bucketful and job.snow is None:
        told.append(Said("assumed.safe_load", key=Key("task.load")))
    if work.usual_area is not None and task.area is None and task.volume is None and task.pieces == 1:
        told.append(Said("assumed.area", area=Quantity(work.usual_area, "area"), key=Key("task.area")))
    by_trips = job.snow is None and (task.volume is not None or task.pieces > 1)
    if by_trips and task.haul is None and job.ground.route is None:
        usual = Quantity(rules.cycles.values["usual_haul"].value, "length")
        told.append(Said("assumed.haul", haul=usual, key=Key("task.haul")))
    if job.access.aisle is not None:
        told.append(Said("assumed.aisle", key=Key("access.aisle")))
    if job.ground.grade is None and job.ground.grade_across is None:
        told.append(Said("assumed.level", key=Key("ground.grade")))
    if job.ground.grade and not work.on_grade:
        told.append(Said("assumed.level_ends"))
    return tuple(told)


def _goods(job: Job, rules: Rules) -> list[Said]:
    """What a load of the goods named weighs."""
    if job.task.goods is None or job.task.load is None:
        return []
    goods = rules.goods[job.task.goods]
    load, where = Quantity(job.task.load, "mass"), cited(rules, goods)
    if goods.pallet is None:
        return [Said("assumed.goods", goods=Ruled(goods.says), load=load, cited=where)]
    low, _, high = (Quantity(kg, "mass") for kg in goods.pallet)
    return [Said("assumed.pallets", goods=Ruled(goods.says), load=load, low=low, high=high, cited=where)]


def _money(job: Job, rules: Rules) -> Statements:
    """Our own sums were set where they are paid in dollars."""
    if job.country == "US":
        return ()
    return (Said("assumed.sums", currency=rules.countries[job.country].currency),)


def _weights(job: Job, rules: Rules) -> Statements:
    """Weights of the file's own on questions this job does not ask."""
    if job.weights is None:
        return ()
    given = job.weights.ranking or [name for name, points in (job.weights.points or {}).items() if points > 0]
    idle = tuple(Ruled(rules.questions[name].short) for name in given if name not in asked(job, rules))
    return (Said("assumed.idle_weights", questions=idle),) if idle else ()


def _surfaces(job: Job, rules: Rules) -> Statements:
    told = []
    if job.task.turning is None and any(name in rules.care.surfaces for name in job.ground.travel):
        told.append(Said("assumed.turning", how=Ruled(rules.care.turns["ordinary"].says), key=Key("task.turning")))
    paved = tuple(Ruled(name) for name in job.ground.travel if rules.surfaces[name].carries == "itself")
    said = job.ground.wetness is not None or job.ground.wet_on_top is not None
    if paved and job.snow is None and not said:
        told.append(Said("assumed.paving_wet", paved=paved, key=Key("ground.wetness")))
    return tuple(told)


def _snow(job: Job, rules: Rules) -> Statements:
    snow, told = job.snow, []
    if snow is None:
        return ()
    if snow.kind is None and snow.density is None:
        kind = Ruled(rules.snow.kinds["packs into a ball"].says)
        told.append(Said("assumed.snow_kind", kind=kind, key=Key("snow.kind")))
    if snow.under is None:
        told.append(Said("assumed.snow_under", key=Key("snow.under")))
    if job.ground.temperature is None:
        air = Quantity(rules.snow.values["usual_air"].value, "temperature")
        told.append(Said("assumed.air", air=air, key=Key("ground.temperature")))
    return tuple(told)


def _machines(ranking: list[Standing], rules: Rules) -> Statements:
    """What was filled in for the machines, each note once with the machines it holds for."""
    holders: dict[Said, list[str]] = {}
    for standing in sorted(ranking, key=lambda s: s.name):
        for note in _filled_in(standing.machine, rules):
            holders.setdefault(note, []).append(standing.name)
    return tuple(Said(note.key, names=tuple(names), **dict(note.values)) for note, names in holders.items())


def _filled_in(machine: Machine, rules: Rules) -> list[Said]:
    told = []
    if machine.filled:
        where = cited(rules, rules.machine_classes[machine.size_class or ""])
        told.append(Said("assumed.size_class", keys=tuple(Key(name) for name in machine.filled), cited=where))
    if machine.tipping_share is None:
        told.append(Said("assumed.tipping_share"))
    if machine.rated_bucket is None:
        told.append(Said("assumed.rated_bucket"))
    if machine.tyres and machine.tyres.kind != "solid" and machine.tyres.inflation is None:
        told.append(Said("assumed.inflation", says=Ruled(rules.tyres["inflation"].says)))
    return told
