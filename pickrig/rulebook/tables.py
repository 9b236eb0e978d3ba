"""The shape of every table in rules/."""

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

Status = Literal["published", "common practice", "from memory", "our judgment"]
Three = tuple[float, float, float]
Positive = Annotated[float, Field(gt=0)]


class _Strict(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)


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
            raise ValueError('status "published" needs a source')
        return self


class Value(Cited):
    value: float
    low: float | None = None
    high: float | None = None
    unit: str
    says: str


class Moistures(_Strict):
    dry: Positive
    moist: Positive
    wet: Positive


class Bands(_Strict):
    dry: tuple[float, float]
    moist: tuple[float, float]
    wet: tuple[float, float]


class Texture(_Strict):
    sand: Positive
    clay: Positive
    organic: Positive
    group: Literal["A", "B", "C", "D"]
    readily_evaporable: Positive


class Soil(Cited):
    name: str
    also: list[str] = []
    family: Literal["fine", "gravel", "sand", "not assessed"]
    presumptive: str
    drained_friction: float | None = None
    moisture: Moistures | None = None
    clay: tuple[float, float] | None = None
    dry_density: Positive | None = None
    texture: Texture | None = None
    cone_index_psi: Bands | None = None
    instead: str = ""

    @model_validator(mode="after")
    def _has_what_its_family_needs(self) -> "Soil":
        needs = {
            "fine": ("moisture", "dry_density", "texture"),
            "gravel": ("cone_index_psi",),
            "sand": (),
            "not assessed": ("instead",),
        }[self.family]
        missing = [name for name in needs if not getattr(self, name)]
        if missing:
            raise ValueError(f"a soil of family {self.family!r} needs {', '.join(missing)}")
        return self


class Result(_Strict):
    says: str
    kpa: tuple[Positive, Positive]


class FieldTest(Cited):
    how: str
    misreading: Annotated[float, Field(gt=1)]
    results: dict[str, Result] = {}
    groups: dict[str, list[str]] = {}
    grip: dict[str, tuple[float, float]] = {}


class SandRow(Cited):
    traction: Three
    rolling: Three


class SandState(_Strict):
    tyres: SandRow
    tracks: SandRow


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
    low: Positive
    high: Positive
    says: str


class TyreKinds(Cited):
    pneumatic: Positive
    foam_filled: Positive = Field(alias="foam-filled")
    solid: Positive
    says: str


class HardShare(Cited):
    tracks: Positive
    says: str


class Steps(Cited):
    points: list[float]
    factors: list[Positive]
    says: str


class Curves(Cited):
    wide: Positive
    ordinary: Positive
    on_the_spot: Positive = Field(alias="on the spot")
    says: str


class Saying(Cited):
    says: str


class Wear(_Strict):
    life_range: LifeRange
    tyre_kind: TyreKinds
    tyre_speed: Steps
    tyre_load: Steps
    tyre_curves: Curves
    track_curves: Saying
    hard_share_caution: HardShare


class ChanceLimit(Cited):
    go: float
    caution: float
    says: str


class ClearanceLimit(Cited):
    go_m: Positive
    caution_m: Positive
    says: str


class ComfortLimit(Cited):
    comfort: Positive
    over_side_m: Positive
    says: str


class SlopeLimit(Cited):
    go: Positive
    caution: Positive
    across: Positive
    level: Positive
    says: str


class RatioLimit(Cited):
    value: Positive
    says: str


class Limits(_Strict):
    floats: ChanceLimit
    fits: ClearanceLimit
    lifts: ComfortLimit
    climbs: SlopeLimit
    floor_ratio: RatioLimit
    close_call: RatioLimit


class TippingRule(Cited):
    share: Positive
    says: str


class Box(_Strict):
    """The space that holds snow: height and depth, m, over the width."""

    height: Positive
    depth: Positive


class ToolHydraulics(_Strict):
    """What a tool asks of the couplers: from least to most."""

    flow_gpm: tuple[Positive, Positive]
    pressure_psi: tuple[Positive, Positive]
    case_drain: bool = False
    free_return: bool = False
    pins: int = 0
    torque: Positive | None = None


class AttachmentSize(Cited):
    mass: Positive
    load_centre: Positive
    centre: Positive
    projection: Positive
    drop: Positive
    width: Positive | Literal["machine"]
    carries: bool = True
    box: Box | None = None
    hydraulics: ToolHydraulics | None = None


class ClassTracks(_Strict):
    width: Positive
    contact_length: Positive
    road_wheels: int


class ClassTyres(_Strict):
    diameter: Positive
    width: Positive
    wheelbase: Positive


class ClassAuxiliary(_Strict):
    flow: Positive
    pressure: Positive


