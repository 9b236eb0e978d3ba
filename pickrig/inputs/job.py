"""A job: the work, the ground and the way in."""

import datetime as dt
from math import inf
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, PrivateAttr, model_validator

from pickrig.errors import WrongError
from pickrig.facts import Statements
from pickrig.inputs.fields import (
    AnyCase,
    Clock,
    ConeReading,
    Count,
    Distance,
    Duration,
    Force,
    FromFile,
    FrostDepth,
    Grade,
    Lanes,
    Length,
    LoadMass,
    Moisture,
    Money,
    Name,
    Opening,
    Passes,
    Push,
    Share,
    SmallLength,
    Strength,
    Strict,
    Temperature,
    Text,
    Volume,
    WideArea,
    Width,
)
from pickrig.inputs.learned import Learned
from pickrig.inputs.people import Licence
from pickrig.inputs.snow import Snow
from pickrig.inputs.survey import Survey
from pickrig.inputs.transport import Haul
from pickrig.inputs.weather import Weather
from pickrig.reading import Document
from pickrig.rulebook import Rules, load_rules

Turning = Annotated[Literal["wide", "ordinary", "on the spot", "on boards"], AnyCase]
Wetness = Annotated[Literal["dry", "moist", "wet"], AnyCase]
Loaded = Annotated[Literal["both ways", "uphill", "downhill"], AnyCase]
NOT_KNOWN = "unknown"
WORDED_TESTS = ("thumb", "boot", "heel", "ribbon", "rebar")
TESTS = (*WORDED_TESTS, "pocket", "dcp", "cone")


Yes = Annotated[bool, Field(strict=True)]
AnyCountry = BeforeValidator(lambda value: value.strip().upper() if isinstance(value, str) else value)


def hour_of(clock: dt.time) -> float:
    """Hours since midnight."""
    return clock.hour + clock.minute / 60 + clock.second / 3600


class Task(Strict):
    """What is to be done, all day or once across."""

    kind: Annotated[str, Field(examples=['"carry pallets"'])]
    attachment: str | None = None
    attachment_width: Width | None = None
    load: LoadMass | None = None
    pieces: Count = 1
    split: Yes = False
    bucketful: Yes = False
    set_height: Length | None = None
    passes: Passes | None = None
    turning: Turning | None = None
    push: Push | None = None
    down_force: Force | None = None
    goods: str | None = None
    goods_volume: Volume | None = None
    material: str | None = None
    truck_side: Length | None = None
    truck_reach: Length | None = None
    haul: Distance | None = None
    volume: Volume | None = None
    area: WideArea | None = None
    run: Distance | None = None
    run_per_hour: Distance | None = None
    holes: Count | None = None
    holes_per_hour: Count | None = None
    day: Duration | None = None
    start: Clock | None = None
    end: Clock | None = None

    @model_validator(mode="after")
    def _ends_after_it_starts(self) -> "Task":
        if self.start is not None and self.end is not None:
            if self.end <= self.start:
                raise WrongError("fault.end_first")
            if self.day is not None:
                raise WrongError("fault.day_and_end")
        return self

    @model_validator(mode="after")
    def _carries_one_thing(self) -> "Task":
        if self.bucketful and (self.load is not None or self.goods is not None):
            raise WrongError("fault.bucketful_and_load")
        if self.bucketful and self.pieces > 1:
            raise WrongError("fault.bucketfuls")
        return self

    @property
    def window(self) -> float | None:
        """Time there is by the job, s."""
        if self.day is not None or self.start is None or self.end is None:
            return self.day
        return 3600 * (hour_of(self.end) - hour_of(self.start))

    @property
    def on_boards(self) -> bool:
        """Whether boards or mats lie under the way, and it stays on them."""
        return self.turning == "on boards"


