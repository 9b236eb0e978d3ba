"""The record of an answer. Reports show it; nothing is worked out after it."""

import datetime as dt
from dataclasses import dataclass, replace
from typing import Literal

from pickrig.checks import CHECKS
from pickrig.checks.finding import Finding
from pickrig.checks.ground.site import Site
from pickrig.checks.snow.grip import View
from pickrig.facts import Citation, Ruled, Said, Statements, Value
from pickrig.inputs import Job, Machine
from pickrig.plans.yard.record import Kept, Offset
from pickrig.rulebook.tables import Question


@dataclass(frozen=True)
class Standing:
    """One machine's answers and score. parts: points by question, in the order of the weights, summing to score.

    score: 0 to 100. first_share: share of weightings that keep the ranking of the questions under which it leads.
    """

    machine: Machine
    findings: tuple[Finding, ...]
    parts: tuple[float, ...]
    score: float
    first_share: float = 0.0

    @property
    def name(self) -> str:
        return self.machine.name

    @property
    def usable(self) -> bool:
        """No question answers no, and none that gates is open for want of the machine's own figures.

        What the job leaves open (a gate nobody measured) is open for every machine alike and becomes a proviso.
        """
        return all(f.verdict != "no-go" for f in self.findings) and not self.open_questions

    @property
    def open_questions(self) -> tuple[Finding, ...]:
        """Gating questions that cannot be answered because the fleet file lacks a figure."""
        return tuple(
            f
            for f in self.findings
            if f.verdict == "unknown" and CHECKS[f.check].gates and f.depends_on[0].startswith("machine.")
        )

    def bare(self) -> "Standing":
        """The same without the findings' accounts."""
        return replace(self, findings=tuple(finding.bare() for finding in self.findings))

    def finding(self, check: str) -> Finding:
        return next(f for f in self.findings if f.check == check)


@dataclass(frozen=True)
class Lead:
    """One question's part in why the pick stands before a rival, in points.

    shown: the points to print; rounded so that the parts shown add up to the difference shown.
    """

    check: str
    points: float
    shown: float


@dataclass(frozen=True)
class Flip:
    """A value of one input at which another machine is picked. by: "knock-out" or "score". says: the change."""

    input: str
    now: Value
    at: Value
    then_pick: str | None
    by: str
    says: Said


@dataclass(frozen=True)
class DayAhead:
    """One day: rain in m, the machine that would be picked then, and each machine's chance that the ground holds it."""

    date: dt.date
    rain: float
    pick: str | None
    chances: dict[str, float | None]


@dataclass(frozen=True)
class TestWorth:
    """What a test tonight is worth, $, and the share of its results that would change what to send by cost."""

    test: str
    value: float
    changes: float
    says: Said


@dataclass(frozen=True)
class GroundHelp:
    """Something laid over the ground for one machine, and the chance with it. thickness: m, mass: kg, where it comes by
    the ton; area: m2. route: m it is laid along, the job's own where `given`. wanted: chance from which it is enough.
    """

    machine: str
    help: Ruled
    thickness: float | None
    area: float
    mass: float | None
    route: float
    given: bool
    chance: float
    wanted: float
    cited: Citation

    @property
    def enough(self) -> bool:
        return self.chance >= self.wanted


@dataclass(frozen=True)
class Before:
    """What the books alone say of one machine: how often the ground holds it, and strength over need in the middle."""

    chance: float | None
    margin: float | None


def by_strength(floats: Finding, site: Site) -> bool:
    """Whether the strength of the job's own ground over a need decides: not on clean sand or hard ground, in frost, or
    on a stretch of the way."""
    other = floats.stretch or floats.provided is not None or floats.margin is None
    return site.family in ("fine", "gravel") and not other


@dataclass(frozen=True)
class ByLog:
    """What the log of the yard did. before: by the books alone. offsets: what was learned that bears on this job.
    soils: names of its soils by key. kept: how the words and forecasts of this yard came true. teaches: what an outcome
    of this job would make of the chance. selection: whose outcomes it cannot know."""

    says: Statements
    before: dict[str, Before]
    offsets: tuple[Offset, ...]
    soils: dict[str, str]
    kept: tuple[Kept, ...]
    teaches: Statements
    selection: Statements


@dataclass(frozen=True)
class SnowPull:
    """One machine in one view, middle values: pull at the pusher's edge and force of a full box, N; s to clear."""

    machine: str
    gear: str
    traction: float
    pull: float
    full: float
    seconds: float | None


@dataclass(frozen=True)
class SnowView:
    """One way of reckoning grip in snow: "force", "reach" or "practice". counted: the one the answer goes by."""

    view: View
    pick: str | None
    pulls: tuple[SnowPull, ...]
    counted: bool


