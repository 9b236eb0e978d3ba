"""The shape of every table in rules/."""

from collections.abc import Sequence
from itertools import pairwise
from typing import Annotated, Literal, TypeVar

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, Strict, model_validator

from pickrig.errors import WrongError

Status = Literal["published", "measured", "common practice", "from memory", "our judgment"]
"""measured: fitted by us to the public fields of tests/measured, the error left in the row's note."""
Numbers = TypeVar("Numbers", bound=Sequence[float])

_LARGEST = 1e12  # the stiffest figure of the tables, the modulus of concrete in Pa, is a fortieth of it


def _in_order(numbers: Numbers) -> Numbers:
    if any(a > b for a, b in pairwise(numbers)):
        raise WrongError("fault.lowest_first")
    return numbers


def _rising(numbers: Numbers) -> Numbers:
    if any(a >= b for a, b in pairwise(numbers)):
        raise WrongError("fault.points_rise")
    return numbers


Number = Annotated[float, Field(ge=-_LARGEST, le=_LARGEST)]
Positive = Annotated[float, Field(gt=0, le=_LARGEST)]
Metres = Annotated[float, Field(gt=0, le=20)]
Kilograms = Annotated[float, Field(gt=0, le=30_000)]
Words = Annotated[str, Field(min_length=1)]
Share = Annotated[float, Field(ge=0, le=1)]
Count = Annotated[int, Field(ge=0, le=100)]
Month = Annotated[int, Field(ge=1, le=12)]
_List = Strict(False)  # TOML has lists, no tuples
Pair = Annotated[tuple[Positive, Positive], _List, AfterValidator(_in_order)]
SharePair = Annotated[tuple[Share, Share], _List, AfterValidator(_in_order)]
Three = Annotated[tuple[Positive, Positive, Positive], _List, AfterValidator(_in_order)]
ShareThree = Annotated[tuple[Share, Share, Share], _List, AfterValidator(_in_order)]
Points = Annotated[list[Number], Field(min_length=2), AfterValidator(_rising)]


class _Strict(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False, strict=True)


class Source(_Strict):
    """A publication, and whether the page itself was read or a text that quotes it."""

    citation: str
    read: Literal["first-hand", "second-hand"]


class Cited(_Strict):
    """A row that says where it comes from. `source` is a key of sources.toml; a published row must name one.

    `apart` holds the values of the row that do not share its status: their path in the row, joined by " / ".
    """

    status: Status
    source: str | None = None
    where: str = ""
    note: str = ""
    apart: dict[str, Status] = {}

    @model_validator(mode="after")
    def _published_needs_a_source(self) -> "Cited":
        if self.status == "published" and self.source is None:
            raise WrongError("fault.published_no_source")
        if self.status == "measured" and not self.note:
            raise WrongError("fault.measured_no_note")
        return self


class Value(Cited):
    value: Number
    low: Number | None = None
    high: Number | None = None
    unit: str
    says: str

    @model_validator(mode="after")
    def _can_be(self) -> "Value":
        low, high = (self.value if end is None else end for end in (self.low, self.high))
        if not low <= self.value <= high:
            raise WrongError("fault.low_value_high")
        if low < 0 and self.unit != "degC":
            raise WrongError("fault.below_zero")
        if self.unit == "share" and high > 1:
            raise WrongError("fault.share_above")
        return self

    @property
    def three(self) -> tuple[float, float, float]:
        """Low, likeliest and high; the value itself where no end is given."""
        low, high = (self.value if end is None else end for end in (self.low, self.high))
        return low, self.value, high


class Bands(_Strict):
    dry: Pair
    moist: Pair
    wet: Pair

    @model_validator(mode="after")
    def _gets_weaker(self) -> "Bands":
        bands = (self.dry, self.moist, self.wet)
        if any(wetter[end] > drier[end] for drier, wetter in pairwise(bands) for end in (0, 1)):
            raise WrongError("fault.wet_stronger")
        return self


class Texture(_Strict):
    sand: Share
    clay: Share
    organic: Share
    group: Literal["A", "B", "C", "D"]
    readily_evaporable: Positive

    @model_validator(mode="after")
    def _is_a_whole(self) -> "Texture":
        if self.sand + self.clay > 1:
            raise WrongError("fault.sand_and_clay")
        return self


