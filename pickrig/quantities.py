"""Quantities as people write and read them. The only place where units are parsed or printed.

Inside pickrig every number is SI: m, kg, s, N, Pa, W; shares are fractions; money is
dollars, and its rate dollars an hour.
"""

import functools
import math
import re
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from pickrig.errors import QuantityError
from pickrig.facts import Said

if TYPE_CHECKING:
    from pint import UnitRegistry

System = Literal["us", "metric"]


@dataclass(frozen=True)
class Dimension:
    """A kind of quantity: its SI unit, the units people use for it, and an example to put in an error message."""

    si: str
    example: str
    us: tuple[str, float, int]  # unit, SI value of one, decimals to print
    metric: tuple[str, float, int]
    others: tuple[str, ...] = ()


_POUND, _INCH, _FOOT, _PSI = 0.45359237, 0.0254, 0.3048, 6894.757293168
_GALLON = 231 * _INCH**3
_LONG = 8 * 12 * _INCH  # from here on, feet read better than inches
_PLENTY = 100  # of a unit, from where nobody reads its tenths
_FAR = 30 * 12 * _INCH  # and from here on, nobody counts the inches

DIMENSIONS: dict[str, Dimension] = {
    "length": Dimension("m", "72 in", ("in", _INCH, 1), ("m", 1.0, 2), ("ft", "mm", "cm")),
    "mass": Dimension("kg", "7,500 lb", ("lb", _POUND, 0), ("kg", 1.0, 0), ("t",)),
    "pressure": Dimension("Pa", "35 psi", ("psi", _PSI, 1), ("kPa", 1e3, 0), ("bar", "MPa", "tsf")),
    "power": Dimension("W", "70 hp", ("hp", 745.6998715822702, 0), ("kW", 1e3, 0)),
    "time": Dimension("s", "6 h", ("h", 3600.0, 1), ("h", 3600.0, 1), ("min",)),
    "life": Dimension("s", "1100 h", ("h", 3600.0, 0), ("h", 3600.0, 0)),
    "share": Dimension("dimensionless", "30 %", ("%", 0.01, 0), ("%", 0.01, 0)),
    "angle": Dimension("deg", "44 deg", ("deg", 1.0, 0), ("deg", 1.0, 0)),
    "temperature": Dimension("degC", "41 F", ("°F", 5 / 9, 0), ("°C", 1.0, 0)),
    "rain": Dimension("m", "0.4 in", ("in", _INCH, 2), ("mm", 1e-3, 0), ("cm",)),
    "force": Dimension("N", "3,000 lbf", ("lbf", 4.4482216152605, 0), ("kN", 1e3, 1)),
    "speed": Dimension("m/s", "7 mph", ("mph", 0.44704, 1), ("km/h", 1 / 3.6, 1)),
    "area": Dimension("m**2", "0.7 acre", ("ft²", _FOOT**2, 0), ("m²", 1.0, 0), ("acre",)),
    "density": Dimension("kg/m**3", "7.5 lb/ft3", ("lb/ft³", _POUND / _FOOT**3, 1), ("kg/m³", 1.0, 0)),
    "volume": Dimension("m**3", "0.6 yd3", ("yd³", (3 * _FOOT) ** 3, 2), ("m³", 1.0, 2), ("ft³", "liter", "gal")),
    "flow": Dimension("m**3/s", "20 gpm", ("gpm", _GALLON / 60, 1), ("L/min", 1e-3 / 60, 0)),
    "snow": Dimension("m", "8 in", ("in", _INCH, 1), ("cm", 1e-2, 0), ("mm", "ft")),
    "money": Dimension("dollar", "$3,600", ("$", 1.0, 0), ("$", 1.0, 0)),
}

# Units of findings that are not read from files: unit, SI value of one, decimals, by system.
_SHOWN_ONLY: dict[str, tuple[tuple[str, float, int], tuple[str, float, int]]] = {
    "torque": (("lbf·ft", 4.4482216152605 * _FOOT, 0), ("N·m", 1.0, 0)),
    "energy": (("kJ", 1e3, 1), ("kJ", 1e3, 1)),
    "rate of cost": (("$/h", 1.0, 2), ("$/h", 1.0, 2)),
    "small length": (("in", _INCH, 1), ("mm", 1e-3, 0)),
    "chance": (("%", 0.01, 0), ("%", 0.01, 0)),
    "strength": (("psi", _PSI, 0), ("kPa", 1e3, 0)),
    "duration": (("h", 3600.0, 1), ("h", 3600.0, 1)),
    "ratio": (("×", 1.0, 2), ("×", 1.0, 2)),
}

