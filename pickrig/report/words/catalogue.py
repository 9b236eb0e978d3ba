"""The catalogues of one language: TOML a translator edits, read wing by wing when a statement of the wing is met."""

import tomllib
from functools import cache, cached_property
from importlib.resources import files
from typing import Any

WINGS = ("common", "checks", "pick", "page", "faults", "day", "buy", "guide", "desk", "cli", "log")
LENGTHS = ("tag", "line", "full")
_FOLDER = files("pickrig.report.words")

Entry = dict[str, Any]
"""Texts by length, each a sentence or a choice of sentences; "step" is the label of a line of the working."""


class Catalogue:
    """All statements of one language."""

    def __init__(self, language: str) -> None:
        self.language = language
        self._read: dict[str, dict[str, Entry]] = {}

    def entry(self, key: str) -> Entry:
        """What a statement says. Raises KeyError where no wing has it."""
        for wing in WINGS:
            entries = self.wing(wing)
            if key in entries:
                return entries[key]
        raise KeyError(key)

    def wing(self, name: str) -> dict[str, Entry]:
        """The entries of one file; a text alone says the same at every length."""
        if name not in self._read:
            read = _toml(f"{self.language}/{name}.toml")
            self._read[name] = {key: {"full": told} if isinstance(told, str) else told for key, told in read.items()}
        return self._read[name]

    @cached_property
    def writing(self) -> dict[str, Any]:
        """How this language writes: its locales by country, its signs of units, its spelling elsewhere."""
        return _toml(f"{self.language}/writing.toml")

    @cached_property
    def rules(self) -> dict[str, str]:
        """Texts of the rules in this language, by the rules' own."""
        told: dict[str, str] = _toml(f"{self.language}/rules.toml").get("lines", {})
        return told


@cache
def catalogue(language: str) -> Catalogue:
    """The catalogues of a language by its code."""
    return Catalogue(language)


@cache
def equations() -> dict[str, str]:
    """The equations of the working by their step, the same in every language."""
    return _toml("equations.toml")


def languages() -> list[str]:
    """The codes of the languages there are, English first."""
    codes = sorted(path.name for path in _FOLDER.iterdir() if (path / "writing.toml").is_file())
    return sorted(codes, key=lambda code: code != "en")


def _toml(name: str) -> dict[str, Any]:
    path = _FOLDER / name
    return tomllib.loads(path.read_text(encoding="utf-8")) if path.is_file() else {}
