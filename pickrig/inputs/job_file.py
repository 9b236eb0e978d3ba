"""Read a job file: every name looked up in the rule tables, every contradiction told in a sentence."""

import difflib
from collections.abc import Iterable
from pathlib import Path

from pickrig.errors import InputError
from pickrig.facts import Quantity, Ruled, Said, Term
from pickrig.inputs.job import NOT_KNOWN, WORDED_TESTS, Ground, Job, Stretch, Task, Weights, attachment_of, soft_share
from pickrig.inputs.site import with_site
from pickrig.inputs.snow import Snow
from pickrig.inputs.survey import family_of, group_of, read_soil
from pickrig.inputs.weather import Weather, complete
from pickrig.reading import Document, check, read_toml, shorten
from pickrig.rulebook import Rules

_MENDS = {key: f"mend.{key}" for key in ("slope", "temperature", "distance")}
_MOST_LOAD = 10_000.0  # kg; no compact machine takes more in a trip
_FINE_TESTS = ("thumb", "boot", "heel", "ribbon", "pocket", "dcp")


def read_job(path: Path, rules: Rules) -> Job:
    """Read and check a job file. Raises InputError, one sentence a fault.

    Soil, surfaces, kind of work, attachment and test results come back under the names the rule tables use.
    """
    return job_of(read_toml(path, "job"), rules)


def job_of(document: Document, rules: Rules) -> Job:
    """The same from a text already parsed; other files it names are looked for beside its path."""
    path = document.path
    if "machine" in document.data and "task" not in document.data:
        raise InputError([Said("fault.fleet_as_job", file=str(path))])
    document, site_notes = with_site(document)
    job = check(Job, document, _MENDS)
    problems: list[Said] = []

    def known(location: tuple[str, ...], read: str | None, names: dict[str, list[str]], lead: str) -> str | None:
        return _known(document, location, read, names, lead, problems)

    def names(table: Iterable[str]) -> dict[str, list[str]]:
        return {key: [] for key in table}

    known(("country",), job.country, names(rules.countries), "known.country")
    soils = {key: [soil.name, *soil.also] for key, soil in rules.soils.items()} | {NOT_KNOWN: ["not known"]}
    works = {key: work.also for key, work in rules.work.items()}
    surfaces = {key: surface.also for key, surface in rules.surfaces.items()}
    attachments = {key: [f"{key}s", *(["forks"] if "forks" in key else [])] for key in rules.attachments}
    ground = job.ground.model_copy(
        update={
            "soil": known(("ground", "soil"), job.ground.soil, soils, "known.soil"),
            "drainage": known(("ground", "drainage"), job.ground.drainage, names(rules.drainage), "known.drainage"),
            "cover": known(("ground", "cover"), job.ground.cover, names(rules.covers), "known.cover"),
            "travel": _travel(document, job.ground.travel, surfaces, problems),
            **{
                test: known(("ground", test), getattr(job.ground, test), _results(rules, test), "known.results")
                for test in WORDED_TESTS
            },
        }
    )
    task = job.task.model_copy(
        update={
            "kind": known(("task", "kind"), job.task.kind, works, "known.work"),
            "attachment": known(("task", "attachment"), job.task.attachment, attachments, "known.attachment"),
        }
    )
    snow = _snow(document, job, task, rules, problems)
    if snow is not None and not ground.travel:
        ground = ground.model_copy(update={"travel": {rules.snow.under[snow.under or "bare pavement"].surface: 1.0}})
    ground = _surveyed(ground, path, rules, problems)
    if (
        not problems
        and ground.soil is None
        and not ground.tested
        and ground.mapped is None
        and soft_share(ground, rules) > 0
    ):
        problems.append(document.fault(("ground",), "fault.no_soil"))
    if ground.soil == NOT_KNOWN:
        ground = ground.model_copy(update={"soil": None})
    materials = names(rules.cycles.materials)
    material = known(("task", "material"), task.material, materials, "known.material")
    task = task.model_copy(update={"material": material})
    if task.bucketful and task.kind in rules.work and attachment_of(task, rules) != "bucket":
        problems.append(document.fault(("task", "bucketful"), "fault.bucketful_of_what"))
    task = _with_goods(document, task, ground, rules, problems)
    weather = _weather(job, path, rules, problems)
    problems += _unused(document, job)
    if job.weights:
        problems += _weight_problems(document, job.weights, list(rules.questions))
    problems += _misplaced_tests(document, ground, rules)
    if problems:
        raise InputError(problems)
    stretches = [_stretch(document, n, one, soils, surfaces, problems) for n, one in enumerate(job.stretch)]
    if problems:
        raise InputError(problems)
    whole = job.model_copy(
        update={"stretch": stretches, "ground": ground, "task": task, "weather": weather, "snow": snow}
    )
    whole._site_notes = site_notes
    return whole.read_from(document)


