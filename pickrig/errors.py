"""Everything that can go wrong for a user, one statement each."""

from collections.abc import Callable, Sequence
from typing import TypeAlias

from pickrig.facts import Said

Problem: TypeAlias = "str | Said"
"""One fault, in words or as a statement."""

speak: list[Callable[[Said], str]] = []
"""How a fault becomes a sentence: the package puts the words in, which lie above everything that can go wrong."""


def sentence(problem: Problem) -> str:
    """A fault as a sentence in English; its key where there are no words."""
    if isinstance(problem, str):
        return problem
    return speak[0](problem) if speak else problem.key


class PickrigError(Exception):
    """Something the user can mend. The message says what was read, what is accepted and how to mend it."""


class QuantityError(PickrigError):
    """A text is not a quantity, or not one of the right kind."""


class InputError(PickrigError):
    """An input file cannot be read or does not make sense. `problems` holds one statement for each fault."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems = list(problems)
        super().__init__(self.problems)

    def __str__(self) -> str:
        return "\n".join(sentence(problem) for problem in self.problems)


class RulesError(InputError):
    """A rules folder cannot be read or does not make sense."""


class OutputError(PickrigError):
    """A report cannot be written."""