class Sticks(_Strict):
    plastic_limit: Share
    liquid_limit: Share
    clings: Share

    @model_validator(mode="after")
    def _liquid_is_higher(self) -> "Sticks":
        if self.plastic_limit >= self.liquid_limit:
            raise WrongError("fault.points_rise")
        return self


class Held(_Strict):
    """Water by volume at 1500 kPa, at 33 kPa and full, and conductivity, m/s: of a soil that somebody measured."""

    wilting: Share
    capacity: Share
    saturation: Share
    conductivity: Annotated[float, Field(ge=0)]


class Soil(Cited):
    name: Words
    also: list[str] = []
    family: Literal["fine", "gravel", "sand", "not assessed"]
    presumptive: str
    drained_friction: Annotated[float, Field(gt=0, lt=60)] | None = None
    clay: SharePair | None = None
    dry_density: Annotated[float, Field(ge=200, le=2500)] | None = None
    texture: Texture | None = None
    held: Held | None = None
    cone_index_psi: Bands | None = None
    under_water: Share | None = None
    slick: Literal["severe", "moderate", "slight"] | None = None
    sticks: Sticks | None = None
    instead: str = ""

    @model_validator(mode="after")
    def _has_what_its_family_needs(self) -> "Soil":
        needs = {
            "fine": ("texture",),
            "gravel": ("cone_index_psi",),
            "sand": (),
            "not assessed": ("instead",),
        }[self.family]
        missing = [name for name in needs if not getattr(self, name)]
        if missing:
            raise WrongError("fault.family_needs", family=self.family, names=tuple(missing))
        return self


class Result(_Strict):
    says: str
    kpa: Pair


class FieldTest(Cited):
    how: str
    misreading: Annotated[float, Field(gt=1)]
    results: dict[str, Result] = {}
    groups: dict[str, list[str]] = {}
    grip: dict[str, SharePair] = {}


class Sand(Cited):
    cone_index_psi: Three
    rolling: "ThreePerGear"


class Presumptive(Cited):
    kpa: Positive
    says: str


class PerGear(_Strict):
    tracks: Positive
    tyres: Positive


class Surface(Cited):
    also: list[str] = []
    carries: Literal["soil", "itself"]
    hard: bool
    life_hours: PerGear


class LifeRange(Cited):
    low: Annotated[float, Field(gt=0, le=1)]
    high: Annotated[float, Field(ge=1, le=10)]
    says: str


class TyreKinds(Cited):
    pneumatic: Positive
    foam_filled: Positive = Field(alias="foam-filled")
    solid: Positive
    says: str


class HardShare(Cited):
    tracks: Share
    says: str


class Steps(Cited):
    points: Points
    factors: list[Positive]
    says: str

    @model_validator(mode="after")
    def _goes_together(self) -> "Steps":
        if len(self.points) != len(self.factors):
            raise WrongError("fault.points_factors", points=len(self.points), factors=len(self.factors))
        return self


class ChanceSteps(Steps):
    factors: list[Share]


class Curves(Cited):
    wide: Positive
    ordinary: Positive
    on_the_spot: Positive = Field(alias="on the spot")
    says: str


class Saying(Cited):
    says: str


class Debris(Cited):
    """Life where sharp things lie about, against the same ground without."""

    tracks: Positive
    pneumatic: Positive
    plies: Positive
    foam_filled: Positive = Field(alias="foam-filled")
    solid: Positive
    plies_from: int
    says: str
    care: str


class SetPrice(Cited):
    """A set of tracks or tyres over the weight of the machine, $/kg."""

    tracks: Positive
    tyres: Positive
    says: str


class Wear(_Strict):
    life_range: LifeRange
    tyre_kind: TyreKinds
    debris: Debris
    set_price: SetPrice
    tyre_speed: Steps
    tyre_load: Steps
    tyre_curves: Curves
    track_curves: Saying
    hard_share_caution: HardShare


SomeShare = Annotated[float, Field(gt=0, le=1)]


class ChanceLimit(Cited):
    go: SomeShare
    caution: SomeShare
    says: str

    @model_validator(mode="after")
    def _in_order(self) -> "ChanceLimit":
        if self.caution > self.go:
            raise WrongError("fault.caution_above")
        return self


