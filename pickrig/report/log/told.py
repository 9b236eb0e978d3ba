"""What was learned, as statements and figures that page and terminal share."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import exp, log

from pickrig.facts import Ruled, Said, Term, number
from pickrig.plans.yard.record import Kept, Offset

_TENTH = 1.645  # spreads: nine in ten lie within, half of the rest to each side
_LOW, _HIGH = 0.25, 4.0  # of the drawing, times the books
_PACE = ("pace", "pace_work", "pace_crew")
_ORDER = ("whole", "soil", "site", "word", "machine", *_PACE)


@dataclass(frozen=True)
class Row:
    """One thing learned. says: of what. middle, low, high: times the books. at, left, right: places on the drawing, in
    hundredths of its width."""

    says: Said
    of_hours: bool
    middle: float
    low: float
    high: float
    jobs: int

    @property
    def at(self) -> float:
        return _place(self.middle)

    @property
    def left(self) -> float:
        return _place(self.low)

    @property
    def right(self) -> float:
        return _place(self.high)

    @property
    def told(self) -> Said:
        return Said("log.range", middle=number(self.middle, 2), low=number(self.low, 2), high=number(self.high, 2))


def rows_of(offsets: Iterable[Offset], soils: dict[str, str]) -> list[Row]:
    """soils: names of the rules by their keys."""
    return [
        Row(
            _says(one, soils),
            one.of in _PACE,
            exp(one.middle),
            exp(one.middle - _TENTH * one.spread),
            exp(one.middle + _TENTH * one.spread),
            one.jobs,
        )
        for one in sorted(offsets, key=lambda one: (_ORDER.index(one.of), one.name))
    ]


def _place(times: float) -> float:
    """On a scale of ratios: as far up for twice as down for half."""
    return round(100 * (log(min(max(times, _LOW), _HIGH)) - log(_LOW)) / (log(_HIGH) - log(_LOW)), 1)


def _says(one: Offset, soils: dict[str, str]) -> Said:
    if one.of == "soil":
        return Said("log.of_soil", soil=Ruled(soils.get(one.name, one.name)))
    if one.of == "word":
        return Said("log.of_word", word=Term(f"word_{one.name}"))
    if one.of == "pace_work":
        return Said("log.of_work", work=Ruled(one.name))
    if one.of in ("whole", "pace"):
        return Said(f"log.of_{one.of}")
    return Said(f"log.of_{one.of}", name=one.name)


def kept_says(one: Kept) -> Said:
    """How often what was said came true."""
    if one.word == "weather":
        return Said("log.kept_weather", jobs=one.jobs, said=number(one.said, 1), held=one.held)
    return Said("log.kept", jobs=one.jobs, word=Term(f"word_{one.word}"), said=number(one.said, 1), held=one.held)
