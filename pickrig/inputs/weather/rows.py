"""Days of weather as a file has them, whatever its layout."""

import datetime as dt
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from pickrig.facts import Said, Statements

TRACE = 0.0001  # m, where an observer writes T for a trace of rain


def degrees(value: float, unit: str) -> float:
    """degC of a number in "F", "C" or "tenths of C"."""
    return {"F": (value - 32) / 1.8, "C": value, "tenths of C": value / 10}[unit]


@dataclass(frozen=True)
class Row:
    """One day, SI; None where nothing is known. rain: m, that falls if any does. chance: that any does, None where the
    file gives none. hours: of the day that the rain figure covers."""

    date: dt.date
    rain: float | None
    tmin: float | None = None
    tmax: float | None = None
    chance: float | None = None
    hours: float = 24.0


@dataclass(frozen=True)
class Table:
    """What a file holds. layout: a word for how it was read. notes: what was left out or shared over days. place:
    latitude and longitude, where the file gives them."""

    rows: tuple[Row, ...]
    layout: str
    notes: Statements = ()
    place: tuple[float, float] | None = None


@dataclass
class LocalDays:
    """Days gathered from the hours or intervals of a file, in local time."""

    rain: dict[dt.date, float] = field(default_factory=lambda: defaultdict(float))
    hours: dict[dt.date, float] = field(default_factory=lambda: defaultdict(float))
    chance: dict[dt.date, float] = field(default_factory=dict)
    heat: dict[dt.date, list[float]] = field(default_factory=lambda: defaultdict(list))

    def fell(self, begins: dt.datetime, hours: float, amount: float) -> None:
        """Rain, m, spread evenly over an interval and cut at midnight."""
        while hours > 1e-9:
            midnight = dt.datetime.combine(begins.date() + dt.timedelta(days=1), dt.time())
            today = min(hours, (midnight - begins).total_seconds() / 3600)
            self.rain[begins.date()] += amount * today / hours
            self.hours[begins.date()] += today
            amount -= amount * today / hours
            begins, hours = midnight, hours - today

    def may(self, begins: dt.datetime, hours: float, chance: float) -> None:
        """A chance of rain, which every day that its interval touches has; the largest counts."""
        last = begins + dt.timedelta(hours=max(hours - 1e-6, 0.0))
        for n in range((last.date() - begins.date()).days + 1):
            date = begins.date() + dt.timedelta(days=n)
            self.chance[date] = max(self.chance.get(date, 0.0), chance)

    def rows(self) -> tuple[Row, ...]:
        """Every day that anything is known of."""
        return tuple(
            Row(
                date,
                rain=self.rain[date] if date in self.hours else None,
                tmin=min(self.heat[date]) if len(self.heat.get(date, ())) > 1 else None,
                tmax=max(self.heat[date]) if len(self.heat.get(date, ())) > 1 else None,
                chance=self.chance.get(date),
                hours=min(self.hours.get(date, 0.0), 24.0),
            )
            for date in sorted({*self.hours, *self.chance, *self.heat})
        )


def settled(row: Row) -> Row:
    """Rain that a file gives with no chance at all is sure."""
    return replace(row, chance=None) if row.rain and row.chance == 0 else row


def if_it_comes(row: Row) -> Row:
    """A mean amount with its chance, as the amount that falls if any does."""
    row = settled(row)
    if row.rain is None or not row.chance:
        return row
    return replace(row, rain=row.rain / max(row.chance, _LEAST_CHANCE))


_LEAST_CHANCE = 0.1  # of a mean amount, below which the two do not belong together


def counted(key: str, days: int) -> Statements:
    """A note of so many days; none where there are none."""
    return (Said(key, days=days),) if days else ()


def wettest(rows: Sequence[Row]) -> Row | None:
    """The wettest day, to be shown back."""
    wet = [row for row in rows if row.rain]
    return max(wet, key=lambda row: row.rain or 0.0) if wet else None