class ClearanceLimit(Cited):
    go_m: Annotated[float, Field(gt=0, le=2)]
    caution_m: Annotated[float, Field(ge=0, le=2)]
    says: str

    @model_validator(mode="after")
    def _in_order(self) -> "ClearanceLimit":
        if self.caution_m > self.go_m:
            raise WrongError("fault.caution_m")
        return self


class ComfortLimit(Cited):
    comfort: Annotated[float, Field(ge=0.1, le=1)]
    over_side_m: Annotated[float, Field(ge=0, le=2)]
    says: str


class SlopeLimit(Cited):
    go: SomeShare
    caution: SomeShare
    across: Annotated[float, Field(gt=0, le=0.5)]
    level: Annotated[float, Field(ge=0, le=0.2)]
    says: str

    @model_validator(mode="after")
    def _in_order(self) -> "SlopeLimit":
        if self.go > self.caution:
            raise WrongError("fault.go_above")
        if self.level > self.across:
            raise WrongError("fault.level_above")
        return self


class RatioLimit(Cited):
    value: Annotated[float, Field(gt=0, le=100)]
    says: str


class Constants(_Strict):
    """Where the constants of a function of the physics come from."""

    equation: Words
    from_memory: list[Count] = []
    fixed: list[Count] = []
    levels: list[Count] = []


class TierLimits(Cited):
    bet: SomeShare
    risk_send: SomeShare
    risk_bet: Annotated[float, Field(gt=0, le=10)]
    stop_rut_m: Metres
    tell_guess: SomeShare
    says: str

    @model_validator(mode="after")
    def _in_order(self) -> "TierLimits":
        if self.risk_send > self.risk_bet:
            raise WrongError("fault.go_above")
        return self


class BeginnerLimit(Cited):
    weeks: Annotated[float, Field(gt=0, le=520)]
    room: Annotated[float, Field(ge=1, le=10)]
    slope: SomeShare
    says: str


class Limits(_Strict):
    beginner: BeginnerLimit
    floats: ChanceLimit
    tiers: TierLimits
    fits: ClearanceLimit
    lifts: ComfortLimit
    climbs: SlopeLimit
    floor_ratio: RatioLimit
    close_call: RatioLimit


class TippingRule(Cited):
    share: Annotated[float, Field(gt=0, le=1)]
    says: str


class Box(_Strict):
    """The space that holds snow: height and depth, m, over the width; a blade has no depth, and what lies before it is
    a wedge. trickles: what is left behind and cleaned up after, as a share of the pushing time."""

    height: Positive
    depth: Positive | None = None
    trickles: Three

    @property
    def is_blade(self) -> bool:
        return self.depth is None


class ToolHydraulics(_Strict):
    """What a tool asks of the couplers: from least to most."""

    flow_gpm: Pair
    pressure_psi: Pair
    case_drain: bool = False
    free_return: bool = False
    pins: Count = 0
    torque: Positive | None = None
    feed: Positive | None = None


class AttachmentSize(Cited):
    mass: Annotated[float, Field(gt=0, le=3000)]
    load_centre: Annotated[float, Field(gt=0, le=5)]
    centre: Annotated[float, Field(gt=0, le=5)]
    projection: Annotated[float, Field(gt=0, le=10)]
    drop: Annotated[float, Field(gt=0, le=5)]
    width: Metres | Literal["machine"]
    carries: bool = True
    box: Box | None = None
    clears: Literal["blow", "sweep"] | None = None
    hydraulics: ToolHydraulics | None = None


class ClassTracks(_Strict):
    width: Positive
    contact_length: Positive
    road_wheels: Count


class ClassTyres(_Strict):
    diameter: Positive
    width: Positive
    wheelbase: Positive


class ClassAuxiliary(_Strict):
    flow: Positive
    pressure: Positive


