"""Where a thing stops to hold, by halving."""

from collections.abc import Callable


def halve(holds: Callable[[float], bool], good: float, bad: float, times: int) -> tuple[float, float]:
    """The last value known to hold and the first known not to, between one that holds and one that does not, after so
    many halvings."""
    for _ in range(times):
        middle = (good + bad) / 2
        good, bad = (middle, bad) if holds(middle) else (good, middle)
    return good, bad