def _surveyed(ground: Ground, path: Path, rules: Rules, problems: list[Said]) -> Ground:
    """With its survey read: the soil that most of the unit is where that is no fine one, and the drainage it tells,
    unless the job says otherwise."""
    if ground.survey is None or ground.soil is not None:
        return ground
    try:
        survey = read_soil(path.parent / ground.survey)
    except InputError as error:
        problems += error.problems
        return ground
    ground = ground.with_survey(survey)
    largest = max(survey.components, key=lambda one: one.share * bool(one.layers))
    coarse = [one for one in survey.components if family_of(one, rules) not in ("fine", "")]
    fine = sum(one.share for one in survey.components if family_of(one, rules) == "fine")
    if ground.land != "filled" and coarse and sum(one.share for one in coarse) > fine:
        most = max(coarse, key=lambda one: one.share)
        ground = ground.model_copy(update={"soil": group_of(most.layers[0], rules)})
    drains = next((key for key, row in rules.drainage.items() if largest.drainage in row.surveyed), None)
    if ground.drainage is None and ground.land != "filled":
        ground = ground.model_copy(update={"drainage": drains})
    return ground


def _stretch(
    document: Document,
    number: int,
    read: Stretch,
    soils: dict[str, list[str]],
    surfaces: dict[str, list[str]],
    problems: list[Said],
) -> Stretch:
    """A stretch of the way under the tables' names."""
    soil = _known(document, ("stretch", str(number), "soil"), read.soil, soils, "known.soil", problems)
    surface = _known(document, ("stretch", str(number), "surface"), read.surface, surfaces, "known.surface", problems)
    return read.model_copy(update={"soil": soil, "surface": surface})


def _with_goods(document: Document, task: Task, ground: Ground, rules: Rules, problems: list[Said]) -> Task:
    """The load of one trip from what is carried, where the job names goods in place of a weight."""
    if task.goods is None:
        if task.goods_volume is not None:
            problems.append(document.fault(("task", "goods_volume"), "fault.goods_of_what"))
        return task
    names = {key: [row.says] for key, row in rules.goods.items()}
    goods = _known(document, ("task", "goods"), task.goods, names, "known.goods", problems)
    if goods is None:
        return task
    row = rules.goods[goods]
    if task.load is not None:
        problems.append(document.fault(("task", "goods"), "fault.goods_and_load"))
        return task
    if row.density is not None and task.goods_volume is None:
        problems.append(document.fault(("task", "goods"), "fault.goods_by_volume", goods=Ruled(row.says)))
        return task
    if row.density is not None:
        dry = ground.wetness == "dry" and not ground.standing_water
        load = (row.density.dry if dry else row.density.wet) * (task.goods_volume or 0.0)
    else:
        assert row.pallet is not None
        load = row.pallet[1]
        if task.goods_volume is not None:
            problems.append(document.fault(("task", "goods_volume"), "fault.goods_by_pallet", goods=Ruled(row.says)))
    if load > _MOST_LOAD:
        problems.append(document.fault(("task", "goods_volume"), "fault.load_too_large", load=Quantity(load, "mass")))
    return task.model_copy(update={"goods": goods, "load": load})


def _snow(document: Document, job: Job, task: Task, rules: Rules, problems: list[Said]) -> Snow | None:
    """Snow under the tables' names; a job that clears snow has some, and another has none."""
    clears = task.kind in rules.work and rules.work[task.kind].clears_snow
    if job.snow is None:
        if clears:
            problems.append(document.fault(("task", "kind"), "fault.snow_of_what"))
        return None
    if task.kind in rules.work and not clears:
        kinds = tuple(f'"{kind}"' for kind, work in rules.work.items() if work.clears_snow)
        problems.append(document.fault(("snow",), "fault.snow_for_nothing", kinds=kinds))
    fitted = attachment_of(task, rules) if clears else None
    tools = [key for key, row in rules.attachments.items() if row["compact"].box or row["compact"].clears]
    if fitted in rules.attachments and fitted not in tools:
        holds = tuple(f'"{key}"' for key in tools)
        problems.append(document.fault(("task", "attachment"), "fault.holds_no_snow", tool=Ruled(fitted), holds=holds))
    if job.snow.windrow is not None and fitted in tools and fitted != "snow blade":
        problems.append(document.fault(("snow", "windrow"), "fault.windrow_of_what", tool=Ruled(fitted or "")))
    if job.snow.beyond is not None and (job.snow.windrow is not None or _casts(fitted, rules)):
        problems.append(document.fault(("snow", "beyond"), "fault.beyond_of_what"))
    if job.snow.dock is not None and job.snow.dock > 2 * sum(job.snow.sides):
        problems.append(document.fault(("snow", "dock"), "fault.dock_long"))
    kinds_of = {key: [row.says] for key, row in rules.snow.kinds.items()}
    covers = {key: [row.says] for key, row in rules.snow.under.items()} | {"unknown": []}
    kind = _known(document, ("snow", "kind"), job.snow.kind, kinds_of, "known.snow", problems)
    under = _known(document, ("snow", "under"), job.snow.under, covers, "known.under", problems)
    problems += _odd_snow(document, job, kind, rules)
    return job.snow.model_copy(update={"kind": kind, "under": None if under == "unknown" else under})


