"""Read a job file: every name looked up in the rule tables, every contradiction told in a sentence."""

import difflib
from collections.abc import Iterable
from pathlib import Path

from pickrig.errors import InputError, Problem
from pickrig.inputs.job import WORDED_TESTS, Ground, Job, Task, Weights, soft_share
from pickrig.inputs.snow import Snow
from pickrig.inputs.weather import Weather, complete
from pickrig.quantities import show
from pickrig.reading import Document, check, read_toml, shorten
from pickrig.rulebook import Rules

_ADVICE = {
    "soil": "is it mostly clay, silt, sand or gravel? If nobody knows, take soil out and give a test, "
    'such as thumb = "thumb easily"; '
}
_NO_SOIL = (
    'says nothing of the soil; give soil as a group or a name (soil = "lean clay") '
    'or a test result (thumb = "thumb easily"); `pickrig rules soils` lists them'
)
_MENDS = {
    "slope": 'write grade = "8 %" for up and down, grade_across for working across',
    "temperature": "write it under [ground], as the temperature of the air",
    "distance": "write the haul one way as haul under [task]",
}
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
        raise InputError([f"{path}: is a fleet file; give it with --fleet, and the job file here"])
    job = check(Job, document, _MENDS)
    problems: list[Problem] = []

    def known(location: tuple[str, ...], read: str | None, names: dict[str, list[str]], lead: str) -> str | None:
        return _known(document, location, read, names, lead, problems)

    def names(table: Iterable[str]) -> dict[str, list[str]]:
        return {key: [] for key in table}

    known(("country",), job.country, names(rules.countries), "countries are")
    soils = {key: [soil.name, *soil.also] for key, soil in rules.soils.items()}
    works = {key: work.also for key, work in rules.work.items()}
    surfaces = {key: surface.also for key, surface in rules.surfaces.items()}
    attachments = {key: [f"{key}s", *(["forks"] if "forks" in key else [])] for key in rules.attachments}
    ground = job.ground.model_copy(
        update={
            "soil": known(("ground", "soil"), job.ground.soil, soils, "soils are"),
            "drainage": known(("ground", "drainage"), job.ground.drainage, names(rules.drainage), "drainage is"),
            "cover": known(("ground", "cover"), job.ground.cover, names(rules.covers), "covers are"),
            "travel": _travel(document, job.ground.travel, surfaces, problems),
            **{
                test: known(("ground", test), getattr(job.ground, test), _results(rules, test), "results are")
                for test in WORDED_TESTS
            },
        }
    )
    task = job.task.model_copy(
        update={
            "kind": known(("task", "kind"), job.task.kind, works, "kinds of work are"),
            "attachment": known(("task", "attachment"), job.task.attachment, attachments, "attachments are"),
        }
    )
    snow = _snow(document, job, task, rules, problems)
    if snow is not None and not ground.travel:
        ground = ground.model_copy(update={"travel": {rules.snow.under[snow.under or "bare pavement"].surface: 1.0}})
    if not problems and ground.soil is None and not ground.tested and soft_share(ground, rules) > 0:
        problems.append(f"{document.at(('ground',))}: {_NO_SOIL}")
    materials = names(rules.cycles.materials)
    material = known(("task", "material"), task.material, materials, "materials are")
    task = task.model_copy(update={"material": material})
    task = _with_goods(document, task, ground, rules, problems)
    weather = _weather(job, path, rules, problems)
    problems += _unused(document, job)
    if job.weights:
        problems += _weight_problems(document, job.weights, list(rules.questions))
    problems += _misplaced_tests(document, ground, rules)
    if problems:
        raise InputError(problems)
    whole = job.model_copy(update={"ground": ground, "task": task, "weather": weather, "snow": snow})
    return whole.read_from(document)


def _with_goods(document: Document, task: Task, ground: Ground, rules: Rules, problems: list[Problem]) -> Task:
    """The load of one trip from what is carried, where the job names goods in place of a weight."""
    if task.goods is None:
        if task.goods_volume is not None:
            problems.append(
                f"{document.at(('task', 'goods_volume'))}: says how much, not of what; add goods or take it out"
            )
        return task
    names = {key: [row.says] for key, row in rules.goods.items()}
    goods = _known(document, ("task", "goods"), task.goods, names, "goods are", problems)
    if goods is None:
        return task
    row = rules.goods[goods]
    if task.load is not None:
        problems.append(
            f"{document.at(('task', 'goods'))}: says what is carried, and load says what it weighs; keep one"
        )
        return task
    if row.density is not None and task.goods_volume is None:
        problems.append(
            f"{document.at(('task', 'goods'))}: {row.says} come by volume; add goods_volume, for example "
            'goods_volume = "0.5 yd3"'
        )
        return task
    if row.density is not None:
        dry = ground.wetness == "dry" and not ground.standing_water
        load = (row.density.dry if dry else row.density.wet) * (task.goods_volume or 0.0)
    else:
        assert row.pallet is not None
        load = row.pallet[1]
        if task.goods_volume is not None:
            problems.append(f"{document.at(('task', 'goods_volume'))}: {row.says} come by the pallet; take it out")
    if load > _MOST_LOAD:
        problems.append(
            f"{document.at(('task', 'goods_volume'))}: makes a load of {show(load, 'mass')}; give what goes in one "
            "trip, and "
            "the whole under volume"
        )
    return task.model_copy(update={"goods": goods, "load": load})


