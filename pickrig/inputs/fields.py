"""Field types that read quantities with their units and refuse what cannot be meant."""

import math
import re
import unicodedata
from collections.abc import Callable
from typing import Annotated, Any, Self

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, PrivateAttr

from pickrig import quantities
from pickrig.errors import QuantityError
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

    def at(self, location: Location) -> str:
        """Head of a sentence on one of its keys."""
        if self._document is None:
            return f"the {type(self).__name__.lower()}, {key_path(location)}"
        return self._document.at(location)

    @property
    def file(self) -> str:
        """The file's name for a sentence."""
        return str(self._document.path) if self._document else f"the {type(self).__name__.lower()} file"


def reader(dimension: str, low: float, high: float, words: dict[str, float] | None = None) -> Callable[[Any], float]:
    """Read a text like "72 in" into SI between low and high (SI); `words` are texts with a meaning of their own.

    The errors are clauses that fit behind the key and the value read: "gate = "72 kg" is a weight; give ...".
    """
    kind = quantities.DIMENSIONS[dimension]

    def read(value: Any) -> float:
        if isinstance(value, bool | list | dict):
            raise ValueError(f'should be {kind.noun} as one text with its unit, for example "{kind.example}"')
        if not isinstance(value, str):
            raise ValueError(f'has no unit; give {kind.noun} as text with its unit, for example "{kind.example}"')
        if words and value.strip().lower() in words:
            return words[value.strip().lower()]
        try:
            si = quantities.parse(value, dimension)
        except QuantityError as error:
            also = "".join(f' (or "{word}")' for word in words or ())
            raise ValueError(f"{error}{also}") from error
        if not low <= si <= high:
            raise ValueError(_out_of_range(value, si, dimension, low, high))
        return si

    return read


def reads(dimension: str, low: float, high: float, words: dict[str, float] | None = None) -> BeforeValidator:
    """The same as a field's validator."""
    return BeforeValidator(reader(dimension, low, high, words))


def _out_of_range(text: str, si: float, dimension: str, low: float, high: float) -> str:
    # A share reads the same everywhere; a length or a weight is told in both systems.
    ends = [f"{quantities.show(low, dimension, s)} to {quantities.show(high, dimension, s)}" for s in ("us", "metric")]
    accepted = " or ".join(dict.fromkeys(ends))
    problem = "is below zero" if si < 0 else "is zero" if si == 0 else "cannot be meant"
    number = text.strip().lstrip("+-").split()[0].replace(",", "").rstrip("%abcdefghijklmnopqrstuvwxyz")
    hint = ""
    if si > 0 and _is_number(number):
        for unit, reading in quantities.other_readings(float(number), dimension):
            if low <= reading <= high and not math.isclose(reading, si):
                hint = f'; did you mean "{number} {unit}"?'
                break
    return f"{problem}; accepted is {accepted}{hint}"


def _is_number(text: str) -> bool:
    try:
        return math.isfinite(float(text))
    except ValueError:
        return False


def lowered(value: Any) -> Any:
    """Words are read whatever their case."""
    return value.strip().lower() if isinstance(value, str) else value


AnyCase = BeforeValidator(lowered)


def read_range(value: Any) -> tuple[float, float, float]:
    """A moisture as low, best and high; one value stands for all three."""
    read = reader("share", 0.01, 3)
    if not isinstance(value, list):
        one = read(value)
        return one, one, one
    if len(value) != 3:
        raise ValueError('takes one value or three: low, best, high, for example ["26 %", "30 %", "34 %"]')
    low, best, high = (read(item) for item in value)
    if not low <= best <= high:
        raise ValueError('is out of order; write low, best, high: ["26 %", "30 %", "34 %"]')
    return low, best, high


def _plain(text: str) -> str:
    """A name that shows as it is written: no line breaks, no invisible or direction-changing characters."""
    if any(unicodedata.category(c) in ("Cc", "Cf", "Zl", "Zp") for c in text):
        raise ValueError("has invisible characters in it; type it again")
    if not text.strip():
        raise ValueError("is blank; give it a name")
    return text.strip()


def read_grade(value: Any) -> float:
    """A slope as rise over run, from per cent or degrees."""
    if isinstance(value, str) and re.search(r"(deg|degrees|°)\.?\s*$", value.strip().lower()):
        return math.tan(math.radians(reader("angle", 0, 45)(value)))
    return reader("share", 0, 1)(value)


Grade = Annotated[float, BeforeValidator(read_grade)]
Name = Annotated[str, Field(min_length=1, max_length=200), AfterValidator(_plain)]
Text = Annotated[str, Field(max_length=2000)]
Count = Annotated[int, Field(ge=1, le=100_000, strict=True)]

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
Moisture = Annotated[tuple[float, float, float], BeforeValidator(read_range)]
Rain = Annotated[float, reads("rain", 0, 1)]
SnowDepth = Annotated[float, reads("snow", 0.005, 2)]
Area = Annotated[float, reads("area", 20, 200_000)]
Density = Annotated[float, reads("density", 20, 920)]
Force = Annotated[float, reads("force", 50, 100_000)]
DriveSpeed = Annotated[float, reads("speed", 0.5, 15)]
Duration = Annotated[float, reads("time", 300, 72 * 3600)]
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
