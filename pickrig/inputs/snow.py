"""Snow to be cleared: the lot, the snow, and what is under it."""

from math import sqrt
from typing import Annotated, Literal

from pydantic import Field, model_validator

from pickrig.errors import WrongError
from pickrig.inputs.fields import AnyCase, Area, Density, Distance, Duration, SnowDepth, Strict


class Snow(Strict):
    """A lot to clear, in SI. length: along the push, to the edge where the snow is stacked. windrow: where an angled
    blade casts it, to lie there. beyond: how far past the edge it has to be carried, where none may lie nearer.
    dock: length of walls and doors it is dragged back from first. machines: like it, working side by side.

    under None: nobody has looked. grip: how far the answer goes beyond computed force: to who reaches the pavement, to
    the trade's word on tracks.
    """

    depth: Annotated[SnowDepth, Field(examples=['"8 in"'])]
    kind: str | None = None
    density: Density | None = None
    under: str | None = None
    length: Distance | None = None
    breadth: Distance | None = None
    area: Area | None = None
    stack: Annotated[Literal["one end", "both ends"], AnyCase] = "one end"
    windrow: Annotated[Literal["one side", "both sides"], AnyCase] | None = None
    beyond: Distance | None = None
    dock: Distance | None = None
    machines: Annotated[int, Field(ge=1, le=10, strict=True)] = 1
    window: Duration | None = None
    grip: Annotated[Literal["practice", "reach", "force"], AnyCase] = "practice"

    @model_validator(mode="after")
    def _has_a_size(self) -> "Snow":
        given = [name for name in ("length", "breadth", "area") if getattr(self, name) is not None]
        if not given or given in (["length"], ["breadth"]):
            raise WrongError("fault.lot_size")
        if len(given) == 3:
            raise WrongError("fault.lot_thrice")
        return self

    @property
    def sides(self) -> tuple[float, float]:
        """Length along the push and breadth, m; a lot given by its area alone is square."""
        if self.area is None:
            return self.length or 0.0, self.breadth or 0.0
        if self.length is not None:
            return self.length, self.area / self.length
        if self.breadth is not None:
            return self.area / self.breadth, self.breadth
        return sqrt(self.area), sqrt(self.area)
