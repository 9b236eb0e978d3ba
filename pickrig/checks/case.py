"""One machine on one job: what every question is asked about."""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, TypeVar

from pickrig import quantities
from pickrig.checks.ground.draws import Luck
from pickrig.checks.ground.site import Site
from pickrig.inputs import Job, Machine, Trailer, Truck
from pickrig.rulebook import Rules

Result = TypeVar("Result")


class MissingError(Exception):
    """A figure nobody gave, by its key in the machine, or in the job where `of_the_job` says so; `how` to get it."""

    def __init__(self, key: str, of_the_job: bool = False, how: str = "") -> None:
        self.key = key
        self.of_the_job = of_the_job
        self.how = how
        super().__init__(key)


def need(value: float | None, key: str) -> float:
    """The value, or MissingError."""
    if value is None:
        raise MissingError(key)
    return value


@dataclass(frozen=True)
class Case:
    """brief: only verdicts and values are wanted (the search for flips), so working and remedies are left out."""

    job: Job
    machine: Machine
    site: Site
    rules: Rules
    units: quantities.System = "us"
    brief: bool = False
    truck: Truck | None = None
    trailer: Trailer | None = None
    memory: dict[object, Any] = field(default_factory=dict, compare=False, repr=False)

    def once(self, key: object, work: Callable[[], Result]) -> Result:
        """What several questions of one case share, worked out once."""
        if key not in self.memory:
            self.memory[key] = work()
        found: Result = self.memory[key]
        return found

    def show(self, value: float, dimension: str) -> str:
        """A quantity in the reader's units; nothing where nobody will read it."""
        return "" if self.brief else quantities.show(value, dimension, self.units)

    def cite(self, *equations: str) -> tuple[str, ...]:
        """Where equations of rules/equations.toml come from."""
        return tuple(self.rules.cite(self.rules.equations[name]) for name in equations)

    @property
    def luck(self) -> Luck:
        """The run's random numbers, the same for every machine."""
        return self.site.luck

    @property
    def attachment(self) -> str:
        return self.job.task.attachment or self.rules.work[self.job.task.kind].attachment

    @property
    def passes(self) -> int:
        given = self.job.task.passes
        return self.rules.work[self.job.task.kind].passes if given is None else {"all day": 50, "once": 1}[given]
