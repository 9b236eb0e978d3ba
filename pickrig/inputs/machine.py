"""A machine by its plate and a tape measure."""

from typing import Annotated, Literal

from pydantic import Field, model_validator

from pickrig.inputs.fields import (
    Inflation,
    Length,
    Life,
    LoadMass,
    MachineMass,
    Money,
    Name,
    Power,
    SmallLength,
    SomeShare,
    Strict,
    Text,
)

Kind = Literal["skid steer", "tracked loader", "stand-on loader", "articulated loader"]


class Tracks(Strict):
    """Rubber tracks. contact_length: first to last ground roller. gauge: between track centres."""

    width: SmallLength | None = None
    contact_length: Length | None = None
    road_wheels: Annotated[int, Field(ge=4, le=60)] | None = None
    gauge: Length | None = None
    lug_pitch: SmallLength | None = None
    lug_height: SmallLength = 0.025
    set_price: Money | None = None
    change_hours: Life | None = None


class Tyres(Strict):
    """Four driven tyres. gauge: between tyre centres."""

    kind: Literal["pneumatic", "foam-filled", "solid"] = "pneumatic"
    diameter: SmallLength | None = None
    width: SmallLength | None = None
    section_height: SmallLength | None = None
    inflation: Inflation | None = None
    wheelbase: Length | None = None
    gauge: Length | None = None
    chains: bool = False
    set_price: Money | None = None
    change_hours: Life | None = None

    @model_validator(mode="after")
    def _is_a_tyre(self) -> "Tyres":
        if self.diameter is not None and self.width is not None and self.width >= self.diameter:
            raise ValueError("has a tyre wider than its diameter; width is the section, diameter the whole tyre")
        return self


class MachineEntry(Strict):
    """A machine as the fleet file has it; anything not given may be filled from its size class."""

    name: Annotated[Name, Field(examples=['"Tracked 75"'])]
    kind: Annotated[Kind, Field(examples=['"tracked loader"'])]
    size_class: str | None = None
    note: Text = ""
    mass: MachineMass | None = None
    width: Length | None = None
    height: Length | None = None
    length: Length | None = None
    clearance: SmallLength | None = None
    power: Power | None = None
    tipping_load: LoadMass | None = None
    tipping_share: SomeShare | None = None
    rated_bucket: LoadMass | None = None
    lift_limit: LoadMass | None = None
    lift_height: Length | None = None
    rear_share: SomeShare | None = None
    coupler_reach_low: Length | None = None
    coupler_reach_high: Length | None = None
    rear_overhang: Length | None = None
    outer_radius: Length | None = None
    inner_radius: Length | None = None
    hydrostatic: bool = True
    tracks: Tracks | None = None
    tyres: Tyres | None = None

    @model_validator(mode="after")
    def _stands_on_one_thing(self) -> "MachineEntry":
        if (self.tracks is None) == (self.tyres is None):
            raise ValueError("stands on tracks or on tyres: give exactly one of [machine.tracks] and [machine.tyres]")
        if self.kind == "tracked loader" and self.tracks is None:
            raise ValueError("is a tracked loader without tracks; give [machine.tracks]")
        if self.kind in ("skid steer", "articulated loader") and self.tyres is None:
            raise ValueError(f"is a {self.kind} without tyres; give [machine.tyres], or call it a tracked loader")
        return self


class Machine(MachineEntry):
    """A machine with its gaps filled. `filled`: which keys came from the size class. Still None: nobody knows."""

    frame: Literal["stand-on", "compact"] = "compact"
    filled: tuple[str, ...] = ()

    @property
    def gear(self) -> Literal["tracks", "tyres"]:
        return "tracks" if self.tracks else "tyres"
