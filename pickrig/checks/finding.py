"""The answer to one question about one machine."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Literal

from pickrig.facts import Said, Statements

Verdict = Literal["go", "caution", "no-go", "unknown"]
WORST_FIRST: tuple[Verdict, ...] = ("no-go", "unknown", "caution", "go")


@dataclass(frozen=True)
class Demand:
    """What a machine asks of the ground in one state: a mark on the picture of ground strength."""

    loaded: bool
    strength: float  # rating cone index, Pa
    chance: float


@dataclass(frozen=True)
class Account:
    """What stands behind a verdict. says: the finding first, then what else bears on it. remedy: what would make it a
    go. working: steps a reader can redo by hand. beside: views shown beside the answer that did not decide it."""

    says: Statements
    remedy: Statements = ()
    working: Statements = ()
    beside: Statements = ()
    sources: Statements = ()


def _untold() -> Account:
    return Account(())


@dataclass(frozen=True)
class Finding:
    """Verdict with its numbers. value and limit are SI in the dimension `unit` names (see quantities).

    margin: value over limit or the like, above 1 good. chance: where the answer is uncertain. account: gives reasons
    when they are asked for, which the search for what would change the answer never does.
    """

    check: str
    verdict: Verdict
    unit: str
    value: float | None = None
    limit: float | None = None
    margin: float | None = None
    chance: float | None = None
    depends_on: tuple[str, ...] = ()
    demands: tuple[Demand, ...] = ()
    provided: Said | None = None  # a condition the verdict hangs on, to be seen to before the machine is sent
    follows: str = ""  # the question whose no it follows from, where it says nothing of its own
    seconds: float | None = None  # the work takes, where that was asked
    stretch: int = 0  # of the way in, from 1, where it was found; 0 for the ground of the job
    account: Callable[[], Account] = field(default=_untold, compare=False, repr=False)

    @cached_property
    def told(self) -> Account:
        """The account, worked out once."""
        return self.account()

    @property
    def says(self) -> Statements:
        return self.told.says

    @property
    def remedy(self) -> Statements:
        return self.told.remedy

    def bare(self) -> "Finding":
        """The same without its account, which keeps alive every draw it was made from."""
        return replace(self, account=_untold)