class MachineClass(Cited):
    frame: Literal["stand-on", "compact"]
    mass: Positive
    width: Positive
    height: Positive
    length: Positive
    clearance: Positive
    power: Positive
    tipping_load: Positive
    lift_height: Positive
    rear_share: Positive
    coupler_reach_low: Positive
    coupler_reach_high: Positive
    rear_overhang: Positive
    centre_height: Positive
    gauge: Positive
    travel_speed: Positive
    dump_reach: Positive
    bucket_capacity: Positive
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
    carries: bool = True
    usual_area: Positive | None = None
    drags: float = 0.0
    why: str


class Question(Cited):
    """A question in the answer's words, and its value curve: points in SI of the dimension, values 0 to 1."""

    asks: str
    short: str
    care: str
    legend: str
    swing: str
    dimension: str
    points: list[float]
    values: list[float]
    says: str


class Caution(Cited):
    says: str
    when: list[str]


class Step(Cited):
    look: str
    stop: str = ""
    when: list[str] = []


class Term(Cited):
    says: str


class Equation(Cited):
    says: str


class Drainage(Cited):
    says: str
    factor: Positive
    ponding: Positive
    sheds: float


class CurveNumbers(_Strict):
    A: Positive
    B: Positive
    C: Positive
    D: Positive


class Cover(Cited):
    says: str
    curve_number: CurveNumbers
    evaporation: Positive
    grass: float


class Season(Cited):
    tmin: float
    tmax: float
    months: list[int]


class Help(Cited):
    says: str
    thicknesses: list[Positive]
    spread: Positive | None = None
    spread_per_thickness: Positive | None = None
    density: Positive | None = None


class SnowKind(Cited):
    says: str
    density: Three
    crush: Three
    slides: Three
    fresh: bool
    thawing: bool


class UnderSnow(Cited):
    says: str
    drives_on: Literal["film", "packed", "ice", "left"]
    left: float
    edge: Three
    surface: str
    practice: bool
    over: bool


class Reach(Cited):
    share: Three


class Belly(Cited):
    hangs: Positive
    drags: Positive
    clear: Positive


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


class Grip(Cited):
    traction: ThreePerGear
    rolling: ThreePerGear


class CareSurface(Cited):
    harm: Literal["scuffs", "marks", "shifts", "tears", "drags"]
    care_from: Positive
    lateral: PerGear
    remedy: str


class Turn(Cited):
    radius: float
    says: str


class Forbidden(Cited):
    hazard: Literal["septic", "services", "trench", "power_lines"]
    word: str
    says: str
    lift: str


class CareRules(_Strict):
    forbidden: dict[str, Forbidden]
    surfaces: dict[str, CareSurface]
    repair_chance: Steps
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
            raise ValueError("goods come by the pallet or by volume: give one of pallet and density")
        return self


class Material(Cited):
    fill: Three
    swell: float
    density: Positive


class CycleRules(_Strict):
    values: dict[str, Value]
    materials: dict[str, Material]


class RoadRule(Cited):
    says: str
    securement: str
    heavy_kg: float
    four_always: bool


class TieDowns(Cited):
    model_config = ConfigDict(extra="allow", frozen=True, allow_inf_nan=False)
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


class Try(Cited):
    try_: str = Field(alias="try")


class Rules(_Strict):
    """All tables, by the name of their file."""

    sources: dict[str, Source]
    equations: dict[str, Equation]
    soils: dict[str, Soil]
    field_tests: dict[str, FieldTest]
    strength: dict[str, Value]
    sand: dict[Literal["dry", "damp"], SandState]
    presumptive: dict[str, Presumptive]
    surfaces: dict[str, Surface]
    wear: Wear
    tyres: dict[str, Value]
    limits: Limits
    tipping: dict[str, TippingRule]
    attachments: dict[str, dict[Literal["stand-on", "compact"], AttachmentSize]]
    machine_classes: dict[str, MachineClass]
    work: dict[str, Work]
    questions: dict[str, Question]
    drainage: dict[str, Drainage]
    covers: dict[str, Cover]
    seasons: dict[Literal["winter", "spring", "summer", "autumn"], Season]
    wetness: dict[str, Value]
    helps: dict[str, Help]
    snow: SnowRules
    traction: dict[str, Grip]
    pull: PullRules
    care: CareRules
    money: dict[str, Value]
    cautions: dict[str, Caution]
    walkaround: dict[str, Step]
    owning: dict[str, Value]
    goods: dict[str, Goods]
    cycles: CycleRules
    transport: Transport
    fitting: dict[str, Caution]
    nothing_happens: dict[str, Try]
    glossary: dict[str, Term]

    def cite(self, row: Cited) -> str:
        """Where a row comes from, in one line."""
        if row.source is None:
            return row.status
        place = f", {row.where}" if row.where else ""
        second = "; read second-hand" if self.sources[row.source].read == "second-hand" else ""
        second += f"; {row.note}" if row.note and row.status == "published" else ""
        prefix = "" if row.status == "published" else f"{row.status}, after "
        return f"{prefix}{self.sources[row.source].citation}{place}{second}"
