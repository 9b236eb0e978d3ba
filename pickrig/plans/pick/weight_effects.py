"""What the job file's own weights changed: each machine's points under the usual ones and under these."""

from pickrig.plans.pick.record import Moved, Standing


def moved(
    usual: list[Standing], ranking: list[Standing], own: dict[str, float], before: dict[str, float]
) -> tuple[Moved, ...]:
    """Usable machines by how far they moved; the question that moved each most, by points."""
    old = {s.name: (place, s) for place, s in enumerate((s for s in usual if s.usable), start=1)}
    told = []
    for place, now in enumerate((s for s in ranking if s.usable), start=1):
        was_place, was = old[now.name]
        points = {check: _points(now, own, check) - _points(was, before, check) for check in own}
        through = max(points, key=lambda check: abs(points[check]))
        told.append(Moved(now.name, was_place, place, now.score - was.score, through, points[through]))
    return tuple(sorted(told, key=lambda one: -abs(one.points)))


def _points(standing: Standing, weights: dict[str, float], check: str) -> float:
    return standing.parts[list(weights).index(check)]
