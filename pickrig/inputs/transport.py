"""Trucks and trailers by their plates, and which of them take the machine."""

from typing import Annotated, Literal

from pydantic import Field, model_validator

from pickrig.errors import WrongError
from pickrig.inputs.fields import AnyCase, Length, LoadMass, Name, RoadMass, Strict, Text


class Truck(Strict):
    """A towing vehicle, kg. mass: on the scale with driver and fuel. gvwr, gcwr: ratings of it, and of it with
    a trailer."""

    name: Annotated[Name, Field(examples=['"Flatbed one-ton"'])]
    note: Text = ""
    mass: RoadMass
    gvwr: RoadMass
    gcwr: RoadMass | None = None
    tow_rating: RoadMass | None = None
    hitch_rating: LoadMass | None = None

    @model_validator(mode="after")
    def _plates_agree(self) -> "Truck":
        if self.mass > self.gvwr:
            raise WrongError("fault.over_gvwr")
        if self.gcwr is not None and self.gcwr < self.gvwr:
            raise WrongError("fault.gcwr_low")
        return self


class Trailer(Strict):
    """A trailer, kg and m. mass: empty, on the scale. Positions behind the coupler. A "gooseneck" hitch carries more
    of it."""

    name: Annotated[Name, Field(examples=['"Tilt deck, 14,000 lb"'])]
    note: Text = ""
    mass: RoadMass
    gvwr: RoadMass
    axle_rating: RoadMass | None = None
    hitch: Annotated[Literal["ball", "pintle", "gooseneck"], AnyCase] = "ball"
    axles_at: Length | None = None
    centre_at: Length | None = None
    deck_from: Length | None = None
    deck_length: Length | None = None
    deck_height: Length | None = None
    ramp_length: Length | None = None
    tie_down: str | None = None
    tie_downs: Annotated[int, Field(ge=1, le=20, strict=True)] = 4

    @model_validator(mode="after")
    def _plate_agrees(self) -> "Trailer":
        if self.mass >= self.gvwr:
            raise WrongError("fault.empty_over_gvwr")
        return self


class Haul(Strict):
    """How the machine gets there. extras: chains, fuel and tools on the trailer besides the machine and its
    attachments. tool_apart: the attachment comes on another truck."""

    truck: Name
    trailer: Name
    extras: LoadMass | None = None
    tool_apart: Annotated[bool, Field(strict=True)] = False
