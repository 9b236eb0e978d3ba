"""Numbers, quantities, chances and dates as a reader writes them. The only place where a unit is printed."""

import datetime as dt
import math
from functools import cache
from typing import TYPE_CHECKING

from pickrig.facts import Chance, Quantity
from pickrig.physics.cone_index import FULL_SCALE
from pickrig.quantities import unit_of

if TYPE_CHECKING:
    from pickrig.report.words.voice import Voice

_INCH = 0.0254
_LONG = 8 * 12 * _INCH  # from here on, feet read better than inches
_FAR = 30 * 12 * _INCH  # and from here on, nobody counts the inches
_PLENTY = 100  # of a unit, from where nobody reads its tenths
_MANY = 10.0  # times, from where a share says nothing more
OF = 20  # a chance is told as so many times in twenty


def quantity(told: Quantity, voice: "Voice") -> str:
    """A quantity in the reader's units, for example "72 in" or "1.83 m"."""
    if told.system is not None:
        voice = voice.in_units(told.system)
    special = _SPECIAL.get(told.dimension)
    if special is not None:
        return special(told.value, voice)
    if told.dimension.startswith("number "):
        return decimal(told.value, int(told.dimension.removeprefix("number ")), voice)
    unit, size, decimals = unit_of(told.dimension, voice.units)
    return _with_unit(told.value / size, decimals, unit, voice)


def decimal(value: float, decimals: int, voice: "Voice") -> str:
    """A number as the reader's country groups and points it; never "-0"."""
    told = f"{value:,.{decimals}f}"
    if value < 0 and not told.strip("-0.,"):
        told = told[1:]
    signs = _signs(voice.locale)
    return told.translate(signs) if signs else told


@cache
def _signs(locale: str) -> dict[int, str]:
    """What a locale writes for the point and the comma of a number: asked of Babel once, since a page has a thousand
    numbers."""
    from babel.numbers import get_decimal_symbol, get_group_symbol

    signs = {ord("."): get_decimal_symbol(locale), ord(","): get_group_symbol(locale)}
    return {} if signs == {ord("."): ".", ord(","): ","} else signs


def sign(unit: str, voice: "Voice") -> str:
    """A unit's sign in the reader's language."""
    signs: dict[str, str] = voice.words.writing["units"]
    return signs.get(unit, unit)


def chance(told: Chance, voice: "Voice", short: bool) -> str:
    """So many times in twenty; never none or all of them, and never a limit that it falls short of."""
    count = times_in_twenty(told)
    said = voice.words.wing("common")["chance short" if short else "chance"]
    if count >= OF or count <= 0:
        return str(said["most"] if count >= OF else said["least"])
    return str(said["one"] if count == 1 else said["other"]).format(n=count)


def times(share: float, voice: "Voice") -> str:
    """The same as a bare count: "15", ">19"."""
    count = times_in_twenty(Chance(share))
    return ">19" if count >= OF else "<1" if count <= 0 else decimal(count, 0, voice)


def times_in_twenty(told: Chance) -> int:
    """The count, rounded; a limit it falls short of is never shown as met."""
    count = round(OF * told.value)
    if told.limit is not None and told.value < told.limit:
        return min(count, math.ceil(OF * told.limit) - 1)
    return count


def date(moment: dt.date, voice: "Voice") -> str:
    """A day as "Tuesday, April 21"; of a moment, its time of day too."""
    day = _dated(moment, "long", voice)
    return f"{day}, {clock(moment, voice)}" if isinstance(moment, dt.datetime) else day


def _dated(day: dt.date, length: str, voice: "Voice") -> str:
    from babel.dates import format_date

    patterns: dict[str, str] = voice.words.writing["dates"][length]
    pattern = patterns.get(voice.country, patterns["else"])
    return str(format_date(day, format=pattern, locale=voice.locale))


def weekday(day: dt.date, voice: "Voice") -> str:
    """A day's name, short."""
    from babel.dates import format_date

    return str(format_date(day, format="EEE", locale=voice.locale))


def month(number: int, voice: "Voice") -> str:
    """A month's name, short."""
    from babel.dates import format_date

    return str(format_date(dt.date(2025, number, 1), format="LLL", locale=voice.locale))


def clock(moment: dt.datetime, voice: "Voice") -> str:
    """A time of day."""
    from babel.dates import format_time

    return str(format_time(moment.time(), format="short", locale=voice.locale)).replace("\u202f", " ")


def _with_unit(amount: float, decimals: int, unit: str, voice: "Voice") -> str:
    return f"{decimal(amount, decimals, voice)} {sign(unit, voice)}"


def _length(value: float, voice: "Voice") -> str:
    """Inches, and feet from eight on; millimetres under one metre."""
    if math.isinf(value):
        return str(voice.words.wing("common")["terms"]["open"])
    if voice.units == "metric":
        metres = abs(value) >= 1
        return _with_unit(value if metres else 1e3 * value, 2 if metres else 0, "m" if metres else "mm", voice)
    if abs(value) < _LONG:
        inches = round(value / _INCH, 1)
        return _with_unit(inches, 0 if inches == round(inches) else 1, "in", voice)
    inches = round(abs(value) / _INCH)
    inches = 12 * round(inches / 12) if abs(value) >= _FAR else inches
    feet = f"{'-' if value < 0 else ''}{_with_unit(inches // 12, 0, 'ft', voice)}"
    return f"{feet} {_with_unit(inches % 12, 0, 'in', voice)}" if inches % 12 else feet


