"""What the log of a yard says of one job: carried with the job, so that every question sees the same."""

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True)
class Wear:
    """A set of tracks or tyres. life: against the trade's figure, with its range of one in ten either way; all 1 where
    it was read once only. left: share of its life still there. looks: what else somebody saw, as "sprocket_sharp"."""

    life: float = 1.0
    low: float = 1.0
    high: float = 1.0
    measured: bool = False
    left: float | None = None
    looks: tuple[str, ...] = ()


@dataclass(frozen=True)
class Learned:
    """ground: logarithm of strength against the books, by soil, "" for one nobody knows. machines: logarithm of what
    each carries against its data sheet. hours: what work takes against the books, a ratio. wear: of the tracks or tyres
    of each machine that was measured."""

    ground: Mapping[str, float] = field(default_factory=dict)
    machines: Mapping[str, float] = field(default_factory=dict)
    hours: float = 1.0
    wear: Mapping[str, Wear] = field(default_factory=dict)
