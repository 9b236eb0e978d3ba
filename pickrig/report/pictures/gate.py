"""The machine in its gate, from the front, to scale."""

from dataclasses import dataclass

from pickrig.plans.pick.record import InTheGate

WIDTH, FLOOR = 336.0, 138.0
_ROOM, _TALLEST, _POST = 276.0, 122.0, 12.0
_WIDEST = 3.5  # times the machine: a wider way in is no gate to be drawn


@dataclass(frozen=True)
class Rect:
    """x and y of its upper left corner; y grows downward."""

    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True)
class _Scale:
    """Meters from the middle of the gate and up from the floor, in units of the drawing."""

    each: float

    def across(self, metres: float) -> float:
        return round(WIDTH / 2 + metres * self.each, 1)

    def up(self, metres: float) -> float:
        return round(FLOOR - metres * self.each, 1)

    def box(self, left: float, bottom: float, width: float, height: float) -> Rect:
        return Rect(
            self.across(left), self.up(bottom + height), round(width * self.each, 1), round(height * self.each, 1)
        )

    def path(self, *points: tuple[float, float]) -> str:
        return "M" + " L".join(f"{self.across(x)} {self.up(y)}" for x, y in points) + " Z"


@dataclass(frozen=True)
class GatePicture:
    """left, right: the faces of the posts. edge: the widest of the machine on the left. beam: the headroom."""

    posts: tuple[Rect, ...]
    left: float
    right: float
    edge: float
    gears: tuple[Rect, ...]
    lugs: tuple[float, ...]
    body: Rect
    above: tuple[str, ...]
    arms: tuple[Rect, ...]
    tool: Rect
    beam: float | None


def gate_picture(gate: InTheGate | None) -> GatePicture | None:
    """None where the way in is open, or so wide that there is nothing to see."""
    if gate is None or gate.opening > _WIDEST * max(gate.width, gate.tool):
        return None
    widest, tallest = max(gate.width, gate.tool, gate.opening), max(gate.height, gate.headroom or 0.0)
    scale = _Scale(min(_ROOM / widest, _TALLEST / tallest))
    left, right = scale.across(-gate.opening / 2), scale.across(gate.opening / 2)
    half, tall, tread = gate.width / 2, gate.height, min(gate.gear_width, 0.4 * gate.width)
    gear_tall, inner, arm = min(gate.gear_height, 0.45 * tall), half - 0.6 * tread, 0.05 * gate.width
    top = scale.up(tallest)
    return GatePicture(
        posts=tuple(Rect(round(x, 1), top, _POST, round(FLOOR - top, 1)) for x in (left - _POST, right)),
        left=left,
        right=right,
        edge=scale.across(-max(gate.width, gate.tool) / 2),
        gears=tuple(scale.box(x, 0, tread, gear_tall) for x in (-half, half - tread)),
        lugs=tuple(scale.up(gear_tall * (n + 0.5) / 6) for n in range(6)),
        body=scale.box(-inner, 0.16 * tall, 2 * inner, 0.36 * tall),
        above=_above(gate, scale, inner),
        arms=tuple(scale.box(x, 0.2 * tall, arm, 0.5 * tall) for x in (-inner, inner - arm)),
        tool=scale.box(-gate.tool / 2, 0.05 * tall, gate.tool, 0.1 * tall),
        beam=None if gate.headroom is None else scale.up(gate.headroom),
    )


def _above(gate: InTheGate, scale: _Scale, inner: float) -> tuple[str, ...]:
    """A cab with its window; of a stand-on loader the column with its levers."""
    low, tall = 0.52 * gate.height, gate.height
    if gate.stands_on:
        return (scale.path((-0.4 * inner, low), (-0.3 * inner, tall), (0.3 * inner, tall), (0.4 * inner, low)),)
    cab = scale.path((-0.8 * inner, low), (-0.7 * inner, tall), (0.7 * inner, tall), (0.8 * inner, low))
    window = scale.path(
        (-0.64 * inner, low + 0.04 * tall),
        (-0.58 * inner, 0.94 * tall),
        (0.58 * inner, 0.94 * tall),
        (0.64 * inner, low + 0.04 * tall),
    )
    return cab, window