class MachineClass(Cited):
    frame: Literal["stand-on", "compact"]
    mass: Kilograms
    width: Metres
    height: Metres
    length: Metres
    clearance: Metres
    power: Annotated[float, Field(gt=0, le=500)]
    tipping_load: Kilograms
    lift_height: Metres
    rear_share: Annotated[float, Field(gt=0, lt=1)]
    coupler_reach_low: Metres
    coupler_reach_high: Metres
    rear_overhang: Metres
    centre_height: Metres
    gauge: Metres
    travel_speed: Annotated[float, Field(gt=0, le=20)]
    dump_reach: Metres
    bucket_capacity: Annotated[float, Field(gt=0, le=20)]
    auxiliary: ClassAuxiliary
    outer_radius: Positive | None = None
    inner_radius: Positive | None = None
    tracks: ClassTracks | None = None
    tyres: ClassTyres | None = None


class Work(Cited):
    also: list[str] = []
    attachment: str
    passes: Literal[1, 50]
    ranking: list[str]
    digs: bool = False
    clears_snow: bool = False
    on_grade: bool = False
    hauls: bool = False
    carries: bool = True
    usual_area: Positive | None = None
    drags: Annotated[float, Field(ge=0, le=5)] = 0.0
    why: str


class First(Cited):
    """A question that a site moves up to a place, or down to it where all is firm, and what it must have for it."""

    question: str
    place: Annotated[int, Field(ge=1, le=20)]
    says: str
    surfaces: list[str] = []
    grade: Positive | None = None
    opening: Positive | None = None
    lane: Positive | None = None
    firm: bool = False
    soft_asphalt: bool = False


class Question(Cited):
    """A question in the answer's words, and its value curve: points in SI of the dimension, values 0 to 1.

    better: whether more or less of it is; the values rise or fall with it.
    """

    asks: str
    short: str
    care: str
    legend: str
    swing: str
    dimension: str
    better: Literal["more", "less"]
    points: Points
    values: list[Share]
    says: str

    @model_validator(mode="after")
    def _is_a_curve(self) -> "Question":
        if len(self.points) != len(self.values):
            raise WrongError("fault.points_values", points=len(self.points), values_=len(self.values))
        way = 1 if self.better == "more" else -1
        if any(way * (b - a) < 0 for a, b in pairwise(self.values)) or self.values[0] == self.values[-1]:
            raise WrongError("fault.values_rise" if way == 1 else "fault.values_fall")
        return self


# What may be true of a job and the picked machine, in the words of `when` in cautions.toml, fitting.toml and
# walkaround.toml; the name of the attachment is one more.
TAGS = frozenset(
    {
        "always", "US", "UK", "EU", "tracks", "tyres", "ride-in", "stand-on", "articulated", "forks", "hydraulic",
        "throws", "breaks", "digs", "loads trucks", "services unknown", "services marked", "soft", "wet", "rain",
        "standing water", "frozen", "septic", "hard surface", "hot asphalt", "turf", "snow", "ice", "slope", "may tip",
        "edge", "tight", "indoors", "headroom", "people", "power lines", "power lines near", "power lines unknown",
        "hauled", "not hauled", "hot", "cold", "irrigation", "roots",
    }
)  # fmt: skip


class Caution(Cited):
    says: Words
    when: Annotated[list[str], Field(min_length=1)]


class Step(Cited):
    look: Words
    stop: str = ""
    when: list[str] = []


class Term(Cited):
    says: str


class Equation(Cited):
    says: str


class Drainage(Cited):
    surveyed: list[str] = []  # the survey's drainage classes that stand for it
    says: str
    factor: Share
    ponding: Annotated[float, Field(ge=0, le=1)]
    sheds: Share


CurveNumber = Annotated[float, Field(gt=0, le=100)]


class CurveNumbers(_Strict):
    A: CurveNumber
    B: CurveNumber
    C: CurveNumber
    D: CurveNumber


class Cover(Cited):
    says: str
    curve_number: CurveNumbers
    evaporation: Annotated[float, Field(ge=0, le=1.5)]
    grass: Share
    resistance: Annotated[float, Field(ge=0, le=2)]


class Season(Cited):
    tmin: Annotated[float, Field(ge=-70, le=60)]
    tmax: Annotated[float, Field(ge=-70, le=60)]
    months: Annotated[list[Month], Field(min_length=1)]

    @model_validator(mode="after")
    def _in_order(self) -> "Season":
        if self.tmin > self.tmax:
            raise WrongError("fault.tmin_above")
        return self


