"""The record of the owner's question. Reports show it; nothing is worked out after it."""

from dataclasses import dataclass

from pickrig.inputs import Machine
from pickrig.inputs.year import Year
from pickrig.plans.owning import Hourly, Yearly
from pickrig.quantities import System


@dataclass(frozen=True)
class WorkDays:
    """Days of the months of one work on which one machine could work: in the middle year, the worst and the best."""

    work: str
    of: float
    middle: float
    worst: float
    best: float


@dataclass(frozen=True)
class Option:
    """One way to get one machine: "own" it, or "rent" it. gain: $ a year it adds to what the fleet earns after hours.

    cost: $ a year of owning or renting. net: what is left of the gain. jobs: done a year, by work. dry, wet: net in
    the driest and in the wettest year of the record. an_hour: everything a productive hour costs, operator and all.
    """

    machine: Machine
    how: str
    gain: float
    cost: float
    hours: float
    jobs: dict[str, float]
    hourly: Hourly
    yearly: Yearly | None
    wet: float
    dry: float
    an_hour: float

    @property
    def net(self) -> float:
        return self.gain - self.cost

    @property
    def name(self) -> str:
        return self.machine.name


@dataclass(frozen=True)
class Pair:
    """Two machines bought together, and what they leave a year."""

    names: tuple[str, str]
    price: float
    net: float


@dataclass(frozen=True)
class Bar:
    """One input turned both ways: net a year of the best at its low and its high end."""

    input: str
    low: float
    high: float

    @property
    def width(self) -> float:
        return abs(self.high - self.low)


@dataclass(frozen=True)
class BreakEven:
    """Hours a year from which owning beats renting by the day, week or month; None where it never does."""

    span: str
    rent: float  # $ an hour at that offer
    hours: float | None


@dataclass(frozen=True)
class Missed:
    """Jobs of one work a year that stay undone, what they would pay, and why no machine here does more of them."""

    work: str
    jobs: float
    of: float
    pays: float
    why: str


@dataclass(frozen=True)
class Purchase:
    """The whole answer: what to do, why, what would change it."""

    year: Year
    units: System
    years: tuple[int, ...]
    answer: str
    reasons: tuple[str, ...]
    changes: tuple[str, ...]
    best: Option | None
    options: tuple[Option, ...]
    pairs: tuple[Pair, ...]
    days: dict[str, tuple[WorkDays, ...]]
    months: dict[str, tuple[float, ...]]  # workable share of every month on the work it matters to, by machine
    months_of: str
    tornado: tuple[Bar, ...]
    break_even: tuple[BreakEven, ...]
    missed: tuple[Missed, ...]
    out: dict[str, str]  # machines that cannot be counted, and why
    base: float
    assumed: tuple[str, ...]
    sources: tuple[str, ...]
    seed: int
    draws: int
