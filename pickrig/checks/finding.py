"""The answer to one question about one machine."""

from dataclasses import dataclass
from typing import Literal

Verdict = Literal["go", "caution", "no-go", "unknown"]


@dataclass(frozen=True)
class Demand:
    """What a machine asks of the ground in one state: a mark on the picture of ground strength."""

    state: str
    strength: float  # rating cone index, Pa
    chance: float


@dataclass(frozen=True)
class Finding:
    """Verdict with its numbers. value and limit are SI in the dimension `unit` names (see quantities).

    margin: value over limit or the like, above 1 good. chance: where the answer is uncertain. working: lines a reader
    can redo by hand. beside: views shown beside the answer that did not decide it. remedy: what would make it a go.
    """

    check: str
    verdict: Verdict
    unit: str
    says: str
    value: float | None = None
    limit: float | None = None
    margin: float | None = None
    chance: float | None = None
    working: tuple[str, ...] = ()
    beside: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    depends_on: tuple[str, ...] = ()
    remedy: str = ""
    demands: tuple[Demand, ...] = ()
    provided: str = ""  # a condition the verdict hangs on, to be seen to before the machine is sent
    follows: str = ""  # the question whose no it follows from, where it says nothing of its own
    hours: float | None = None  # s the work takes, where that was asked
