"""A machine by its plate and a tape measure."""

from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import Field, model_validator

from pickrig.errors import WrongError
from pickrig.facts import Said
from pickrig.inputs.fields import (
    SI,
    AnyCase,
    Base,
    Body,
    Capacity,
    CreepSpeed,
    DriveSpeed,
    Force,
    Grade,
    Height,
    Inflation,
    Length,
    Life,
    LoadMass,
    MachineMass,
    Name,
    OilFlow,
    OilPressure,
    Power,
    Price,
    Share,
    SmallLength,
    SomeShare,
    Strict,
    Text,
    TippingShare,
    Width,
)
from pickrig.reading import Document
from pickrig.rulebook import Rules, load_rules

Kind = Annotated[Literal["skid steer", "tracked loader", "stand-on loader", "articulated loader"], AnyCase]


TreadState = Annotated[Literal["new", "half", "bald"], AnyCase]


class Tracks(Strict):
    """Rubber tracks. contact_length: first to last ground roller. tread_state: what wear has left of the lugs."""

    width: SmallLength | None = None
    contact_length: Base | None = None
    road_wheels: Annotated[int, Field(ge=4, le=60)] | None = None
    lug_pitch: SmallLength | None = None
    lug_height: SmallLength = 0.025
    tread: Annotated[Literal["block", "winter"], AnyCase] = "block"
    tread_state: TreadState | None = None
    set_price: Price | None = None
    change_hours: Life | None = None


class Tyres(Strict):
    """Four driven tyres. tread_state: what wear has left of the lugs."""

    kind: Annotated[Literal["pneumatic", "foam-filled", "solid"], AnyCase] = "pneumatic"
    diameter: SmallLength | None = None
    width: SmallLength | None = None
    section_height: SmallLength | None = None
    inflation: Inflation | None = None
    wheelbase: Base | None = None
    plies: Annotated[int, Field(ge=2, le=40, strict=True)] | None = None
    chains: bool = False
    tread: Annotated[Literal["plain", "snow"], AnyCase] = "plain"
    tread_state: TreadState | None = None
    rated_load: LoadMass | None = None
    set_price: Price | None = None
    change_hours: Life | None = None

    @model_validator(mode="after")
    def _is_a_tyre(self) -> "Tyres":
        if self.diameter is not None and self.width is not None and self.width >= self.diameter:
            raise WrongError("fault.tyre_wide")
        return self


class OverTyres(Strict):
    """Tracks laid over the tyres: what both weigh, the width of one, and how long it lies on the ground, the wheelbase
    where it is not given."""

    mass: LoadMass
    width: SmallLength
    contact_length: Base | None = None
    set_price: Price | None = None


class Auxiliary(Strict):
    """The hydraulic supply at the couplers for attachments."""

    flow: OilFlow | None = None
    high_flow: OilFlow | None = None
    pressure: OilPressure | None = None
    case_drain: bool | None = None
    free_return: bool | None = None
    pins: Annotated[int, Field(ge=0, le=30, strict=True)] | None = None

    @model_validator(mode="after")
    def _high_is_higher(self) -> "Auxiliary":
        if self.flow is not None and self.high_flow is not None and self.high_flow < self.flow:
            raise WrongError("fault.high_flow")
        return self


class Cylinder(Strict):
    """One of a pair of tilt cylinders, as its drawing has it."""

    bore: SmallLength
    rod: SmallLength
    pressure: OilPressure
    count: Annotated[int, Field(ge=1, le=4)] = 2

    @model_validator(mode="after")
    def _rod_fits(self) -> "Cylinder":
        if self.rod >= self.bore:
            raise WrongError("fault.rod")
        return self


class Counterweight(Strict):
    """Hung behind: its mass, and how far behind the rear axle (or the rear end of the contact length)."""

    mass: LoadMass
    behind: Length


