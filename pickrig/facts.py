"""What there is to say before it is said: a key with typed values, in SI, in no language.

A statement is a key of the catalogues in `pickrig.report.words` and what goes into its sentence. A plain text among the
values is somebody's own name and is never translated; everything else says by its type how it is written.
"""

import datetime as dt
from dataclasses import dataclass
from typing import Literal, TypeAlias


@dataclass(frozen=True)
class Quantity:
    """A number in the SI unit of its dimension (see `pickrig.quantities`). system: "us" or "metric" where it is told in
    those units whoever reads it."""

    value: float
    dimension: str
    system: Literal["us", "metric"] | None = None


def small(metres: float) -> Quantity:
    """A length of a part, which nobody gives in feet."""
    return Quantity(metres, "small length")


def number(value: float, decimals: int) -> Quantity:
    """A number without a unit, with this many decimals."""
    return Quantity(float(value), f"number {decimals}")


@dataclass(frozen=True)
class Chance:
    """How often something holds, 0 to 1. limit: one it must not seem to reach where it falls short of it."""

    value: float
    limit: float | None = None


@dataclass(frozen=True)
class Ruled:
    """A text as a table of the rules has it, whatever the language the rules are written in."""

    text: str


@dataclass(frozen=True)
class Term:
    """One of a fixed set of words that the catalogues know: the two running gears, how a thing is had."""

    key: str


@dataclass(frozen=True)
class Key:
    """A key of a file, such as "ground.wetness", which the catalogues know by what it stands for."""

    name: str


@dataclass(frozen=True)
class Citation:
    """Where a number comes from: how much of it is published (a status of the rules), and the source, which stays in
    its own language."""

    status: str
    text: str = ""


Value: TypeAlias = "Quantity | Chance | Ruled | Term | Key | Citation | int | str | dt.date | tuple[Value, ...] | Said"
Symbols: TypeAlias = tuple[tuple[str, Value], ...]


@dataclass(frozen=True, init=False)
class Said:
    """One statement: a key of the catalogues, and the values its sentence names."""

    key: str
    values: Symbols

    def __init__(self, key: str, /, **values: Value) -> None:
        object.__setattr__(self, "key", key)
        object.__setattr__(self, "values", tuple(values.items()))

    def value(self, name: str) -> Value:
        """The value of this name. Raises KeyError."""
        return dict(self.values)[name]


@dataclass(frozen=True, init=False)
class Step(Said):
    """One line of the working: an equation by its key, and its symbols with their values, what comes out last."""


Statements: TypeAlias = tuple[Said, ...]