class Ground(Strict):
    """The soil, how wet it is, what a test said, and the shares of travel by surface. survey: a file of what a soil
    survey maps there, which a soil that is named overrules. land: what became of the place since. sticky: whether it
    clings to boots in lumps. wet_on_top: whether grass and paving are wet, whatever the soil under them is."""

    soil: str | None = None
    wetness: Wetness | None = None
    moisture: Moisture | None = None
    standing_water: Yes = False
    sticky: Yes | None = None
    wet_on_top: Yes | None = None
    drainage: str | None = None
    cover: str | None = None
    frost: FrostDepth | None = None
    route: Distance | None = None
    grade: Grade | None = None
    grade_across: Grade | None = None
    loaded: Loaded = "both ways"
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
    new_asphalt: Yes = False
    slab: SmallLength | None = None
    survey: Name | None = None
    land: Annotated[Literal["natural", "built on", "filled"], AnyCase] = "natural"
    _mapped: Survey | None = PrivateAttr(None)

    @property
    def mapped(self) -> Survey | None:
        """What the survey's file says of the soil."""
        return self._mapped

    def with_survey(self, mapped: Survey) -> "Ground":
        """The same with its survey read."""
        whole = self.model_copy()
        whole._mapped = mapped
        return whole

    @model_validator(mode="after")
    def _does_not_contradict_itself(self) -> "Ground":
        if self.standing_water and self.wetness in ("dry", "moist"):
            raise WrongError("fault.water_and_dry", wetness=str(self.wetness))
        if self.moisture is not None and (self.wetness or self.standing_water):
            raise WrongError("fault.moisture_and_wetness")
        if self.travel and abs(sum(self.travel.values()) - 1) > 0.005:  # room for 33 + 33 + 34 %
            total = sum(self.travel.values())
            raise WrongError("fault.travel_sum", total=f"{100 * total:.0f}")
        return self

    @property
    def climbed(self) -> tuple[float, float]:
        """Slope it climbs empty and loaded, rise over run: where loads go one way only, the other way is downhill."""
        grade = self.grade or 0.0
        return (0.0 if self.loaded == "uphill" else grade), (0.0 if self.loaded == "downhill" else grade)

    @property
    def tested(self) -> bool:
        """Whether anyone tested how strong the ground is, or what it is made of."""
        return any(getattr(self, test) is not None for test in TESTS)


class Access(Strict):
    """The tightest places on the way in; "open" where there is none. bend: the two lanes of a right-angle bend, the one
    it comes from first. turn_round: the lane in which it has to turn round; aisle says the same in older files.
    back_out: it comes out backwards."""

    gate: Opening | None = None
    passage: Opening | None = None
    headroom: Opening | None = None
    bend: Lanes | None = None
    turn_round: Opening | None = None
    aisle: Opening | None = None
    back_out: Yes = False

    @model_validator(mode="after")
    def _turns_once(self) -> "Access":
        if self.aisle is not None and self.turn_round is not None:
            raise WrongError("fault.aisle_twice")
        if self.back_out and self.lane is not None:
            raise WrongError("fault.turn_and_back")
        return self

    @property
    def lane(self) -> float | None:
        """The lane in which it has to turn round, m."""
        return self.turn_round if self.turn_round is not None else self.aisle


class Stretch(Strict):
    """A stretch of the way in, in order, that differs from the ground of the job: its soil and water or its surface,
    how long, how steep and how wide it is. boards: laid under the way there."""

    name: Name | None = None
    soil: str | None = None
    wetness: Wetness | None = None
    standing_water: Yes = False
    surface: str | None = None
    length: Distance | None = None
    grade: Grade | None = None
    grade_across: Grade | None = None
    loaded: Loaded = "both ways"
    width: Opening | None = None
    boards: Yes = False

    @model_validator(mode="after")
    def _is_of_something(self) -> "Stretch":
        if self.soil is None and self.surface is None:
            raise WrongError("fault.stretch_of_what")
        if self.standing_water and self.wetness in ("dry", "moist"):
            raise WrongError("fault.water_and_dry", wetness=str(self.wetness))
        return self


class Hazards(Strict):
    """What ends a job whatever the machine, or kills at it, as far as somebody has looked; not given: nobody has.

    indoors: in a building, under a roof or in a pit. edges: a dock, wall, bank or drop by the way. people: on
    foot, near. debris: rebar, glass, nails or broken concrete where it drives.
    """

    septic: Annotated[Literal["none", "kept off", "on the route"], AnyCase] | None = None
    services: Annotated[Literal["none", "marked", "unmarked"], AnyCase] | None = None
    services_depth: Length | None = None
    trench: Annotated[Literal["none", "protected", "unprotected"], AnyCase] | None = None
    power_lines: Annotated[Literal["none", "clear", "near"], AnyCase] | None = None
    indoors: Yes | None = None
    edges: Yes = False
    people: Yes = False
    roots: Yes = False
    irrigation: Yes = False
    debris: Yes = False


class Driver(Strict):
    """Who drives. licence: for the rig on the road, by the classes of the country; weeks: of practice on machines like
    these; a beginner is given more room and less slope."""

    licence: Licence | None = None
    weeks: Annotated[int, Field(ge=0, le=5000, strict=True)] | None = None


class Costs(Strict):
    """The user's own figures for what goes wrong and what work costs; see rules/money.toml for what else is taken."""

    recovery: Money | None = None
    lost_half_day: Money | None = None
    machine_hour: Money | None = None
    repair: Money | None = None