@dataclass(frozen=True)
class Cost:
    """What the job costs with one machine, $: its hours, its rubber, the chance of bogging, what it may spoil."""

    machine: str
    hours: float
    work: float
    rubber: float
    bogging: float
    repair: float

    @property
    def total(self) -> float:
        return self.work + self.rubber + self.bogging + self.repair


@dataclass(frozen=True)
class Interval:
    """Weight of one question now, and the range in which the pick stays before the runner-up."""

    check: str
    weight: float
    low: float
    high: float


@dataclass(frozen=True)
class Robustness:
    """Shares of weightings in which each usable machine leads: in this order of the questions, in any, with the ground
    drawn along. none_holds: share of grounds that hold none. beaten: machine and the one that is as good or better
    throughout."""

    in_order: dict[str, float]
    in_any: dict[str, float]
    with_ground: dict[str, float]
    none_holds: float
    intervals: tuple[Interval, ...]
    says: Statements
    beaten: dict[str, str]


@dataclass(frozen=True)
class CatchUp:
    """What would make a rival the pick: single answers, nearest first; behind: points it is short of."""

    machine: str
    ways: Statements
    behind: float


@dataclass(frozen=True)
class Moved:
    """How a machine moved against the usual weights: its place then and now, points, and the question that did most."""

    machine: str
    was: int
    now: int
    points: float
    through: str
    through_points: float


@dataclass(frozen=True)
class Advice:
    """A text of the rules that goes with the answer, and where it comes from."""

    says: Ruled
    cited: Citation


@dataclass(frozen=True)
class Look:
    """One place to look at before the machine starts, and what stops it, if anything there does. part: its key."""

    look: Ruled
    stop: Ruled
    part: str


TierName = Literal["send", "bet", "wait"]


@dataclass(frozen=True)
class Tier:
    """How firmly the pick is sent, and what goes with it: what to find out first, what it costs, when to stop. bet:
    chance of holding from which it is worth one."""

    name: TierName
    says: Statements
    bet: float


@dataclass(frozen=True)
class InTheGate:
    """The pick before the narrowest opening, m. tool: width of the attachment. gear: one of its tracks or tyres."""

    opening: float
    width: float
    height: float
    tool: float
    headroom: float | None
    gear_width: float
    gear_height: float
    stands_on: bool

    @property
    def clearance(self) -> float:
        """A side; under zero where it does not fit."""
        return (self.opening - max(self.width, self.tool)) / 2


@dataclass(frozen=True)
class OnTheArms:
    """One load, what may be carried and what tips it, kg."""

    load: float
    safe: float
    tips: float


@dataclass(frozen=True)
class OnTheLot:
    """A lot of snow, m: by lanes, each in this many loads from this many ends."""

    way: str
    along: float
    across: float
    lanes: int
    loads: int
    ends: int


@dataclass(frozen=True)
class OnTheWay:
    """A stretch of the way in: what it is called, m, rise over run (under zero where loads only go down), and what the
    ground says there."""

    name: Value
    length: float | None
    grade: float
    soft: bool
    boards: bool
    verdict: str
    said: Said


@dataclass(frozen=True)
class Scene:
    """What the pictures are drawn from; None, or nothing, where there is nothing to draw."""

    gate: InTheGate | None
    arms: OnTheArms | None
    lot: OnTheLot | None
    way: tuple[OnTheWay, ...]


@dataclass(frozen=True)
class Recommendation:
    """The whole answer: pick or none, why, what would change it, everything behind it."""

    job: Job
    attachment: str
    questions: dict[str, Question]  # those that were asked
    told: Statements  # the job as it was read
    site: Site
    answer: Statements
    tier: Tier
    close_call: bool
    pick: Standing | None
    scene: Scene | None
    runner_up: Standing | None
    ranking: tuple[Standing, ...]
    weights: dict[str, float]
    weighed: Statements
    reasons: tuple[Lead, ...]
    price: Said | None
    robust: Robustness | None
    hangs_on: Said | None
    costs: tuple[Cost, ...]
    money_says: Statements
    catch_ups: tuple[CatchUp, ...]
    moved: tuple[Moved, ...]
    why_over: dict[str, tuple[Lead, ...]]
    flips: tuple[Flip, ...]
    days: tuple[DayAhead, ...]
    if_rain: Statements
    better_day: Said | None
    by_soil: Statements  # what would go on each soil it may be, where nobody knows it
    worth: tuple[TestWorth, ...]
    helps: tuple[GroundHelp, ...]
    snow: tuple[SnowView, ...]
    snow_decided: Statements
    provisos: tuple[Statements, ...]
    cautions: tuple[Advice, ...]
    walkaround: tuple[Look, ...]
    fitting: tuple[Advice, ...]
    nothing_happens: tuple[Ruled, ...]
    today: Statements  # the operator's limits for this job
    glossary: tuple[tuple[Ruled, Ruled], ...]  # term and meaning
    assumed: Statements
    by_log: ByLog | None
    seed: int
    draws: int