class Deal(Strict):
    """What a machine costs to own or to rent. list_price: of the same machine new. age and meter: years and
    hours run at purchase.

    resale: share of the price left when it is sold. rents are a day, a week and a month.
    """

    price: Price | None = None
    list_price: Price | None = None
    age: Annotated[float, Field(ge=0, le=40)] = 0.0
    meter: Life | None = None
    resale: Share | None = None
    life: Life | None = None
    rent_day: Price | None = None
    rent_week: Price | None = None
    rent_month: Price | None = None
    rent_move: Price | None = None

    @model_validator(mode="after")
    def _is_a_deal(self) -> "Deal":
        rents = (self.rent_day, self.rent_week, self.rent_month)
        if self.price is None and all(rent is None for rent in rents):
            raise WrongError("fault.no_deal")
        if self.price is not None and self.list_price is not None and self.price > self.list_price:
            raise WrongError("fault.above_list")
        told = [rent for rent in rents if rent is not None]
        if told != sorted(told):
            raise WrongError("fault.rents")
        return self


class MachineEntry(Strict):
    """A machine as the fleet file has it; anything not given may be filled from its size class. tool_widths: of its own
    attachments, by their names."""

    name: Annotated[Name, Field(examples=['"Tracked 75"'])]
    kind: Annotated[Kind, Field(examples=['"tracked loader"'])]
    size_class: Annotated[str, AnyCase] | None = None
    note: Text = ""
    mass: MachineMass | None = None
    width: Width | None = None
    height: Height | None = None
    length: Body | None = None
    clearance: SmallLength | None = None
    power: Power | None = None
    tipping_load: LoadMass | None = None
    tipping_share: TippingShare | None = None
    rated_bucket: LoadMass | None = None
    lift_limit: LoadMass | None = None
    lift_height: Length | None = None
    rear_share: SomeShare | None = None
    coupler_reach_low: Length | None = None
    coupler_reach_high: Length | None = None
    rear_overhang: Length | None = None
    centre_height: Length | None = None
    gauge: Width | None = None
    max_grade: Grade | None = None
    max_grade_across: Grade | None = None
    outer_radius: Length | None = None
    inner_radius: Length | None = None
    hydrostatic: bool = True
    hour_cost: Price | None = None
    travel_speed: DriveSpeed | None = None
    creep_speed: CreepSpeed | None = None
    drive_pull: Force | None = None
    arms: Annotated[Literal["vertical", "radial"], AnyCase] | None = None
    dump_height: Length | None = None
    dump_reach: Length | None = None
    bucket_capacity: Capacity | None = None
    tool_widths: dict[str, Width] = Field(default_factory=dict)
    coupler: Annotated[Literal["universal", "stand-on", "its own"], AnyCase] | None = None
    auxiliary: Auxiliary = Auxiliary()
    tilt: Cylinder | None = None
    counterweight: Counterweight | None = None
    deal: Deal | None = None
    tracks: Tracks | None = None
    tyres: Tyres | None = None
    over_tyres: OverTyres | None = None

    @model_validator(mode="after")
    def _stands_on_one_thing(self) -> "MachineEntry":
        if (self.tracks is None) == (self.tyres is None):
            raise WrongError("fault.one_gear")
        if self.kind == "tracked loader" and self.tracks is None:
            raise WrongError("fault.no_tracks")
        if self.kind in ("skid steer", "articulated loader") and self.tyres is None and self.over_tyres is None:
            raise WrongError("fault.no_tyres", kind=self.kind)
        return self

    @model_validator(mode="after")
    def _hangs_together(self) -> "MachineEntry":
        fault = misfit(self)
        if fault is not None:
            raise WrongError("fault.measure_again", what=fault)
        return self


def misfit(machine: MachineEntry) -> Said | None:
    """What figures contradict each other, if any do."""
    for low, high, why in _orders(machine):
        if low is not None and high is not None and low > high:
            return why
    return None


