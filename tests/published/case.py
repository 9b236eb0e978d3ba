"""A published value as data: what is given, what is expected, how near, and who says so."""

import importlib
import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType
from typing import Any

import numpy as np
import pint

FOLDER = Path(__file__).parent / "cases"
UNITS = pint.UnitRegistry()  # pint's own units, not those of pickrig/units.txt
BASES = {
    "printed": "the source prints the number",
    "measured": "measured in the field",
    "library": "an independent library computes it",
    "recomputed": "recomputed apart from this code, from the published equation",
    "by hand": "follows from the definition",
    "entered twice": "a coefficient or class limit as the source prints it, entered a second time",
    "fitted": "an input or the formula was fitted to it, so it only shows that nothing moved",
}
READ = ("first-hand", "second-hand", "from memory")
_QUANTITY = re.compile(r"^(-?[\d.][\d.e+, -]*)\s*(\S.*)?$")


@dataclass(frozen=True)
class Case:
    """One row of a file in cases/. `of` names the function under pickrig.physics, or scoring."""

    file: str
    name: str
    of: str
    source: str
    basis: str
    read: str
    given: Mapping[str, Any]
    expected: Any
    within: str
    result: str | int | None = None
    also: tuple[str, ...] = ()
    times: float = 1.0
    only: tuple[int, ...] = ()

    @property
    def id(self) -> str:
        return f"{self.file}: {self.of}: {self.name}"

    @property
    def functions(self) -> list[str]:
        """Every function of ours the case runs."""
        return [name for name in dict.fromkeys([self.of, *self.also, *_nested(self.given)]) if "recipe" not in name]

    def got(self) -> Any:
        """What our function gives, in the unit of the expected value."""
        value = _called(self.of, self.given, self.result)
        factor = 1.0 if self.unit is None else 1 / si(f"1 {self.unit}")
        told = np.asarray(value, float) * factor * self.times
        return told[list(self.only)] if self.only else told

    def wanted(self) -> Any:
        """The expected value, in its own unit."""
        if isinstance(self.expected, Mapping):
            told = np.asarray(_called(self.expected["recipe"], self.given), float)
            return told[list(self.only)] if self.only else told
        return np.asarray(_numbers(self.expected)[0], float)

    @property
    def unit(self) -> str | None:
        if isinstance(self.expected, Mapping):
            return self.expected.get("unit")
        return _numbers(self.expected)[1]

    def allowed(self) -> Any:
        """How far off it may be, in the unit of the expected value: "0.006", or "1 %" of it."""
        if self.within.endswith("%"):
            return float(self.within[:-1]) / 100 * np.abs(self.wanted())
        return float(self.within)

    def disagreement(self) -> str | None:
        """The sentence that names the paper, or None where it agrees."""
        with np.errstate(all="ignore"):
            got, wanted = self.got(), self.wanted()
            near = (got == wanted) | (np.abs(got - wanted) <= self.allowed()) if got.shape == wanted.shape else False
        if np.all(near):
            return None
        unit = f" {self.unit}" if self.unit else ""
        return (
            f"{self.source} disagrees with {self.of} ({self.name}): expected {wanted.tolist()}{unit} within "
            f"{self.within}, got {np.round(got, 6).tolist()}{unit}; given {dict(self.given)}"
        )


def load(folder: Path = FOLDER) -> list[Case]:
    """Every case, in the order of the files."""
    cases = []
    for path in sorted(folder.glob("*.toml")):
        data = tomllib.loads(path.read_text(encoding="utf-8"))
        for row in data["case"]:
            given = {**data.get("given", {}).get(row.pop("start", None), {}), **row.pop("given", {})}
            also = tuple(row.pop("also", ()))
            cases.append(Case(path.stem, given=given, also=also, **{**data.get("all", {}), **row}))
    return cases


def si(text: str) -> Any:
    """A quantity such as "25, 35 kPa" in SI, or its numbers where it has no unit."""
    numbers, unit = _numbers(text)
    return numbers if unit is None else (np.asarray(numbers) * UNITS(unit)).to_base_units().magnitude


def _numbers(text: Any) -> tuple[Any, str | None]:
    if not isinstance(text, str):
        return text, None
    found = _QUANTITY.match(text)
    if found is None:
        raise ValueError(f"{text!r} is neither a number nor a quantity")
    values = [float(part) for part in found[1].split(",") if part.strip()]
    return (values if len(values) > 1 else values[0]), found[2]


def _value(given: Any) -> Any:
    if isinstance(given, Mapping) and "of" in given:
        return _called(given["of"], given["given"], given.get("result"))
    if isinstance(given, str):
        return si(given) if _QUANTITY.match(given) else given
    if isinstance(given, list) and given and isinstance(given[0], str):
        return [_value(item) for item in given]
    return given


def _called(of: str, given: Mapping[str, Any], result: str | int | None = None) -> Any:
    module, _, function = of.rpartition(".")
    value = getattr(_module(module), function)(**{key: _value(item) for key, item in given.items()})
    if result is None:
        return value
    return getattr(value, result) if isinstance(result, str) else value[result]


def _module(name: str) -> ModuleType:
    if name in ("recipes", "libraries"):
        return importlib.import_module(f"tests.published.{name}")
    return importlib.import_module("pickrig.scoring" if name == "scoring" else f"pickrig.physics.{name}")


def _nested(given: Any) -> Iterator[str]:
    if isinstance(given, Mapping):
        if "of" in given:
            yield given["of"]
        for item in given.values():
            yield from _nested(item)
