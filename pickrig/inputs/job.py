"""A job: the work, the ground and the way in."""

import difflib
from collections.abc import Iterable
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field, model_validator

from pickrig.errors import InputError
from pickrig.inputs.fields import (
    AnyCase,
    ConeReading,
    Count,
    Distance,
    Force,
    FrostDepth,
    Grade,
    Length,
    LoadMass,
    Moisture,
    Money,
    Name,
    Opening,
    Share,
    SmallLength,
    Strength,
    Strict,
    Temperature,
    Text,
)
from pickrig.inputs.reading import Document, check, read_toml, shorten
from pickrig.inputs.snow import Snow
from pickrig.inputs.weather import Weather, complete
from pickrig.rulebook import Rules

Turning = Annotated[Literal["wide", "ordinary", "on the spot", "on boards"], AnyCase]
Wetness = Annotated[Literal["dry", "moist", "wet"], AnyCase]
WORDED_TESTS = ("thumb", "boot", "heel", "ribbon", "rebar")
TESTS = (*WORDED_TESTS, "pocket", "dcp", "cone")
_ADVICE = {
    "soil": "is it mostly clay, silt, sand or gravel? If nobody knows, take soil out and give a test, "
    'such as thumb = "thumb easily"; '
}
_NO_SOIL = (
    'says nothing of the soil; give soil as a group or a name (soil = "lean clay") '
    'or a test result (thumb = "thumb easily"); `pickrig rules soils` lists them'
)
_FINE_TESTS = ("thumb", "boot", "heel", "ribbon", "pocket", "dcp")


class Task(Strict):
    """What is to be done, all day or once across."""

    kind: Annotated[str, Field(examples=['"carry pallets"'])]
    attachment: str | None = None
    load: LoadMass | None = None
    pieces: Count = 1
    split: bool = False
    set_height: Length | None = None
    passes: Annotated[Literal["all day", "once"], AnyCase] | None = None
    turning: Turning | None = None
    push: Force | None = None
    down_force: Force | None = None


class Ground(Strict):
    """The soil, how wet it is, what a test said, and the shares of travel by surface."""

    soil: str | None = None
    wetness: Wetness | None = None
    moisture: Moisture | None = None
    standing_water: bool = False
    drainage: str | None = None
    cover: str | None = None
    frost: FrostDepth | None = None
    route: Distance | None = None
    grade: Grade | None = None
    grade_across: Grade | None = None
    thumb: str | None = None
    boot: str | None = None
    heel: str | None = None
    ribbon: str | None = None
    rebar: str | None = None
    pocket: Strength | None = None
    dcp: SmallLength | None = None
    cone: ConeReading | None = None
    travel: dict[str, Share] = Field(default_factory=dict)
    temperature: Temperature | None = None
    new_asphalt: bool = False
    slab: SmallLength | None = None

    @model_validator(mode="after")
    def _does_not_contradict_itself(self) -> "Ground":
        if self.standing_water and self.wetness in ("dry", "moist"):
            raise ValueError(f'says standing_water and wetness = "{self.wetness}"; take out the one that does not hold')
        if self.moisture is not None and (self.wetness or self.standing_water):
            raise ValueError("gives moisture and wetness; keep one of them")
        if self.travel and abs(sum(self.travel.values()) - 1) > 0.005:  # room for 33 + 33 + 34 %
            total = sum(self.travel.values())
            raise ValueError(f"has shares of travel that sum to {100 * total:.0f} %; make them sum to 100 %")
        return self

    @property
    def tested(self) -> bool:
        """Whether anyone tested how strong the ground is, or what it is made of."""
        return any(getattr(self, test) is not None for test in TESTS)


class Access(Strict):
    """The tightest places on the way in; "open" where there is none."""

    gate: Opening | None = None
    headroom: Opening | None = None
    aisle: Opening | None = None