def _plentiful(dimension: str) -> "Show":
    """Without its tenths where there is plenty of it."""

    def show(value: float, voice: "Voice") -> str:
        unit, size, decimals = unit_of(dimension, voice.units)
        amount = value / size
        whole = abs(amount) >= _PLENTY or round(amount, decimals) == round(amount)
        return _with_unit(amount, 0 if whole else decimals, unit, voice)

    return show


def _temperature(value: float, voice: "Voice") -> str:
    return _with_unit(32 + 1.8 * value, 0, "°F", voice) if voice.units == "us" else _with_unit(value, 0, "°C", voice)


def _strength(value: float, voice: "Voice") -> str:
    """A cone index; 300 psi and over is the end of the dial."""
    size, unit = (6894.757293168, "psi") if voice.units == "us" else (1e3, "kPa")
    told = _with_unit(value / size, 0, unit, voice)
    return voice.text("at_least", amount=told) if value >= 0.999 * FULL_SCALE else told


def _duration(value: float, voice: "Voice") -> str:
    """A time as people say it: "2 h 40 min", to five minutes from an hour on."""
    if math.isinf(value):
        return str(voice.words.wing("common")["terms"]["never"])
    minutes = round(value / 300) * 5 if value >= 3600 else max(round(value / 60), 1)
    hours, rest = divmod(minutes, 60)
    parts = ((hours, "h"), (rest, "min"))
    return " ".join(_with_unit(n, 0, unit, voice) for n, unit in parts if n) or _with_unit(0, 0, "min", voice)


def _fine_duration(value: float, voice: "Voice") -> str:
    return _with_unit(value, 0, "s", voice) if value < 90 else _with_unit(value / 60, 1, "min", voice)


def money(value: float, voice: "Voice") -> str:
    """Whole dollars, or whatever the reader's country counts in; "under $1" for a little more than nothing."""
    if 0 < value < 0.5:
        return voice.text("under", amount=f"{voice.currency}1")
    return f"{'-' if value <= -0.5 else ''}{voice.currency}{decimal(abs(value), 0, voice)}"


def _rate(value: float, voice: "Voice") -> str:
    return f"{voice.currency}{decimal(value, 2, voice)}/{sign('h', voice)}"


def _clock(value: float, voice: "Voice") -> str:
    """A time of day, given in seconds since midnight."""
    return clock(dt.datetime(2000, 1, 1) + dt.timedelta(seconds=value), voice)


def _cents(value: float, voice: "Voice") -> str:
    return f"{voice.currency}{decimal(value, 2, voice)}"


def _times(value: float, voice: "Voice") -> str:
    decimals = 2 if value < 2 else 0 if value >= 10 else 1
    return str(voice.words.wing("common")["terms"]["times"]).format(n=decimal(value, decimals, voice))


def _points(value: float, voice: "Voice") -> str:
    decimals = 0 if abs(value) >= _PLENTY else 1
    return str(voice.words.wing("common")["terms"]["points"]).format(n=decimal(value, decimals, voice))


def _change(value: float, voice: "Voice") -> str:
    """Points gained or lost, with their sign."""
    return f"{'+' if value >= 0 else ''}{decimal(value, 1, voice)}"


def _plain_area(value: float, voice: "Voice") -> str:
    """Never acres: what is laid is bought by the foot."""
    us = voice.units == "us"
    return _with_unit(value / 0.3048**2 if us else value, 0, "ft²" if us else "m²", voice)


def _tons(value: float, voice: "Voice") -> str:
    us = voice.units == "us"
    unit = str(voice.words.wing("common")["terms"]["tons"]) if us else "t"
    return f"{decimal(value / (907.18474 if us else 1000), 0, voice)} {unit}"


def _angle(decimals: int) -> "Show":
    return lambda value, voice: f"{decimal(value, decimals, voice)}°"


def _slope(value: float, voice: "Voice") -> str:
    return f"{decimal(math.degrees(math.atan(value)), 0, voice)}°"


def _share(value: float, voice: "Voice") -> str:
    """A share in per cent; from ten times on nobody counts."""
    if value > _MANY:
        return voice.text("over", amount=_with_unit(100 * _MANY, 0, "%", voice))
    return _with_unit(100 * value, 0, "%", voice)


def _fine_share(value: float, voice: "Voice") -> str:
    return _with_unit(100 * value, 1, "%", voice)


def _ratio(value: float, voice: "Voice") -> str:
    return f"{decimal(value, 0 if value >= 10 else 2, voice)}×"


def _chance_alone(value: float, voice: "Voice") -> str:
    return chance(Chance(value), voice, short=True)


if TYPE_CHECKING:
    from collections.abc import Callable

    Show = Callable[[float, Voice], str]

_SPECIAL: "dict[str, Show]" = {
    "length": _length,
    "pressure": _plentiful("pressure"),
    "volume": _plentiful("volume"),
    "temperature": _temperature,
    "strength": _strength,
    "duration": _duration,
    "fine duration": _fine_duration,
    "money": money,
    "clock": _clock,
    "month": lambda number, voice: month(int(number), voice),
    "cents": _cents,
    "rate of cost": _rate,
    "times": _times,
    "points": _points,
    "change": _change,
    "plain area": _plain_area,
    "tons": _tons,
    "angle": _angle(0),
    "fine angle": _angle(1),
    "slope": _slope,
    "share": _share,
    "fine share": _fine_share,
    "ratio": _ratio,
    "chance": _chance_alone,
}
