"""Everything that can go wrong for a user, one statement each."""

from collections.abc import Callable, Sequence

from pickrig.facts import Said, Value

speak: list[Callable[[Said], str]] = []
"""How a fault becomes a sentence: the package puts the words in, which lie above everything that can go wrong."""


class PickrigError(Exception):
    """Something the user can mend. `problems` holds one statement for each fault, which says what was read, what is
    accepted and how to mend it; the error as a text says them in English."""

    def __init__(self, problems: Said | Sequence[Said]) -> None:
        self.problems = [problems] if isinstance(problems, Said) else list(problems)
        super().__init__(self.problems)

    def __str__(self) -> str:
        return "\n".join(speak[0](problem) if speak else problem.key for problem in self.problems)


class QuantityError(PickrigError):
    """A text is not a quantity, or not one of the right kind. Its statement fits behind the text."""


class WrongError(ValueError):
    """What a validator finds wrong with a value, as a statement that fits behind its key."""

    def __init__(self, key: str | Said, /, **values: Value) -> None:
        self.said = key if isinstance(key, Said) else Said(key, **values)
        super().__init__(self.said.key)


class InputError(PickrigError):
    """An input file cannot be read or does not make sense."""


class RulesError(InputError):
    """A rules folder cannot be read or does not make sense."""


class OutputError(PickrigError):
    """A report cannot be written."""
