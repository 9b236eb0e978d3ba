"""Field types that read quantities with their units and refuse what cannot be meant."""

import datetime as dt
import math
import re
import unicodedata
from collections.abc import Callable
from typing import Annotated, Any, Literal, Self

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    PrivateAttr,
    ValidationInfo,
    WithJsonSchema,
)

from pickrig import quantities
from pickrig.errors import QuantityError, WrongError
from pickrig.facts import Quantity, Said, Value
from pickrig.reading import Document, Location, key_path


class Strict(BaseModel):
    """A table of an input file: unknown keys are refused, so that a slip of the pen is not silently ignored."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class FromFile(Strict):
    """What a whole file says. It knows the file, so that a fault found later is told with file, line and key."""

    _document: Document | None = PrivateAttr(default=None)

    def read_from(self, document: Document) -> Self:
        """The same, knowing where it comes from."""
        self._document = document
        return self

    def fault(self, location: Location, key: str, **values: Value) -> Said:
        """What is wrong with one of its keys."""
        return self.told(location, Said(key, **values))

    def told(self, location: Location, what: Said) -> Said:
        """The same with the statement at hand."""
        if self._document is None:
            return Said(
                "fault.in_memory", kind=Said(f"kind.{type(self).__name__.lower()}"), key=key_path(location), what=what
            )
        return self._document.told(location, what)

    @property
    def file(self) -> Value:
        """What to call the file in a statement."""
        return str(self._document.path) if self._document else Said(f"kind.{type(self).__name__.lower()}")


def takes_si(info: ValidationInfo) -> bool:
    """Whether bare numbers are SI: what Python hands over is, what a file says never."""
    return bool(info.context and info.context.get("si"))


SI = {"si": True}
"""The context in which bare numbers are SI."""


def reader(
    dimension: str, low: float, high: float, words: dict[str, float] | None = None
) -> Callable[[Any, ValidationInfo], float]:
    """Read a text like "72 in" into SI between low and high (SI); `words` are texts with a meaning of their own.

    The errors are statements that fit behind the value read: "72 kg" is a weight; give ...
    """
    kind = quantities.DIMENSIONS[dimension]
    noun = Said(f"noun.{dimension}")

    def read(value: Any, info: ValidationInfo) -> float:
        if isinstance(value, int | float) and not isinstance(value, bool) and takes_si(info):
            if not (low <= value <= high or value in (words or {}).values()):
                raise WrongError(_out_of_range(f"{value} {kind.si}", value, dimension, low, high))
            return float(value)
        if isinstance(value, bool | list | dict):
            raise WrongError("quantity.one_text", noun=noun, example=kind.example)
        if not isinstance(value, str):
            raise WrongError("quantity.no_unit_text", noun=noun, example=kind.example)
        if words and value.strip().lower() in words:
            return words[value.strip().lower()]
        try:
            si = quantities.parse(value, dimension)
        except QuantityError as error:
            raise WrongError(_or_words(error.problems[0], words or {})) from error
        if not low <= si <= high:
            raise WrongError(_out_of_range(value, si, dimension, low, high))
        return si

    return read


def _or_words(what: Said, words: dict[str, float]) -> Said:
    for word in words:
        what = Said("quantity.or_word", what=what, word=word)
    return what


def reads(dimension: str, low: float, high: float, words: dict[str, float] | None = None) -> BeforeValidator:
    """The same as a field's validator, with what an editor may say of it."""
    written = {"type": "string", "examples": [quantities.DIMENSIONS[dimension].example, *(words or {})]}
    shown = Annotated[str, WithJsonSchema(written)]
    return BeforeValidator(reader(dimension, low, high, words), json_schema_input_type=shown)


def _out_of_range(text: str, si: float, dimension: str, low: float, high: float) -> Said:
    """What is accepted, in both systems where they differ, and the unit that was likely meant."""
    us, metric = quantities.unit_of(dimension, "us"), quantities.unit_of(dimension, "metric")
    ends: dict[str, Value] = {"low": Quantity(low, dimension, "us"), "high": Quantity(high, dimension, "us")}
    if us != metric:
        ends |= {"low_si": Quantity(low, dimension, "metric"), "high_si": Quantity(high, dimension, "metric")}
    accepted = Said("quantity.between" if us == metric else "quantity.between_both", **ends)
    bare = text.strip().lstrip("+-").split()[0].replace(",", "").rstrip("%abcdefghijklmnopqrstuvwxyz")
    if si > 0 and _is_number(bare):
        for unit, reading in quantities.other_readings(float(bare), dimension):
            if low <= reading <= high and not math.isclose(reading, si):
                accepted = Said("quantity.meant", accepted=accepted, number=bare, unit=unit)
                break
    problem = "below_zero" if si < 0 else "zero" if si == 0 else "odd"
    return Said(f"quantity.{problem}", accepted=accepted)


def _is_number(text: str) -> bool:
    try:
        return math.isfinite(float(text))
    except ValueError:
        return False


def lowered(value: Any) -> Any:
    """Words are read whatever their case."""
    return value.strip().lower() if isinstance(value, str) else value


AnyCase = BeforeValidator(lowered)


def read_range(value: Any, info: ValidationInfo) -> tuple[float, float, float]:
    """A moisture as low, best and high; one value stands for all three."""
    read = reader("share", 0.01, 3)
    if not isinstance(value, list | tuple):
        one = read(value, info)
        return one, one, one
    if len(value) != 3:
        raise WrongError("fault.one_or_three")
    low, best, high = (read(item, info) for item in value)
    if not low <= best <= high:
        raise WrongError("fault.range_order")
    return low, best, high