_NUMBER = r"[0-9]{1,3}(?:,[0-9]{3})+(?:\.[0-9]+)?|[0-9]+(?:\.[0-9]+)?(?:[eE][-+]?[0-9]+)?|\.[0-9]+"
_PART = re.compile(rf"\s*(?:({_NUMBER})(?:\s+([0-9]+)/([0-9]+))?|([0-9]+)/([0-9]+))\s*([A-Za-z°%]+)\.?")
_MARKS = (
    ("′", " ft "), ("’", " ft "), ("'", " ft "), ("″", " in "), ("”", " in "), ('"', " in "),
    ("½", " 1/2"), ("¼", " 1/4"), ("¾", " 3/4"),
)  # fmt: skip

# Units of more than one sign, as one word that units.txt knows.
_COMPOUNDS = (
    (r"(?:sq\.?|square)\s*(?:ft|feet|foot)|ft(?:2|²)", "sqft"),
    (r"(?:sq\.?|square)\s*(?:m|metres?|meters?)|m(?:2|²)", "sqm"),
    (r"lbs?/(?:ft3|ft³|cu\.? ?ft)", "pcf"),
    (r"kg/(?:m3|m³)", "kgpm"),
    (r"(?:cu\.?|cubic)\s*(?:yd|yards?)|yd(?:3|³)", "cy"),
    (r"(?:cu\.?|cubic)\s*(?:m|metres?|meters?)|m(?:3|³)", "cum"),
    (r"(?:cu\.?|cubic)\s*(?:ft|feet|foot)|ft(?:3|³)", "cuft"),
    (r"l/min", "lpm"),
    (r"km/h", "kph"),
    (r"m/s", "mps"),
)

# How people write units, in lower case, against the names in units.txt whose case matters or that differ.
_SPELLINGS = {
    "kw": "kW", "kpa": "kPa", "mpa": "MPa", "pa": "Pa", "kn": "kN", "n": "N", "w": "W", "%": "percent", "°": "deg",
    "kilo": "kg", "kilos": "kg", "pounds": "lb", "hrs": "hour", "hours": "hour", "tons": "ton", "tonnes": "tonne",
    "metres": "metre", "meters": "meter", "yards": "yard", "minutes": "minute", "mins": "minute", "degrees": "deg",
}  # fmt: skip


@functools.cache
def _registry() -> "UnitRegistry[float]":
    from pint import UnitRegistry  # the import alone costs a quarter of a second

    return UnitRegistry(str(Path(__file__).with_name("units.txt")))


def parse(text: str, dimension: str) -> float:
    """SI value of a written quantity of the given dimension (a key of DIMENSIONS).

    Reads "72 in", "6 ft 2 in", "72 1/2 in", "7,500 lb", "30 %", "$3,600". Raises QuantityError, a clause that fits
    behind "is ...": what is wrong and what is accepted.
    """
    kind = DIMENSIONS[dimension]
    wanted = Said("fault.give", noun=Said(f"noun.{dimension}"), example=kind.example)
    body = text.strip()
    sign = -1.0 if body[:1] in ("-", "−") else 1.0
    body = body[1:].strip() if body[:1] in ("+", "-", "−") else body
    if dimension == "money":
        body = re.sub(r"^[$£€](.*)$|^(.*)[$£€]$", r"\1\2 dollar", body)
    if re.search(r"[0-9],[0-9]{1,2}(?![0-9])", body):
        raise QuantityError(Said("quantity.comma", wanted=wanted))
    for mark, unit in _MARKS:
        body = body.replace(mark, unit)
    body = _one_word_units(body.strip())
    if re.fullmatch(_NUMBER, body):
        raise QuantityError(Said("quantity.no_unit", wanted=wanted))
    if dimension == "temperature":
        return _temperature(sign, body, wanted)
    total, position = 0.0, 0
    while position < len(body):
        part = _PART.match(body, position)
        if part is None:
            raise QuantityError(Said("quantity.unread", wanted=wanted))
        total += _in_si(_amount(part, wanted), part[6], kind, wanted)
        position = part.end()
        position += len(body[position:]) - len(body[position:].lstrip())
    if position == 0:
        raise QuantityError(Said("quantity.empty", wanted=wanted))
    if not math.isfinite(total):
        raise QuantityError(Said("quantity.endless", wanted=wanted))
    return sign * total