def _casts(fitted: str | None, rules: Rules) -> bool:
    """Whether the tool throws snow where it stands."""
    return fitted in rules.attachments and rules.attachments[fitted]["compact"].clears is not None


def _odd_snow(document: Document, job: Job, kind: str | None, rules: Rules) -> list[Said]:
    """Snow that cannot be what it is said to be."""
    if job.snow is None or kind is None:
        return []
    row, air, faults = rules.snow.kinds[kind], job.ground.temperature, []
    low, _, high = row.density
    if job.snow.density is not None and not 0.7 * low <= job.snow.density <= 1.4 * high:
        faults.append(
            (
                ("snow", "density"),
                Said("fault.snow_density", kind=kind, low=Quantity(low, "density"), high=Quantity(high, "density")),
            )
        )
    if air is not None and ((row.thawing and air < -5) or (row.fresh and air > 3)):
        faults.append((("ground", "temperature"), Said("fault.snow_air", kind=kind)))
    return [document.told(location, what) for location, what in faults]


def _unused(document: Document, job: Job) -> list[Said]:
    """Things said twice in different words: nobody could tell which of them was believed."""
    ground, task, faults = job.ground, job.task, []
    amounts = [key for key in ("volume", "area", "run", "holes") if getattr(task, key) is not None]
    amounts += ["pieces"] if task.pieces > 1 else []
    if len(amounts) > 1:
        faults.append((("task", amounts[-1]), Said("fault.amount_twice", other=amounts[0])))
    if job.weather is not None and ground.moisture is not None:
        faults.append((("ground", "moisture"), Said("fault.moisture_and_weather")))
    if ground.soil is not None and ground.ribbon is not None:
        faults.append((("ground", "ribbon"), Said("fault.ribbon_and_soil")))
    return [document.told(location, what) for location, what in faults]


def _misplaced_tests(document: Document, ground: Ground, rules: Rules) -> list[Said]:
    """Tests that say nothing of the soil they were made on."""
    family = rules.soils[ground.soil].family if ground.soil else "fine"
    wrong = [test for test in _FINE_TESTS if family != "fine" and getattr(ground, test) is not None]
    wrong += ["rebar"] if family != "sand" and ground.rebar is not None else []
    wrong += ["cone"] if family in ("sand", "not assessed") and ground.cone is not None else []
    name = Ruled(rules.soils[ground.soil].name) if ground.soil else Term("unknown_soil")
    return [
        document.fault(("ground", test), "fault.test_of_other", soil=name, how=Ruled(rules.field_tests[test].how))
        for test in wrong
    ]


def _weather(job: Job, path: Path, rules: Rules, problems: list[Said]) -> Weather | None:
    if job.weather is None:
        return None
    try:
        return complete(job.weather, path, rules, job.country) if job.country in rules.countries else None
    except InputError as error:
        problems += error.problems
        return None


def _results(rules: Rules, test: str) -> dict[str, list[str]]:
    row = rules.field_tests[test]
    return {key: [result.says] for key, result in row.results.items()} | {key: [] for key in (*row.groups, *row.grip)}


def _known(
    document: Document,
    location: tuple[str, ...],
    read: str | None,
    names: dict[str, list[str]],
    lead: str,
    problems: list[Said],
) -> str | None:
    """The table's key for what was read, by key or by any of its other names."""
    if read is None:
        return None
    wanted = read.strip().lower()
    for key, others in names.items():
        if wanted in (key.lower(), *(other.lower() for other in others)):
            return key
    everything = [*names, *(other for others in names.values() for other in others)]
    close = difflib.get_close_matches(wanted, everything, n=1, cutoff=0.6)
    listed = Said(
        lead, names=tuple(f'"{others[0] if key.isupper() and others else key}"' for key, others in names.items())
    )
    if close:
        listed = Said("fault.did_you_mean", near=close[0], listed=listed)
    elif location[-1] == "soil":
        listed = Said("fault.which_soil", listed=listed)
    problems.append(document.fault(location, "fault.not_in_rules", read=shorten(read), listed=listed))
    return None


def _travel(
    document: Document, travel: dict[str, float], surfaces: dict[str, list[str]], problems: list[Said]
) -> dict[str, float]:
    shares: dict[str, float] = {}
    for read, share in travel.items():
        key = _known(document, ("ground", "travel", read), read, surfaces, "known.surface", problems)
        if key:
            shares[key] = shares.get(key, 0.0) + share
    return shares


def _weight_problems(document: Document, weights: Weights, questions: list[str]) -> list[Said]:
    given = weights.ranking if weights.ranking is not None else list(weights.points or {})
    location = ("weights", "ranking" if weights.ranking is not None else "points")
    known = set(given) <= set(questions) and len(set(given)) == len(given) > 0
    if known and (weights.points is None or sum(weights.points.values()) > 0):
        return []
    return [document.fault(location, "fault.weights_names", names=tuple(questions))]
