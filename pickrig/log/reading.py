"""What somebody read off a machine on the walk around: its meter, and how far its gear is worn."""

from dataclasses import asdict, dataclass, field, fields
from typing import Any

from pickrig.log.entry import new_id, now

TENSIONS = ("right", "slack", "tight")
SPROCKETS = ("new", "hooked", "sharp")
ROLLERS = ("sound", "leaking", "seized")
EDGES = ("good", "worn", "through")


@dataclass(frozen=True)
class Reading:
    """meter: h. depth: of lug or tread at its lowest, m. fresh: a new set was put on just before. tension, sprocket,
    rollers, edge: one of the words above, "" where nobody looked. struck: when it was taken out."""

    machine: str
    day: str
    meter: float | None = None
    depth: float | None = None
    fresh: float = 0.0
    tension: str = ""
    sprocket: str = ""
    rollers: str = ""
    edge: str = ""
    note: str = ""
    struck: str = ""
    entered: str = field(default_factory=now)
    id: str = field(default_factory=new_id)

    def as_row(self) -> dict[str, Any]:
        """Its columns."""
        return asdict(self)


READING_COLUMNS = tuple(one.name for one in fields(Reading))
READING_NUMBERS = ("meter", "depth", "fresh")
WORDS = {"tension": TENSIONS, "sprocket": SPROCKETS, "rollers": ROLLERS, "edge": EDGES}