class Weights(Strict):
    """The user's own weights: a ranking of the questions, or points for each."""

    ranking: list[str] | None = None
    points: dict[str, Annotated[float, Field(ge=0, le=1000)]] | None = None

    @model_validator(mode="after")
    def _one_of_the_two(self) -> "Weights":
        if (self.ranking is None) == (self.points is None):
            raise WrongError("fault.ranking_or_points")
        return self


class Job(FromFile):
    """One job as the dispatcher knows it, in SI."""

    title: Annotated[Name, Field(examples=['"Back lot, pavers"'])]
    note: Text = ""
    site: Name | None = None
    task: Task
    ground: Ground = Ground()
    stretch: Annotated[list[Stretch], Field(max_length=12)] = Field(default_factory=list)
    snow: Snow | None = None
    country: Annotated[str, AnyCountry, Field(examples=['"US"'])] = "US"
    haul: Haul | None = None
    hazards: Hazards = Hazards()
    access: Access = Access()
    driver: Driver = Driver()
    weather: Weather | None = None
    costs: Costs = Costs()
    weights: Weights | None = None
    _site_notes: Statements = PrivateAttr(())
    _learned: Learned | None = PrivateAttr(None)

    @property
    def site_notes(self) -> Statements:
        """What the site file gives, and how old it is."""
        return self._site_notes

    @property
    def learned(self) -> Learned | None:
        """What the log of the yard says of it; None without one."""
        return self._learned

    @property
    def pace(self) -> float:
        """What its work takes by the log of the yard, against the books; 1 without one."""
        return 1.0 if self._learned is None else self._learned.hours

    def with_learned(self, learned: Learned | None) -> "Job":
        """The same with what the log of the yard says."""
        whole = self.model_copy()
        whole._learned = learned
        return whole

    @classmethod
    def of(cls, *, title: str = "Job", rules: Rules | None = None, **tables: Any) -> "Job":
        """A job from Python: the keys and tables of a job file, texts with units or bare numbers in SI, names looked up
        in the rules. Raises InputError."""
        from pickrig.inputs.job_file import job_of

        data = {"title": title, **tables}
        return job_of(Document(Path("job"), "", data, si=True), rules or load_rules())

    @property
    def surfaces(self) -> set[str]:
        """Everything it drives on, with the stretches of the way."""
        return {*self.ground.travel, *(stretch.surface for stretch in self.stretch if stretch.surface is not None)}

    @property
    def grades(self) -> list[float]:
        """Every slope that is given, here or on a stretch of the way."""
        slopes = [self.ground.grade, self.ground.grade_across]
        slopes += [grade for stretch in self.stretch for grade in (stretch.grade, stretch.grade_across)]
        return [slope for slope in slopes if slope is not None]

    def on(self, stretch: Stretch) -> "Job":
        """The same work with this stretch in place of the ground. One that names no soil has the job's own under it,
        its water and its tests; the weather counts where nobody saw how wet the stretch is."""
        wet = stretch.wetness is not None or stretch.standing_water
        own = {"wetness": stretch.wetness, "standing_water": stretch.standing_water, "moisture": None}
        ground = (Ground() if stretch.soil is not None else self.ground).model_copy(
            update={
                **({"soil": None if stretch.soil == NOT_KNOWN else stretch.soil} if stretch.soil is not None else {}),
                **(own if wet or stretch.soil is not None else {}),
                "route": stretch.length,
                "grade": stretch.grade,
                "grade_across": stretch.grade_across,
                "loaded": stretch.loaded,
                "temperature": self.ground.temperature,
                "travel": {stretch.surface: 1.0} if stretch.surface is not None else {},
            }
        )
        update: dict[str, Any] = {
            "ground": ground,
            "access": Access().model_copy(update={"gate": inf, "passage": stretch.width}),
            "task": self.task.model_copy(update={"turning": "on boards"}) if stretch.boards else self.task,
            "weather": None if wet else self.weather,
            "stretch": [],
        }
        return self.model_copy(update=update)

    def behind(self, truck: str, trailer: str) -> "Job":
        """The same job with the machine hauled by this truck and trailer."""
        haul = self.haul or Haul(truck=truck, trailer=trailer)
        return self.model_copy(update={"haul": haul.model_copy(update={"truck": truck, "trailer": trailer})})


def attachment_of(task: Task, rules: Rules) -> str:
    """The attachment the job names, else the one its kind of work takes."""
    return task.attachment or rules.work[task.kind].attachment


def soft_share(ground: Ground, rules: Rules) -> float:
    """Share of travel on which the site's soil has to hold the machine; all of it when the job does not say."""
    travel = ground.travel
    return sum(s for surface, s in travel.items() if rules.surfaces[surface].carries == "soil") if travel else 1.0
