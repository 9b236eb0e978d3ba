"""The way in, stretch by stretch: how long, how steep, on what."""

from collections.abc import Sequence
from dataclasses import dataclass

from pickrig.plans.pick.record import OnTheWay

WIDTH = 336.0
_USUAL, _LEAST = 15.0, 0.12  # m of a stretch nobody measured; share of the picture that the shortest gets


@dataclass(frozen=True)
class Piece:
    """One stretch: from its left end to its right, y growing downward."""

    number: int
    x: float
    y: float
    to_x: float
    to_y: float
    soft: bool
    boards: bool
    sunk: bool


@dataclass(frozen=True)
class RoutePicture:
    pieces: tuple[Piece, ...]
    tall: float


def route_picture(way: Sequence[OnTheWay]) -> RoutePicture | None:
    """Widths go with the lengths, slopes are twice as steep as they are."""
    if not way:
        return None
    lengths = [one.length or _USUAL for one in way]
    shares = [max(length / sum(lengths), _LEAST) for length in lengths]
    x, y, pieces = 0.0, 0.0, []
    for number, (one, share) in enumerate(zip(way, shares, strict=True), 1):
        to_x = x + WIDTH * share / sum(shares)
        to_y = y - 2 * one.grade * (to_x - x)
        pieces.append((number, x, y, to_x, to_y, one))
        x, y = to_x, to_y
    top = min(min(y, to_y) for _, _, y, _, to_y, _ in pieces) - 34
    return RoutePicture(
        tuple(
            Piece(
                number,
                round(x, 1),
                round(y - top, 1),
                round(to_x, 1),
                round(to_y - top, 1),
                one.soft,
                one.boards,
                one.verdict != "go",
            )
            for number, x, y, to_x, to_y, one in pieces
        ),
        round(24 - top, 1),
    )
