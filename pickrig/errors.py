"""Everything that can go wrong for a user, one sentence each."""


class PickrigError(Exception):
    """Something the user can mend. The message says what was read, what is accepted and how to mend it."""


class QuantityError(PickrigError):
    """A text is not a quantity, or not one of the right kind."""


class InputError(PickrigError):
    """An input file cannot be read or does not make sense. `problems` holds one sentence for each fault."""

    def __init__(self, problems: list[str]) -> None:
        self.problems = problems
        super().__init__("\n".join(problems))


class RulesError(InputError):
    """A rules folder cannot be read or does not make sense."""


class OutputError(PickrigError):
    """A report cannot be written."""