def read_clock(value: Any) -> dt.time:
    """A time of day: TOML's own, or as it is said, "7:00", "3:30 PM"."""
    if isinstance(value, dt.time):
        return value
    for form in ("%H:%M", "%H:%M:%S", "%I:%M %p", "%I %p"):
        try:
            return dt.datetime.strptime(str(value).strip(), form).replace(tzinfo=dt.UTC).time()
        except ValueError:
            continue
    raise WrongError("fault.clock")


def read_lanes(value: Any, info: ValidationInfo) -> tuple[float, float]:
    """The widths of two lanes that meet; one value stands for both."""
    read = reader("length", 0.2, 100)
    if not isinstance(value, list | tuple):
        one = read(value, info)
        return one, one
    if len(value) != 2:
        raise WrongError("fault.one_or_two")
    return read(value[0], info), read(value[1], info)


def _plain(text: str) -> str:
    """A name that shows as it is written: no line breaks, no invisible or direction-changing characters."""
    if any(unicodedata.category(c) in ("Cc", "Cf", "Zl", "Zp") for c in text):
        raise WrongError("fault.invisible")
    if not text.strip():
        raise WrongError("fault.blank")
    return text.strip()


def read_grade(value: Any, info: ValidationInfo) -> float:
    """A slope as rise over run, from per cent or degrees."""
    if isinstance(value, str) and re.search(r"(deg|degrees|°)\.?\s*$", value.strip().lower()):
        return math.tan(math.radians(reader("angle", 0, 45)(value, info)))
    return reader("share", 0, 1)(value, info)


Grade = Annotated[float, BeforeValidator(read_grade, json_schema_input_type=str)]
Name = Annotated[str, Field(min_length=1, max_length=200), AfterValidator(_plain)]
Text = Annotated[str, Field(max_length=2000)]
Count = Annotated[int, Field(ge=1, le=100_000, strict=True)]

_PASS_WORDS = ("all day", "once")


def _read_passes(value: Any) -> Any:
    """A word in any case, or a count."""
    word = value.strip().lower() if isinstance(value, str) else value
    counts = isinstance(word, int) and not isinstance(word, bool) and 1 <= word <= 100_000
    if word not in _PASS_WORDS and not counts:
        raise WrongError("fault.passes")
    return word


Passes = Annotated[str | int, BeforeValidator(_read_passes, json_schema_input_type=Literal["all day", "once"] | Count)]

# Ends wide enough for anything a compact contractor owns, narrow enough to catch a wrong unit.
Length = Annotated[float, reads("length", 0.02, 20)]
Distance = Annotated[float, reads("length", 0.5, 5000)]
FrostDepth = Annotated[float, reads("length", 0, 3)]
SmallLength = Annotated[float, reads("length", 0.001, 2)]
Width = Annotated[float, reads("length", 0.3, 4)]
Height = Annotated[float, reads("length", 0.5, 5)]
Body = Annotated[float, reads("length", 1, 12)]
Base = Annotated[float, reads("length", 0.3, 5)]
Opening = Annotated[float, reads("length", 0.2, 1000, words={"open": math.inf})]
MachineMass = Annotated[float, reads("mass", 150, 25_000)]
LoadMass = Annotated[float, reads("mass", 5, 25_000)]
Inflation = Annotated[float, reads("pressure", 30e3, 1e6)]
Strength = Annotated[float, reads("pressure", 1e3, 1e6)]
ConeReading = Annotated[float, reads("pressure", 7e3, 5e6)]
Power = Annotated[float, reads("power", 3e3, 300e3)]
Share = Annotated[float, reads("share", 0, 1)]
TippingShare = Annotated[float, reads("share", 0.1, 0.8)]
SomeShare = Annotated[float, reads("share", 0.01, 1)]
Moisture = Annotated[tuple[float, float, float], BeforeValidator(read_range, json_schema_input_type=str | list[str])]
Clock = Annotated[dt.time, BeforeValidator(read_clock, json_schema_input_type=str)]
Lanes = Annotated[tuple[float, float], BeforeValidator(read_lanes, json_schema_input_type=str | list[str])]
Rain = Annotated[float, reads("rain", 0, 1)]
SnowDepth = Annotated[float, reads("snow", 0.005, 2)]
Area = Annotated[float, reads("area", 20, 200_000)]
Density = Annotated[float, reads("density", 20, 920)]
Force = Annotated[float, reads("force", 50, 100_000)]
Push = Annotated[float, reads("force", 0, 100_000)]
CreepSpeed = Annotated[float, reads("speed", 0.002, 1)]
DriveSpeed = Annotated[float, reads("speed", 0.5, 15)]
Duration = Annotated[float, reads("time", 300, 72 * 3600)]
SiteTime = Annotated[float, reads("time", 300, 1000 * 3600)]
WorkDay = Annotated[float, reads("time", 3600, 24 * 3600)]
Road = Annotated[float, reads("time", 0, 6 * 3600)]
Volume = Annotated[float, reads("volume", 0.001, 100_000)]
Capacity = Annotated[float, reads("volume", 0.02, 5)]
OilFlow = Annotated[float, reads("flow", 5e-5, 5e-3)]
OilPressure = Annotated[float, reads("pressure", 2e6, 50e6)]
WideArea = Annotated[float, reads("area", 1, 1_000_000)]
RoadMass = Annotated[float, reads("mass", 100, 40_000)]
Temperature = Annotated[float, reads("temperature", -70, 60)]
Latitude = Annotated[float, reads("angle", -90, 90)]
Price = Annotated[float, reads("money", 5, 1e6)]
Money = Annotated[float, reads("money", 0, 1e6)]
Life = Annotated[float, reads("life", 3600, 3600 * 20_000)]