class Help(Cited):
    says: str
    thicknesses: list[Positive]
    spread: Positive | None = None
    spread_per_thickness: Positive | None = None
    density: Positive | None = None
    stays: bool = False


class SnowKind(Cited):
    says: str
    density: Three
    packs: Three
    fills: Three
    heaps: bool
    crush: Three
    slides: Three
    fresh: bool
    thawing: bool


class UnderSnow(Cited):
    says: str
    drives_on: Literal["film", "packed", "ice", "left"]
    left: Annotated[float, Field(ge=0, le=1)]
    edge: Three
    surface: str
    practice: bool
    over: bool


class Reach(Cited):
    share: ShareThree


class Belly(Cited):
    hangs: Positive
    drags: Positive
    clear: Positive

    @model_validator(mode="after")
    def _in_order(self) -> "Belly":
        if not self.hangs <= self.drags <= self.clear:
            raise WrongError("fault.hangs_drags")
        return self


class BellyRules(_Strict):
    tyres: Belly
    tracks: Belly


class SnowRules(_Strict):
    belly: BellyRules
    deeper_tyres: Steps
    kinds: dict[str, SnowKind]
    under: dict[str, UnderSnow]
    reach: dict[Literal["tyres plain", "tyres snow", "tracks block", "tracks winter"], Reach]
    values: dict[str, Value]


class ThreePerGear(_Strict):
    tyres: Three
    tracks: Three


class Slick(Cited):
    says: str
    traction: ThreePerGear
    rain: Annotated[float, Field(gt=0, le=0.1)]


class Tread(Cited):
    says: str
    film: Share
    grips: Share
    slick: Share


class Grip(Cited):
    traction: ThreePerGear
    rolling: ThreePerGear
    bank: Share = 0.0


class CareSurface(Cited):
    harm: Literal["scuffs", "marks", "shifts", "tears", "drags"]
    care_from: Positive
    lateral: PerGear
    remedy: str


class Turn(Cited):
    radius: Annotated[float, Field(ge=0, le=100)]
    says: str


class ByCountry(_Strict):
    US: Words
    UK: Words
    EU: Words


# The words a job file has for each hazard.
HAZARDS = {
    "septic": ("none", "kept off", "on the route"),
    "services": ("none", "marked", "unmarked"),
    "trench": ("none", "protected", "unprotected"),
    "power_lines": ("none", "clear", "near"),
}


Law = Literal["US", "UK", "EU", "other"]
"""Whose rules of the road and of power lines hold; "other" where none are known here."""


class Country(Cited):
    """What a country brings with it where nobody says otherwise."""

    units: Literal["us", "metric"]
    currency: Annotated[str, Field(min_length=1, max_length=3)]
    paper: Literal["letter", "A4"]
    dates: Literal["month first", "day first"]
    law: Law


class Forbidden(Cited):
    """What ends a job, and what would lift it; by country where the rules differ."""

    hazard: Literal["septic", "services", "trench", "power_lines"]
    word: str
    says: Words
    lift: Words | ByCountry

    @model_validator(mode="after")
    def _can_be_said(self) -> "Forbidden":
        if self.word not in HAZARDS[self.hazard]:
            raise WrongError("fault.no_such_word", hazard=self.hazard, names=HAZARDS[self.hazard])
        return self

    def lifted_by(self, law: Law) -> str:
        """What would lift it there; where we know no law, what holds in the EU: ask the owner."""
        return self.lift if isinstance(self.lift, str) else str(getattr(self.lift, "EU" if law == "other" else law))


class CareRules(_Strict):
    forbidden: dict[str, Forbidden]
    surfaces: dict[str, CareSurface]
    repair_chance: ChanceSteps
    turns: dict[Literal["wide", "ordinary", "on the spot", "on boards"], Turn]
    values: dict[str, Value]


class Terrain(_Strict):
    k_c: Value
    k_phi: Value
    n: Value


class PullRules(_Strict):
    edge_friction: Value
    oil_share: Value
    turning_hold: Value
    drive_efficiency: Value
    working_speed: Value
    slip: Value
    shear_modulus: Value
    packs: Value
    mud_rolls: Value
    mud_weighs: Value
    overnight: Value
    cold_snow: Value
    under_water: Value
    rain_trace: Value
    terrain: Terrain


class DryWet(_Strict):
    dry: Positive
    wet: Positive