class Hazards(Strict):
    """What ends a job whatever the machine, as far as somebody has looked; not given: nobody has."""

    septic: Annotated[Literal["none", "kept off", "on the route"], AnyCase] | None = None
    services: Annotated[Literal["none", "marked", "unmarked"], AnyCase] | None = None
    services_depth: Length | None = None
    trench: Annotated[Literal["none", "protected", "unprotected"], AnyCase] | None = None
    power_lines: Annotated[Literal["none", "clear", "near"], AnyCase] | None = None
    roots: bool = False
    irrigation: bool = False


class Costs(Strict):
    """The user's own figures for what goes wrong and what work costs; see rules/money.toml for what else is taken."""

    recovery: Money | None = None
    lost_half_day: Money | None = None
    machine_hour: Money | None = None


class Weights(Strict):
    """The user's own weights: a ranking of the questions, or points for each."""

    ranking: list[str] | None = None
    points: dict[str, Annotated[float, Field(ge=0, le=1000)]] | None = None

    @model_validator(mode="after")
    def _one_of_the_two(self) -> "Weights":
        if (self.ranking is None) == (self.points is None):
            raise ValueError('takes either ranking = ["floats", ...] or points = { floats = 100, ... }')
        return self


class Job(Strict):
    """One job as the dispatcher knows it, in SI."""

    title: Annotated[Name, Field(examples=['"Back lot, pavers"'])]
    note: Text = ""
    task: Task
    ground: Ground = Ground()
    snow: Snow | None = None
    hazards: Hazards = Hazards()
    access: Access = Access()
    weather: Weather | None = None
    costs: Costs = Costs()
    weights: Weights | None = None


def read_job(path: Path, rules: Rules) -> Job:
    """Read and check a job file. Raises InputError, one sentence a fault.

    Soil, surfaces, kind of work, attachment and test results come back under the names the rule tables use.
    """
    document = read_toml(path, "job")
    job = check(Job, document)
    problems: list[str] = []

    def known(location: tuple[str, ...], read: str | None, names: dict[str, list[str]], lead: str) -> str | None:
        return _known(document, location, read, names, lead, problems)

    def names(table: Iterable[str]) -> dict[str, list[str]]:
        return {key: [] for key in table}

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
    weather = _weather(job, path, rules, problems)
    problems += _unused(document, job)
    if job.weights:
        problems += _weight_problems(document, job.weights, list(rules.questions))
    problems += _misplaced_tests(document, ground, rules)
    if problems:
        raise InputError(problems)
    return job.model_copy(update={"ground": ground, "task": task, "weather": weather, "snow": snow})


def soft_share(ground: Ground, rules: Rules) -> float:
    """Share of travel on which the site's soil has to hold the machine; all of it when the job does not say."""
    travel = ground.travel
    return sum(s for surface, s in travel.items() if rules.surfaces[surface].carries == "soil") if travel else 1.0


def _snow(document: Document, job: Job, task: Task, rules: Rules, problems: list[str]) -> Snow | None:
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
    kinds_of = {key: [row.says] for key, row in rules.snow.kinds.items()}
    covers = {key: [row.says] for key, row in rules.snow.under.items()} | {"unknown": []}
    kind = _known(document, ("snow", "kind"), job.snow.kind, kinds_of, "kinds of snow are", problems)
    under = _known(document, ("snow", "under"), job.snow.under, covers, "under it may be", problems)
    return job.snow.model_copy(update={"kind": kind, "under": None if under == "unknown" else under})


def _unused(document: Document, job: Job) -> list[str]:
    """Things said twice in different words: nobody could tell which of them was believed."""
    ground, faults = job.ground, []
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


def _weather(job: Job, path: Path, rules: Rules, problems: list[str]) -> Weather | None:
    if job.weather is None:
        return None
    try:
        return complete(job.weather, path, rules)
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
    problems: list[str],
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
    document: Document, travel: dict[str, float], surfaces: dict[str, list[str]], problems: list[str]
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
