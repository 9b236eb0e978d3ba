"""What was learned, to be shown."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Offset:
    """One thing learned: of what, and which; the middle of its logarithm and its spread; entries that bear on it."""

    of: str
    name: str
    middle: float
    spread: float
    jobs: int


@dataclass(frozen=True)
class Kept:
    """How a word of this dispatcher, or the weather of his files, came true: jobs that went without help, how many were
    to hold by what was said before, and how many did."""

    word: str
    jobs: int
    said: float
    held: int