def _snow(document: Document, job: Job, task: Task, rules: Rules, problems: list[Problem]) -> Snow | None:
    """Snow under the tables' names; a job that clears snow has some, and another has none."""
    clears = task.kind in rules.work and rules.work[task.kind].clears_snow
    if job.snow is None:
        if clears:
            problems.append(
                f"{document.at(('task', 'kind'))}: clears snow, but the job says nothing of it; add [snow] with depth, "
                "under (what lies under it) and area"
            )
        return None
    if task.kind in rules.work and not clears:
        kinds = ", ".join(f'"{kind}"' for kind, work in rules.work.items() if work.clears_snow)
        problems.append(f"{document.at(('snow',))}: is there, but the work is not to clear it; write kind = {kinds}")
    fitted = task.attachment or rules.work[task.kind].attachment if clears else None
    if fitted in rules.attachments and rules.attachments[fitted]["compact"].box is None:
        holds = ", ".join(f'"{key}"' for key, sizes in rules.attachments.items() if sizes["compact"].box)
        problems.append(f"{document.at(('task', 'attachment'))}: {fitted} hold no snow; give one of {holds}")
    kinds_of = {key: [row.says] for key, row in rules.snow.kinds.items()}
    covers = {key: [row.says] for key, row in rules.snow.under.items()} | {"unknown": []}
    kind = _known(document, ("snow", "kind"), job.snow.kind, kinds_of, "kinds of snow are", problems)
    under = _known(document, ("snow", "under"), job.snow.under, covers, "under it may be", problems)
    problems += _odd_snow(document, job, kind, rules)
    return job.snow.model_copy(update={"kind": kind, "under": None if under == "unknown" else under})


def _odd_snow(document: Document, job: Job, kind: str | None, rules: Rules) -> list[str]:
    """Snow that cannot be what it is said to be."""
    if job.snow is None or kind is None:
        return []
    row, air, faults = rules.snow.kinds[kind], job.ground.temperature, []
    low, _, high = row.density
    if job.snow.density is not None and not 0.7 * low <= job.snow.density <= 1.4 * high:
        ends = " to ".join(show(d, "density") for d in (low, high))
        faults.append((("snow", "density"), f"does not go with {kind} snow of {ends}; mend one of the two"))
    if air is not None and ((row.thawing and air < -5) or (row.fresh and air > 3)):
        faults.append((("ground", "temperature"), f"does not go with {kind} snow; mend one of the two"))
    return [f"{document.at(location)}: {fault}" for location, fault in faults]


def _unused(document: Document, job: Job) -> list[str]:
    """Things said twice in different words: nobody could tell which of them was believed."""
    ground, task, faults = job.ground, job.task, []
    amounts = [key for key in ("volume", "area", "run", "holes") if getattr(task, key) is not None]
    amounts += ["pieces"] if task.pieces > 1 else []
    if len(amounts) > 1:
        faults.append(
            (("task", amounts[-1]), f"says how much there is to do, and so does {amounts[0]}; keep one of them")
        )
    if job.weather is not None and ground.moisture is not None:
        faults.append((("ground", "moisture"), "gives the moisture that [weather] would work out; keep one of them"))
    if ground.soil is not None and ground.ribbon is not None:
        faults.append((("ground", "ribbon"), "names the soil, and soil is given as well; keep one of them"))
    return [f"{document.at(location)}: {fault}" for location, fault in faults]


def _misplaced_tests(document: Document, ground: Ground, rules: Rules) -> list[str]:
    """Tests that say nothing of the soil they were made on."""
    family = rules.soils[ground.soil].family if ground.soil else "fine"
    wrong = [test for test in _FINE_TESTS if family != "fine" and getattr(ground, test) is not None]
    wrong += ["rebar"] if family != "sand" and ground.rebar is not None else []
    wrong += ["cone"] if family in ("sand", "not assessed") and ground.cone is not None else []
    name = rules.soils[ground.soil].name if ground.soil else "soil of unknown group"
    return [
        f"{document.at(('ground', test))}: says nothing of {name} ({rules.field_tests[test].how}); take it out, "
        "or give the soil that was tested"
        for test in wrong
    ]


def _weather(job: Job, path: Path, rules: Rules, problems: list[Problem]) -> Weather | None:
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
    problems: list[Problem],
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
    hint = f'did you mean "{close[0]}"? ' if close else _ADVICE.get(location[-1], "")
    listed = ", ".join(f'"{others[0] if key.isupper() and others else key}"' for key, others in names.items())
    problems.append(f"{document.at(location)}: {shorten(read)} is not in the rules; {hint}{lead} {listed}")
    return None


def _travel(
    document: Document, travel: dict[str, float], surfaces: dict[str, list[str]], problems: list[Problem]
) -> dict[str, float]:
    shares: dict[str, float] = {}
    for read, share in travel.items():
        key = _known(document, ("ground", "travel", read), read, surfaces, "surfaces are", problems)
        if key:
            shares[key] = shares.get(key, 0.0) + share
    return shares


def _weight_problems(document: Document, weights: Weights, questions: list[str]) -> list[str]:
    given = weights.ranking if weights.ranking is not None else list(weights.points or {})
    location = ("weights", "ranking" if weights.ranking is not None else "points")
    known = set(given) <= set(questions) and len(set(given)) == len(given) > 0
    if known and (weights.points is None or sum(weights.points.values()) > 0):
        return []
    return [
        f"{document.at(location)}: name questions, each once, of these: {', '.join(questions)}; points need at least "
        "one above zero"
    ]
