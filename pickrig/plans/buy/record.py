"""The record of the owner's question. Reports show it; nothing is worked out after it."""

from dataclasses import dataclass
from statistics import fmean

from pickrig.facts import Said, Statements
from pickrig.inputs import Machine
from pickrig.inputs.year import Year
from pickrig.plans.buy.owning import Hourly, Yearly


@dataclass(frozen=True)
class WorkDays:
    """Days of the months of one work on which one machine could work: in the middle year, the worst and the best; and
    in the mean year on the softest and on the firmest fifth of the lots."""

    work: str
    of: float
    middle: float
    worst: float
    best: float
    soft: float
    firm: float


@dataclass(frozen=True)
class Option:
    """One way to get one machine: "own" it, or "rent" it.

    gains: $ it adds, in each year of the record, to what the fleet earns after its hours are paid. costs: $ of owning
    or renting in those years. hours on the site, meter (those it runs) and jobs: a year, in the mean. an_hour:
    everything an hour on the site costs,
    operator and all. worth_now: today's worth of what it leaves over the years a machine is kept.
    """

    machine: Machine
    how: str
    gains: tuple[float, ...]
    costs: tuple[float, ...]
    hours: float
    meter: float
    jobs: dict[str, float]
    hourly: Hourly
    yearly: Yearly | None
    an_hour: float
    worth_now: float

    @property
    def gain(self) -> float:
        return fmean(self.gains)

    @property
    def cost(self) -> float:
        return fmean(self.costs)

    @property
    def nets(self) -> tuple[float, ...]:
        return tuple(gain - cost for gain, cost in zip(self.gains, self.costs, strict=True))

    @property
    def net(self) -> float:
        """$ it leaves in the mean year."""
        return self.gain - self.cost

    @property
    def name(self) -> str:
        return self.machine.name


@dataclass(frozen=True)
class PavedLine:
    """What two options leave a year as the part of the year's hours that is on pavement goes from none to all.

    crossing: that part, where the rival takes over for good; None where it never does. now: the year's own part.
    an_hour: $ by which an hour of the rival's is then worth more, on pavement alone.
    """

    shares: tuple[float, ...]
    best: tuple[float, ...]
    rival: tuple[float, ...]
    names: tuple[str, str]
    now: float
    crossing: float | None
    ahead: float
    an_hour: float


@dataclass(frozen=True)
class Pair:
    """Two machines together, bought or rented: what is to be found at once, what they leave a year, and what the work
    still undone would pay."""

    options: tuple[Option, Option]
    price: float
    net: float
    undone: float


@dataclass(frozen=True)
class Bar:
    """One input turned both ways: net a year of the best at its low and its high end. input: "jobs", "price", "rent",
    "resale", "fuel", "load", "repair", "rate", or "years", the record's worst to its best."""

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
    why: Statements


@dataclass(frozen=True)
class Purchase:
    """The whole answer: what to do, why, what would change it."""

    year: Year
    years: tuple[int, ...]
    answer: Said
    beside: Statements
    reasons: Statements
    changes: Statements
    best: Option | None
    chosen: tuple[Option, ...]  # what to have: the best, or two together
    options: tuple[Option, ...]
    pairs: tuple[Pair, ...]
    days: dict[str, tuple[WorkDays, ...]]
    owned_curve: tuple[tuple[float, float], ...]  # h a year, and $ an hour of owning it, all but the operator
    months: dict[str, tuple[float, ...]]  # workable share of every month on the work it matters to, by machine
    months_of: str
    paved: PavedLine | None
    tornado: tuple[Bar, ...]
    break_even_of: str  # the machine the break-even hours are of
    rent_or_buy: Statements
    break_even: tuple[BreakEven, ...]
    missed: tuple[Missed, ...]
    out: tuple[str, ...]  # machines that cannot be counted, for want of a deal
    assumed: Statements
    sources: Statements
    seed: int
    draws: int
