"""A lot of snow from above, to scale: its lanes, the way they are pushed, and the pile."""

from dataclasses import dataclass

from pickrig.plans.pick.record import OnTheLot

WIDTH = 336.0
_ROOM, _TALLEST, _PILE = 300.0, 110.0, 22.0
_THIN = 20.0  # a walk of which nothing would be seen is not drawn


@dataclass(frozen=True)
class LotPicture:
    """The lot's corner and size; lanes: lines between them. piles: outlines of the banks. both: whether pushed both
    ways."""

    x: float
    y: float
    width: float
    height: float
    lanes: tuple[float, ...]
    arrows: tuple[float, ...]
    piles: tuple[str, ...]
    both: bool
    tall: float


def lot_picture(lot: OnTheLot | None) -> LotPicture | None:
    if lot is None:
        return None
    scale = min(_ROOM / lot.across, _TALLEST / lot.along)
    width, height = round(lot.across * scale, 1), round(lot.along * scale, 1)
    if min(width, height) < _THIN:
        return None
    left, top = round((WIDTH - width) / 2, 1), _PILE + 4
    step = width / lot.lanes
    both = lot.ends == 2
    piled = lot.way == "push"
    piles = [_bank(left, top, width, -1)] if piled else []
    piles += [_bank(left, top + height, width, 1)] if piled and both else []
    return LotPicture(
        x=left,
        y=top,
        width=width,
        height=height,
        lanes=tuple(round(left + n * step, 1) for n in range(1, lot.lanes)),
        arrows=tuple(round(left + width * share, 1) for share in (0.2, 0.5, 0.8)),
        piles=tuple(piles),
        both=both,
        tall=top + height + (_PILE if both and piled else 0) + 24,
    )


def _bank(left: float, edge: float, width: float, way: int) -> str:
    """A row of heaps along the edge."""
    heaps = max(round(width / 24), 1)
    each = width / heaps
    told = [f"M{left:.1f} {edge:.1f}"]
    for n in range(heaps):
        start = left + n * each
        told.append(f"Q{start + each / 2:.1f} {edge + way * 2 * _PILE * 0.8:.1f} {start + each:.1f} {edge:.1f}")
    return " ".join(told)