class Goods(Cited):
    says: str
    pallet: Three | None = None
    density: DryWet | None = None

    @model_validator(mode="after")
    def _comes_somehow(self) -> "Goods":
        if (self.pallet is None) == (self.density is None):
            raise WrongError("fault.pallet_or_density")
        return self


class Material(Cited):
    fill: Three
    swell: Annotated[float, Field(ge=0, le=2)]
    density: Positive


class CycleRules(_Strict):
    values: dict[str, Value]
    materials: dict[str, Material]


class RoadRule(Cited):
    says: str
    securement: str
    heavy_kg: Annotated[float, Field(ge=0, le=1e6)]
    four_always: bool


class TieDowns(Cited):
    model_config = ConfigDict(extra="allow", frozen=True, allow_inf_nan=False, strict=True)
    __pydantic_extra__: dict[str, Positive] = Field(init=False)

    @property
    def limits(self) -> dict[str, float]:
        """Working load limits by name, kg."""
        return dict(self.__pydantic_extra__)


class Transport(_Strict):
    US: RoadRule
    UK: RoadRule
    EU: RoadRule
    values: dict[str, Value]
    tie_downs: TieDowns


class Service(Cited):
    """A public service. decimals: to which a position is rounded before it is sent. days: how long an answer is kept
    before it is asked again."""

    url: Annotated[str, Field(pattern="^https?://")]
    says: Words
    terms: Words
    decimals: Annotated[int, Field(ge=1, le=6)]
    days: Annotated[float, Field(ge=0)]


class Services(_Strict):
    us_soil: Service
    soil_grid: Service
    us_forecast: Service
    us_daily: Service
    norway: Service
    open_meteo: Service
    patience: dict[str, Value]


class Try(Cited):
    try_: str = Field(alias="try")


class Rules(_Strict):
    """All tables, by the name of their file."""

    sources: dict[str, Source]
    countries: dict[str, Country]
    equations: dict[str, Equation]
    soils: dict[str, Soil]
    field_tests: dict[str, FieldTest]
    strength: dict[str, Value]
    sand: dict[Literal["dry", "moist", "wet", "flooded"], Sand]
    presumptive: dict[str, Presumptive]
    surfaces: dict[str, Surface]
    wear: Wear
    tyres: dict[str, Value]
    limits: Limits
    tipping: dict[str, TippingRule]
    attachments: dict[str, dict[Literal["stand-on", "compact"], AttachmentSize]]
    machine_classes: dict[str, MachineClass]
    work: dict[str, Work]
    first: dict[str, First]
    questions: dict[str, Question]
    drainage: dict[str, Drainage]
    covers: dict[str, Cover]
    seasons: dict[Literal["winter", "spring", "summer", "autumn"], Season]
    wetness: dict[str, Value]
    weather: dict[str, Value]
    survey: dict[str, Value]
    services: Services
    learning: dict[str, Value]
    helps: dict[str, Help]
    snow: SnowRules
    traction: dict[str, Grip]
    slick: dict[Literal["severe", "moderate", "slight"], Slick]
    tread: dict[Literal["new", "half", "bald", "packed"], Tread]
    pull: PullRules
    care: CareRules
    money: dict[str, Value]
    cautions: dict[str, Caution]
    walkaround: dict[str, Step]
    owning: dict[str, Value]
    on_site: dict[str, Value]
    goods: dict[str, Goods]
    cycles: CycleRules
    transport: Transport
    fitting: dict[str, Caution]
    nothing_happens: dict[str, Try]
    glossary: dict[str, Term]
    physics: dict[str, Constants]

    def cite(self, row: Cited) -> str:
        """Where a row comes from, in one line."""
        if row.source is None:
            return row.status
        prefix = "" if row.status == "published" else f"{row.status}, after "
        return f"{prefix}{self.origin(row)}"

    def origin(self, row: Cited) -> str:
        """The source of a row with its place; empty where it names none."""
        if row.source is None:
            return ""
        place = f", {row.where}" if row.where else ""
        second = "; read second-hand" if self.sources[row.source].read == "second-hand" else ""
        second += f"; {row.note}" if row.note and row.status == "published" else ""
        return f"{self.sources[row.source].citation}{place}{second}"