def _orders(m: MachineEntry) -> list[tuple[float | None, float | None, Said]]:
    """Pairs of figures of which the first is never the larger, and what to say when it is."""
    tracks, tyres = m.tracks or Tracks(), m.tyres or Tyres()
    pair = 2 * tracks.width if tracks.width is not None else None
    return [
        (m.coupler_reach_low, m.coupler_reach_high, Said("misfit.reach")),
        (m.gauge, m.width, Said("misfit.gauge")),
        (m.centre_height, m.height, Said("misfit.centre")),
        (m.inner_radius, m.outer_radius, Said("misfit.radius")),
        (pair, m.width, Said("misfit.pair")),
        (tracks.contact_length, m.length, Said("misfit.contact")),
        (tyres.wheelbase, m.length, Said("misfit.wheelbase")),
        (m.tipping_load, None if m.mass is None else 1.5 * m.mass, Said("misfit.tipping")),
        *_over(m, tyres),
    ]


def _over(m: MachineEntry, tyres: Tyres) -> list[tuple[float | None, float | None, Said]]:
    """Of tracks over the tyres: they lie at least from axle to axle, side by side, and weigh less than the machine."""
    if m.over_tyres is None:
        return []
    over = m.over_tyres
    return [
        (
            tyres.wheelbase,
            over.contact_length if over.contact_length is not None else tyres.wheelbase,
            Said("misfit.over_short"),
        ),
        (over.contact_length, m.length, Said("misfit.contact")),
        (2 * over.width, m.width, Said("misfit.pair")),
        (over.mass, None if m.mass is None else 0.4 * m.mass, Said("misfit.over_heavy")),
    ]


class Machine(MachineEntry):
    """A machine with its gaps filled. `filled`: which keys came from the size class. Still None: nobody knows."""

    frame: Literal["stand-on", "compact"] = "compact"
    filled: tuple[str, ...] = ()

    def on_its_tracks(self) -> "Machine":
        """With the tracks that lie over its tyres: it stands on them, with a wheel at each end and none between."""
        over, tyres = self.over_tyres, self.tyres
        if over is None or tyres is None:
            return self
        lies = over.contact_length if over.contact_length is not None else tyres.wheelbase
        belt = {"width": over.width, "contact_length": lies, "road_wheels": 4, "set_price": over.set_price}
        tracks = Tracks.model_validate(belt, context=SI)
        spans = 0.0 if self.gauge is None else self.gauge + over.width
        update = {
            "tracks": tracks,
            "tyres": None,
            "mass": None if self.mass is None else self.mass + over.mass,
            "width": None if self.width is None else max(self.width, spans),
        }
        return self.model_copy(update=update)

    @classmethod
    def of(cls, *, rules: Rules | None = None, **keys: Any) -> "Machine":
        """A machine from Python: the keys of a fleet file, texts with units or bare numbers in SI, what is left open
        filled from its size class. Raises InputError."""
        from pickrig.inputs.fleet import fleet_of

        data = {"title": "Fleet", "machine": [keys]}
        return fleet_of(Document(Path("fleet"), "", data, si=True), rules or load_rules()).machines[0]

    @property
    def gear(self) -> Literal["tracks", "tyres"]:
        return "tracks" if self.tracks else "tyres"

    @property
    def gaps(self) -> tuple[str, ...]:
        """Figures that the questions need and nobody gave, the plate's first."""
        own = ["tipping_load", "mass", "power", "width", "height", "length", "clearance", "lift_height"]
        own += ["coupler_reach_low", "coupler_reach_high", "rear_overhang"]
        own += ["outer_radius", "inner_radius"] if self.kind == "articulated loader" else []
        geared = {"tracks": ("width", "contact_length", "road_wheels"), "tyres": ("diameter", "width", "wheelbase")}
        gear = self.tracks or self.tyres
        return (
            *(name for name in own if getattr(self, name) is None),
            *(f"{self.gear}.{name}" for name in geared[self.gear] if getattr(gear, name) is None),
        )