def _one_word_units(text: str) -> str:
    for pattern, word in _COMPOUNDS:
        text = re.sub(rf"(?<![A-Za-z])(?:{pattern})(?![A-Za-z0-9])", word, text, flags=re.IGNORECASE)
    return text


def _amount(part: re.Match[str], wanted: Said) -> float:
    """The number of a part: "72", "72 1/2" or "1/2"."""
    whole = float(part[1].replace(",", "")) if part[1] else 0.0
    over, under = (part[2], part[3]) if part[1] else (part[4], part[5])
    if over is None:
        return whole
    if int(under) == 0:
        raise QuantityError(Said("quantity.over_zero", wanted=wanted))
    return whole + int(over) / int(under)


def _temperature(sign: float, body: str, wanted: Said) -> float:
    """Degrees Celsius from "41 F" or "5 C": the one dimension whose zero depends on its unit."""
    part = re.fullmatch(rf"({_NUMBER})\s*(?:°|deg)?\s*([FCfc])", body)
    if part is None:
        raise QuantityError(Said("quantity.temperature", wanted=wanted))
    degrees = sign * float(part[1].replace(",", ""))
    return degrees if part[2] in "Cc" else (degrees - 32) / 1.8


def _in_si(amount: float, unit: str, kind: Dimension, wanted: Said) -> float:
    registry = _registry()
    spelled = _SPELLINGS.get(unit.lower(), unit if unit.lower() == unit else unit.lower())
    try:
        quantity = registry.Quantity(amount, spelled)
        return float(quantity.to(kind.si).magnitude)
    except Exception as error:  # pint raises a dozen kinds of its own, and tokenizer errors besides
        noun = _noun_of(spelled)
        if noun is None:
            raise QuantityError(Said("quantity.unknown_unit", unit=repr(unit), wanted=wanted)) from error
        raise QuantityError(Said("quantity.is", noun=noun, wanted=wanted)) from error


def _noun_of(unit: str) -> Said | None:
    """What kind of thing a unit measures, in words; None for an unknown unit."""
    registry = _registry()
    try:
        measured = registry.Quantity(1.0, unit)
    except Exception:
        return None
    for name, kind in DIMENSIONS.items():
        if name == "temperature":
            continue  # read by itself; the registry has no degrees
        if measured.check(registry.Quantity(1.0, kind.si).dimensionality):
            return Said(f"noun.{name}")
    return Said("noun.measured", unit=unit)


def other_readings(value: float, dimension: str) -> list[tuple[str, float]]:
    """The same number as the user may have meant it, in each unit of the dimension: (unit, SI value for factor 1)."""
    kind = DIMENSIONS[dimension]
    units = [kind.us[0], kind.metric[0], *kind.others]
    give = Said("fault.give", noun=Said(f"noun.{dimension}"), example=kind.example)
    return [(u, value * _in_si(1.0, _one_word_units(u), kind, give)) for u in dict.fromkeys(units) if u not in "$%"]


def number(value: float, dimension: str, system: System = "us") -> float:
    """A quantity as a bare number in the reader's unit (see `unit_of`), unrounded."""
    return value / unit_of(dimension, system)[1]


def unit_of(dimension: str, system: System = "us") -> tuple[str, float, int]:
    """Unit, SI value of one unit, and decimals used to print a dimension for a reader of the given system."""
    if dimension in _SHOWN_ONLY:
        return _SHOWN_ONLY[dimension][0 if system == "us" else 1]
    kind = DIMENSIONS[dimension]
    return kind.us if system == "us" else kind.metric
