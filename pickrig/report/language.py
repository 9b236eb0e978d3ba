"""Another language for what people read: texts looked up in catalogues, numbers and units written as its readers do.

A catalogue line is an English text and its translation; {names} in braces stand for anything, and are translated in
their turn. A text with no line of its own is translated piece by piece, at its full stops, semicolons and colons; a
piece with no line stays English and is counted in `misses`.
"""

import re
import tomllib
from dataclasses import dataclass, field
from functools import cached_property
from importlib.resources import files
from typing import Literal

from markupsafe import Markup, escape

from pickrig.quantities import System

Code = Literal["en", "es"]

_PIECES = re.compile(r"(?<=[.;:?])\s+")
_WORD = re.compile(r"[A-Za-z]{3,}")
_NUMBER = re.compile(r"(?<![\w.,-])\d+(?:,\d{3})*(?:\.\d+)?(?![\w,-]*\d)")


@dataclass(eq=False)  # itself and no other, so that its templates are compiled once
class Language:
    """One language and one system of units. lines: English to translated; frame: the templates' own texts, looked up
    whole; own_units: a unit's sign to its own."""

    code: Code
    units: System
    lines: dict[str, str] = field(default_factory=dict)
    frame: dict[str, str] = field(default_factory=dict)
    own_units: dict[str, str] = field(default_factory=dict)
    decimal: str = "."
    group: str = ","
    joint: str = "and"
    misses: set[str] = field(default_factory=set)

    def say(self, text: str) -> str:
        """The text in this language."""
        if self.code == "en" or not text.strip():
            return text
        if text in self.lines:
            return self.lines[text]
        return " ".join(self._piece(piece) for piece in _PIECES.split(text))

    def markup(self, text: str) -> Markup:
        """The same, escaped, so that nothing translates it twice."""
        return escape(self.say(text))

    def fill(self, text: str, **parts: object) -> Markup:
        """A template's own text, with what it names put in."""
        line = self.frame.get(text) or self.lines.get(text)
        if line is None:
            line = text
            if self.code != "en":
                self.misses.add(text)
        return escape(line).format(**{name: self.shown(part) for name, part in parts.items()})

    def shown(self, value: object) -> object:
        """What a template is about to print: plain texts are translated, everything else passes."""
        return self.markup(value) if isinstance(value, str) and not isinstance(value, Markup) else value

    def _piece(self, piece: str) -> str:
        """A piece with its own stop at the end."""
        bare = piece.rstrip(".;:")
        said = self._line(bare) or self._list(bare)
        if said is None:
            said = self._value(bare)
            if said == bare and len(_WORD.findall(bare)) > 1:
                self.misses.add(bare)
        return said + piece[len(bare) :]

    def _line(self, text: str) -> str | None:
        exact = self.lines.get(text)
        if exact is not None:
            return exact
        for pattern, names, translated in self._patterns:
            found = pattern.fullmatch(text)
            if found:
                parts = {name: self._part(found[n + 1]) for n, name in enumerate(names)}
                return translated.format(**parts)
        return None

    def _part(self, text: str) -> str:
        """What stands in a brace: a text with a line of its own, or a list of such, or a name or a quantity."""
        return self._known(text) or self._value(text)

    def _known(self, text: str) -> str | None:
        return self.lines.get(text) or self._list(text) or self._line(text)

    def _list(self, text: str) -> str | None:
        """This, that and the other, each with a line of its own; None where one of them has none."""
        for between, joined in ((" and ", f" {self.joint} "), (", ", ", ")):
            if between in text:
                left, right = (self._known(part) for part in text.rsplit(between, 1))
                return f"{left}{joined}{right}" if left and right else None
        return None

    def _value(self, text: str) -> str:
        """Numbers and units as this language writes them."""
        if self.units == "metric":
            text = _NUMBER.sub(self._number, text)
        for unit, own in self.own_units.items():
            text = re.sub(rf"(?<=\d )\b{unit}\b", own, text)
        return text

    def _number(self, found: re.Match[str]) -> str:
        return found[0].replace(",", "\0").replace(".", self.decimal).replace("\0", self.group)

    @cached_property
    def _patterns(self) -> list[tuple[re.Pattern[str], list[str], str]]:
        """Lines with braces, the most definite first."""
        braced = [line for line in self.lines if "{" in line]
        braced.sort(key=lambda line: -len(re.sub(r"\{\w+\}", "", line)))
        return [(_pattern(line), re.findall(r"\{(\w+)\}", line), self.lines[line]) for line in braced]


def _pattern(line: str) -> re.Pattern[str]:
    parts = re.split(r"\{\w+\}", line)
    return re.compile("(.+?)".join(re.escape(part) for part in parts))


def language(code: Code, units: System) -> Language:
    """A language by its code; English needs no catalogue."""
    if code == "en":
        return Language("en", units)
    lines: dict[str, str] = {}
    frame: dict[str, str] = {}
    folder = files("pickrig.report") / "languages" / code
    for path in sorted(folder.iterdir(), key=lambda path: path.name):
        if path.name.endswith(".toml"):
            told = tomllib.loads(path.read_text(encoding="utf-8"))
            lines |= told.get("lines", {})
            frame |= told.get("frame", {})
    how = tomllib.loads((folder / "numbers.toml").read_text(encoding="utf-8"))
    return Language(code, units, lines, frame, how["units"], how["decimal"], how["group"], how["and"])


ENGLISH = Language("en", "us")
