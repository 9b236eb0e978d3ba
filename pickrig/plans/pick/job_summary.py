"""The job as it was read, so that a slip of the pen can be seen on the page."""

from collections.abc import Iterator

from pickrig.checks.ground.soils import soil_name
from pickrig.facts import Quantity, Ruled, Said, Statements, Term, Value, small
from pickrig.inputs import Job
from pickrig.inputs.job import TESTS, hour_of
from pickrig.rulebook import Rules


def told(job: Job, rules: Rules) -> Statements:
    """Everything the job file said, each with its label."""
    return (*_work(job), *_ground(job, rules), *_snow(job, rules), *_amounts(job), *_rest(job))


def _work(job: Job) -> Iterator[Said]:
    task = job.task
    yield Said("told.work", what=Ruled(task.kind))
    if task.load is not None:
        key = "told.load_split" if task.split else "told.load_whole"
        yield Said(key, load=Quantity(task.load, "mass"), pieces=task.pieces)
    yield from _words(("attachment", task.attachment))
    if task.attachment_width is not None:
        yield Said("told.attachment_width", what=Quantity(task.attachment_width, "length"))
    if isinstance(task.passes, str):
        yield Said("told.passes", what=Ruled(task.passes))
    elif task.passes is not None:
        yield Said("told.passes_counted", passes=task.passes)
    if task.set_height is not None:
        yield Said("told.set_height", what=Quantity(task.set_height, "length"))


def _words(*named: tuple[str, str | None]) -> Iterator[Said]:
    """Each word that was given, under its label."""
    for name, word in named:
        if word:
            yield Said(f"told.{name}", what=Ruled(word))


def _ground(job: Job, rules: Rules) -> Iterator[Said]:
    ground = job.ground
    if ground.soil:
        yield Said("told.soil", what=Ruled(rules.soils[ground.soil].name), group=ground.soil)
    elif ground.mapped is not None:
        yield Said("told.survey", what=soil_name(job, rules))
    yield from _words(("wetness", ground.wetness))
    if ground.moisture is not None:
        yield Said("told.moisture", what=tuple(Quantity(m, "share") for m in dict.fromkeys(ground.moisture)))
    if ground.standing_water:
        yield Said("told.water")
    if ground.frost is not None:
        yield Said("told.frost", what=small(ground.frost))
    drainage = rules.drainage[ground.drainage].says if ground.drainage else None
    yield from _words(("drainage", drainage), ("cover", rules.covers[ground.cover].says if ground.cover else None))
    for key in ("grade", "grade_across"):
        slope = getattr(ground, key)
        if slope is not None:
            yield Said(f"told.{key}", what=Quantity(slope, "share"), angle=Quantity(slope, "slope"))
    for name in TESTS:
        if getattr(ground, name) is not None:
            yield Said(f"told.{name}", what=_test(job, rules, name))
    if ground.travel:
        shares = ((Quantity(share, "share"), Ruled(name)) for name, share in ground.travel.items())
        yield Said("told.travel", what=tuple(Said("told.share", share=share, of=name) for share, name in shares))


def _test(job: Job, rules: Rules, name: str) -> Value:
    value = getattr(job.ground, name)
    if isinstance(value, str):
        result = rules.field_tests[name].results.get(value)
        return Ruled(result.says if result else value)
    return small(value) if name == "dcp" else Quantity(value, "pressure")


def _snow(job: Job, rules: Rules) -> Iterator[Said]:
    lot = job.snow
    if lot is None:
        return
    depth = Quantity(lot.depth, "snow")
    if lot.kind:
        yield Said("told.snow_of", what=depth, kind=Ruled(rules.snow.kinds[lot.kind].says))
    else:
        yield Said("told.snow", what=depth)
    along, across = (Quantity(side, "length") for side in lot.sides)
    yield Said("told.lot", along=along, across=across)
    if lot.density is not None:
        yield Said("told.density", what=Quantity(lot.density, "density"))
    yield Said("told.under", what=Ruled(rules.snow.under[lot.under].says)) if lot.under else Said("told.under_unknown")
    yield Said("told.stack", what=Ruled(lot.stack))
    for key in ("beyond", "dock"):
        if getattr(lot, key) is not None:
            yield Said(f"told.{key}", what=Quantity(getattr(lot, key), "length"))
    if lot.machines > 1:
        yield Said("told.machines", what=lot.machines)
    if lot.window is not None:
        yield Said("told.window", what=Quantity(lot.window, "duration"))


def _amounts(job: Job) -> Iterator[Said]:
    """How far, how much, how it gets there."""
    task = job.task
    for key, dimension in (
        ("truck_side", "length"), ("truck_reach", "length"), ("haul", "length"), ("volume", "volume"), ("area", "area"),
        ("run", "length"), ("run_per_hour", "length"), ("day", "duration"),
    ):  # fmt: skip
        value = getattr(task, key)
        if value is not None:
            yield Said(f"told.{key}", what=Quantity(value, dimension))
    if task.holes is not None:
        yield Said("told.holes", what=task.holes)
    if task.bucketful:
        yield Said("told.bucketful")
    if job.ground.loaded != "both ways":
        yield Said("told.loaded", what=Ruled(job.ground.loaded))
    yield from _words(("goods", task.goods))
    if job.haul is not None:
        yield Said("told.road", trailer=job.haul.trailer, truck=job.haul.truck, country=Ruled(job.country))


def _rest(job: Job) -> Iterator[Said]:
    task, ground = job.task, job.ground
    yield from _words(("turning", task.turning))
    if ground.temperature is not None:
        yield Said("told.air", what=Quantity(ground.temperature, "temperature"))
    if ground.slab is not None:
        yield Said("told.slab", what=small(ground.slab))
    words = {name: value for name, value in job.hazards.model_dump().items() if isinstance(value, str)}
    yield from _words(*words.items())
    if job.hazards.debris:
        yield Said("told.debris")
    yield from _ways_in(job)
    for key, clock in (("start", job.task.start), ("end", job.task.end)):
        if clock is not None:
            yield Said(f"told.{key}", what=Quantity(3600 * hour_of(clock), "clock"))
    if job.driver.licence is not None:
        licence = job.driver.licence
        yield Said("told.licence", what=Term("licence_none") if licence == "none" else licence)
    if job.driver.weeks is not None:
        yield Said("told.weeks", what=job.driver.weeks)
    if job.weather is not None:
        first, last = job.weather.days[0].date, job.weather.days[-1].date
        yield Said("told.weather", first=first, last=last, measured=job.weather.last_measured)


def _ways_in(job: Job) -> Iterator[Said]:
    access = job.access
    named = {"gate": access.gate, "passage": access.passage, "headroom": access.headroom, "lane": access.lane}
    for key, opening in named.items():
        if opening is not None:
            yield Said(f"told.{key}", what=Quantity(opening, "length"))
    if job.access.bend is not None:
        into, out_of = (Quantity(lane, "length") for lane in reversed(job.access.bend))
        yield Said("told.bend", first=out_of, second=into)
    for number, stretch in enumerate(job.stretch, 1):
        yield Said("told.stretch", number=number, what=stretch.name or Ruled(stretch.surface or stretch.soil or ""))
