"""The picked kind of machine from the side, the points of its walk around numbered as in the list."""

import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from pickrig.plans.pick.record import Recommendation


@dataclass(frozen=True)
class Point:
    """A number of the list, the point it is of, and where the number stands."""

    number: int
    x: float
    y: float
    label_x: float
    label_y: float


@dataclass(frozen=True)
class MachinePicture:
    """kind: which drawing. belts: whether it stands on tracks; forks: whether it carries forks, else a bucket."""

    kind: str
    belts: bool
    forks: bool
    points: tuple[Point, ...]


def machine_picture(answer: Recommendation) -> MachinePicture | None:
    """Of the pick; None where none is sent."""
    if answer.pick is None:
        return None
    machine = answer.pick.machine
    belts = machine.gear == "tracks"
    kind = "tracked loader" if belts and machine.kind == "skid steer" else machine.kind
    places = _places()[kind]
    numbered = enumerate((look.part for look in answer.walkaround), 1)
    return MachinePicture(
        kind,
        belts,
        "forks" in answer.attachment,
        tuple(Point(n, *places[part]) for n, part in numbered if part in places),
    )


@cache
def _places() -> dict[str, dict[str, list[float]]]:
    return tomllib.loads(Path(__file__).with_name("points.toml").read_text(encoding="utf-8"))
