"""Lines over a scale, such as the cost of an hour against the hours of a year."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import floor, log10

LEFT, RIGHT, TOP, BOTTOM = 56.0, 330.0, 14.0, 190.0
WIDTH, HEIGHT = 336.0, 226.0
_TICKS = 5
DASHES = ("", "7 5", "2 4", "9 4 2 4")


@dataclass(frozen=True)
class Line:
    """A named line as a path; dash: how it is broken, so that no color tells it from another."""

    name: str
    path: str
    dash: str
    end: float


@dataclass(frozen=True)
class Tick:
    at: float
    text: str


@dataclass(frozen=True)
class Plot:
    """at: a place on the x axis that is marked, None for none."""

    lines: tuple[Line, ...]
    across: tuple[Tick, ...]
    up: tuple[Tick, ...]
    at: float | None


def plot(
    lines: Sequence[tuple[str, Sequence[float], Sequence[float]]],
    say_x: Callable[[float], str],
    say_y: Callable[[float], str],
    most: float | None = None,
    now: float | None = None,
) -> Plot:
    """Each line with its name, x and y. most: of the y axis, where higher values are not of interest."""
    xs = [x for _, line, _ in lines for x in line]
    ys = [y for _, _, line in lines for y in line]
    low, high = min(0.0, *ys), min(max(ys), most) if most is not None else max(ys)
    x_ticks, y_ticks = _round_ticks(min(xs), max(xs)), _round_ticks(low, high)
    x_from, x_to, y_from, y_to = min(xs), max(xs), min(low, y_ticks[0]), max(high, y_ticks[-1])

    def across(x: float) -> float:
        return round(LEFT + (RIGHT - LEFT) * (x - x_from) / ((x_to - x_from) or 1), 1)

    def up(y: float) -> float:
        return round(BOTTOM - (BOTTOM - TOP) * (min(y, y_to) - y_from) / ((y_to - y_from) or 1), 1)

    drawn = tuple(
        Line(
            name,
            "M" + " L".join(f"{across(x)} {up(y)}" for x, y in zip(line_x, line_y, strict=True)),
            DASHES[n % len(DASHES)],
            up(line_y[-1]),
        )
        for n, (name, line_x, line_y) in enumerate(lines)
    )
    return Plot(
        drawn,
        tuple(Tick(across(x), say_x(x)) for x in x_ticks if x_from <= x <= x_to),
        tuple(Tick(up(y), say_y(y)) for y in y_ticks),
        None if now is None else across(now),
    )


def _round_ticks(low: float, high: float) -> list[float]:
    """Round values that span a range."""
    span = (high - low) or 1.0
    size = 10.0 ** floor(log10(span / _TICKS))
    step = next(size * n for n in (1, 2, 5, 10) if span / (size * n) <= _TICKS)
    first = floor(low / step) * step
    count = int((high - first) / step) + 1
    return [first + n * step for n in range(count + 1) if first + n * step <= high + 0.5 * step]
