"""The people of the yard: what each runs, and what each may drive."""

from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from pickrig.errors import WrongError
from pickrig.inputs.fields import Name, Strict, Text, WorkDay

_CLASSES = ("none", "A", "B", "B96", "BE", "C1E", "CE")
_NO_CLASS = ("none", "class d", "d", "ordinary")


def _class(value: Any) -> Any:
    """A licence class whatever its case; the ordinary licence of a state is none for trucks."""
    if not isinstance(value, str):
        return value
    word = value.strip().lower().removeprefix("cdl ").removeprefix("group ")
    read = "none" if word in _NO_CLASS else word.removeprefix("class ").upper()
    if read not in _CLASSES:
        raise WrongError("fault.licence", classes=tuple(f'"{name}"' for name in _CLASSES))
    return read


Licence = Annotated[str, BeforeValidator(_class)]


class Person(Strict):
    """Somebody of the yard. runs: machines or kinds of machine; every one where none is named. licence: for the rigs;
    who has none given drives no truck. hours: of a day, the board's where none are given."""

    name: Annotated[Name, Field(examples=['"Operator one"'])]
    note: Text = ""
    runs: Annotated[list[Name], Field(max_length=200, examples=['["skid steer", "Wide-track 68"]'])] | None = None
    licence: Licence | None = None
    hours: WorkDay | None = None

    def knows(self, machine: str, kind: str) -> bool:
        """Whether this person runs it."""
        return self.runs is None or any(one.lower() in (machine.lower(), kind) for one in self.runs)
