"""One machine on one job: what every question is asked about."""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, TypeVar

from pickrig.checks.cited import source
from pickrig.checks.ground.draws import Luck
from pickrig.checks.ground.site import Site
from pickrig.facts import Said, Statements
from pickrig.inputs import Job, Machine, Trailer, Truck
from pickrig.inputs.job import attachment_of
from pickrig.rulebook import Rules
from pickrig.rulebook.tables import AttachmentSize, Law

Result = TypeVar("Result")


class MissingError(Exception):
    """A figure nobody gave, by its key in the machine, or in the job where `how` says how to get it."""

    def __init__(self, key: str, how: Said | None = None) -> None:
        self.key = key
        self.how = how
        super().__init__(key)


def need(value: float | None, key: str) -> float:
    """The value, or MissingError."""
    if value is None:
        raise MissingError(key)
    return value


@dataclass(frozen=True)
class Case:
    """memory: what several questions share, worked out once."""

    job: Job
    machine: Machine
    site: Site
    rules: Rules
    truck: Truck | None = None
    trailer: Trailer | None = None
    memory: dict[object, Any] = field(default_factory=dict, compare=False, repr=False)

    def once(self, key: object, work: Callable[[], Result]) -> Result:
        """What several questions of one case share, worked out once."""
        if key not in self.memory:
            self.memory[key] = work()
        found: Result = self.memory[key]
        return found

    def cite(self, *equations: str) -> Statements:
        """Where equations of rules/equations.toml come from."""
        return tuple(source(self.rules, self.rules.equations[name]) for name in equations)

    @property
    def luck(self) -> Luck:
        """The run's random numbers, the same for every machine."""
        return self.site.luck

    @property
    def attachment(self) -> str:
        return attachment_of(self.job.task, self.rules)

    @property
    def law(self) -> Law:
        """Whose rules of the road and of power lines hold."""
        return self.rules.countries[self.job.country].law

    @property
    def tool(self) -> AttachmentSize:
        """The fitted attachment in the size for this machine's frame."""
        return self.rules.attachments[self.attachment][self.machine.frame]

    @property
    def tool_width(self) -> float:
        """Width of the fitted attachment, m: the job's, the machine's own, else the usual. Raises MissingError."""
        return self._given_width or self._usual_width

    @property
    def _given_width(self) -> float | None:
        given = self.job.task.attachment_width
        return given if given is not None else self.machine.tool_widths.get(self.attachment)

    @property
    def _usual_width(self) -> float:
        width = self.tool.width
        return need(self.machine.width, "width") if width == "machine" else width

    @property
    def wider(self) -> float:
        """Width of the attachment over that of one of its usual size; what it weighs goes with it."""
        given = self._given_width
        return 1.0 if given is None else given / self._usual_width
