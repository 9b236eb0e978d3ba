"""Twenty grounds, all equally likely: those that hold stand on the line, the others lie sunk in it."""

from dataclasses import dataclass

from pickrig.report.words.figures import OF

CELL, LINE, STANDS, SUNK = 16.8, 26.0, 20.0, 35.0  # in the units of the drawing; y grows downward
WIDTH, HEIGHT = OF * CELL, 54.0


@dataclass(frozen=True)
class Dot:
    x: float
    y: float
    sunk: bool


@dataclass(frozen=True)
class Grounds:
    """holding: how many of the twenty hold."""

    holding: int

    @property
    def dots(self) -> tuple[Dot, ...]:
        places = ((round((n + 0.5) * CELL, 1), n >= self.holding) for n in range(OF))
        return tuple(Dot(x, SUNK if sunk else STANDS, sunk) for x, sunk in places)

    @property
    def line(self) -> str:
        """The ground's line as a path: level, and down round each that is sunk."""
        told = [f"M0 {LINE}"]
        for dot in self.dots:
            if dot.sunk:
                told.append(f"L{dot.x - 7.1:.1f} {LINE}Q{dot.x} {LINE + 33.5:.1f} {dot.x + 7.1:.1f} {LINE}")
        return " ".join([*told, f"L{WIDTH:.1f} {LINE}"])
