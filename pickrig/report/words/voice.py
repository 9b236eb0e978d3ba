"""One reader's voice: a language, a country's way of writing, a system of units. Says statements as text or as HTML."""

import datetime as dt
import re
from collections.abc import Callable, Iterable, Iterator
from functools import cache, cached_property
from typing import Any, Literal

from markupsafe import Markup, escape

from pickrig.facts import Chance, Citation, Key, Quantity, Ruled, Said, Step, Term, Value
from pickrig.quantities import System
from pickrig.report.words.catalogue import LENGTHS, catalogue, equations

Length = Literal["tag", "line", "full"]
Put = Callable[[str, str], str]
"""How a piece goes into a text: its kind ("words", "name", "key", "citation", "equation") and the piece."""


class Voice:
    """Says statements in one language, in one country, in one system of units."""

    def __init__(
        self,
        language: str = "en",
        units: System = "us",
        country: str = "US",
        currency: str = "$",
        paper: str = "letter",
    ) -> None:
        self.language, self.units, self.country, self.currency, self.paper = language, units, country, currency, paper
        self.words = catalogue(language)

    def in_units(self, units: System) -> "Voice":
        """The same in another system of units."""
        return self if units == self.units else Voice(self.language, units, self.country, self.currency, self.paper)

    # ---- what reports call

    def say(self, what: Said | Iterable[Said], length: Length = "full") -> str:
        """One statement, or several one after another, as plain text."""
        return self._say(what, length, _plain)

    def html(self, what: Said | Iterable[Said], length: Length = "full") -> Markup:
        """The same as HTML: names escaped, what stays in another language marked as such."""
        return Markup(self._say(what, length, self._marked))

    def text(self, key: str, **values: Value) -> str:
        """A text by its key, such as a heading, as the catalogue has it."""
        return self._statement(Said(key, **values), "full", _plain)

    def text_html(self, key: str, **values: Value) -> Markup:
        """The same as HTML."""
        return Markup(self._statement(Said(key, **values), "full", self._marked))

    def write(self, value: Value) -> str:
        """A value alone, as plain text."""
        return self._value(value, "full", _plain)

    def write_html(self, value: Value) -> Markup:
        """A value alone, as HTML."""
        return Markup(self._value(value, "full", self._marked))

    def decimal(self, value: float, decimals: int) -> str:
        """A bare number."""
        from pickrig.report.words import figures

        return figures.decimal(value, decimals, self)

    def has(self, said: Said, length: Length) -> bool:
        """Whether a statement has a text of this very length."""
        return length in self.words.entry(said.key)

    def label(self, said: Said) -> str:
        """The label that goes with a statement."""
        return self.respelled(str(self.words.entry(said.key)["label"]))

    def spoken(self, key: str, part: str) -> str:
        """A named part of an entry, such as why a question is asked."""
        return self.respelled(str(self.words.entry(key)[part]))

    def rule(self, text: str) -> str:
        """A text of the rules in this language; as the rules have it, where the language does not know it."""
        return self.respelled(self.words.rules.get(text, text)).replace("$", self.currency)

    def respelled(self, text: str) -> str:
        """As the country spells it."""
        if self.country == "US" or not self._spelling:
            return text
        return self._american.sub(lambda found: _like(found[0], self._spelling[found[0].lower()]), text)

    @cached_property
    def locale(self) -> str:
        """The locale of numbers, dates and lists."""
        locales: dict[str, str] = self.words.writing["locales"]
        return locales.get(self.country, locales["else"])

    # ---- statements

    def _say(self, what: Said | Iterable[Said], length: Length, put: Put) -> str:
        if isinstance(what, Said):
            return self._step(what, put) if isinstance(what, Step) else self._sentence(what, length, put)
        return " ".join(self._stopped(self._say(one, length, put)) for one in what)

    @staticmethod
    def _stopped(text: str) -> str:
        """One of several statements ends in a stop of its own."""
        return text if text[-1:] in ".:!?" else f"{text}."

    def _statement(self, said: Said, length: Length, put: Put) -> str:
        entry = self.words.entry(said.key)
        template = _at_length(entry, length)
        if isinstance(template, dict):
            template = self._chosen(template, said)
        template = self.respelled(template)
        return put("words", template).format_map(_Told(said, lambda value: self._value(value, length, put)))

    def _sentence(self, said: Said, length: Length, put: Put) -> str:
        """A statement that begins with a capital, unless it begins with somebody's own name."""
        text = self._statement(said, length, put)
        return text if said.values and text.startswith(tuple(self._names(said, put))) else _capital(text)

    def _names(self, said: Said, put: Put) -> Iterator[str]:
        return (put("name", value) for _, value in said.values if isinstance(value, str) and value)

    def _chosen(self, choices: dict[str, str], said: Said) -> str:
        """The sentence for a count, by the language's plurals, or for a word."""
        by = said.value(choices["by"])
        if isinstance(by, int):
            return choices.get(str(by)) or choices.get(_plural(self.locale, by)) or choices["other"]
        assert isinstance(by, Term)
        return choices[by.key]

    def _step(self, step: Step, put: Put) -> str:
        """Label, equation, symbols with their values; what is no number stands before the label."""
        words = [self._value(value, "full", put) for _, value in step.values if not isinstance(value, Quantity | int)]
        given = [
            f"{put('equation', name)} = {self._value(value, 'full', put)}"
            for name, value in step.values
            if isinstance(value, Quantity | int)
        ]
        label = put("words", self.respelled(self.words.entry(step.key)["step"]))
        head = f"{_capital(', '.join(words))}. {label}" if words else label
        return f"{head}: {put('equation', equations()[step.key])}; {', '.join(given)}"

    # ---- values

    def _value(self, value: Value, length: Length, put: Put) -> str:
        if isinstance(value, str):
            return put("name", value)
        if isinstance(value, Said):
            return self._statement(value, length, put)
        if isinstance(value, tuple):
            return self._list([self._value(one, length, put) for one in value])
        if isinstance(value, Ruled):
            return self._ruled(value.text, put)
        if isinstance(value, Key):
            return put("key", value.name)
        if isinstance(value, Citation):
            return self._citation(value, put)
        return put("words", self._figure(value, length))

    def _citation(self, value: Citation, put: Put) -> str:
        """What is published by its source; anything else by what it is, after its source where it names one."""
        if value.status == "published":
            return put("citation", value.text)
        said = self.words.wing("common")["status"]
        status = put("words", str(said[value.status]))
        return (
            put("words", str(said["after"])).format(status=status, text=put("citation", value.text))
            if value.text
            else status
        )

    def _ruled(self, text: str, put: Put) -> str:
        known = self.language == "en" or text in self.words.rules or not re.search("[a-z]{3}", text)
        return put("words" if known else "citation", self.rule(text))

    def _figure(self, value: Value, length: Length) -> str:
        from pickrig.report.words import figures

        if isinstance(value, Quantity):
            return figures.quantity(value, self)
        if isinstance(value, Chance):
            return figures.chance(value, self, short=length == "tag")
        if isinstance(value, dt.datetime | dt.date):
            return figures.date(value, self)
        if isinstance(value, int):
            return figures.decimal(value, 0, self)
        assert isinstance(value, Term)
        return self.respelled(str(self.words.wing("common")["terms"][value.key]))

    def _list(self, told: list[str]) -> str:
        from babel.lists import format_list

        return str(format_list(told, locale=self.locale)) if told else ""

    @cached_property
    def _spelling(self) -> dict[str, str]:
        spelling: dict[str, str] = self.words.writing.get("spelling", {})
        return spelling

    @cached_property
    def _american(self) -> re.Pattern[str]:
        return re.compile(rf"\b(?:{'|'.join(self._spelling)})\b", re.IGNORECASE)

    def _marked(self, kind: str, piece: str) -> str:
        """A piece of HTML; what is not of this language says of which it is."""
        if kind == "key":
            return f"<code>{escape(piece)}</code>"
        if kind in ("citation", "equation") and self.language != "en":
            return f'<span lang="en">{escape(piece)}</span>'
        return str(escape(piece))


class _Told(dict[str, str]):
    """The values a sentence names, written when it names them."""

    def __init__(self, said: Said, write: Callable[[Value], str]) -> None:
        super().__init__()
        self._said, self._write = said, write

    def __missing__(self, name: str) -> str:
        return self._write(self._said.value(name))


def _at_length(entry: dict[str, Any], length: Length) -> Any:
    """The text of this length, else the next longer one there is, else the next shorter."""
    place = LENGTHS.index(length)
    for name in (*LENGTHS[place:], *reversed(LENGTHS[:place])):
        if name in entry:
            return entry[name]
    raise KeyError(length)


def _plain(_kind: str, piece: str) -> str:
    return piece


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _like(old: str, new: str) -> str:
    return _capital(new) if old[:1].isupper() else new


@cache
def _plural(locale: str, count: int) -> str:
    from babel import Locale

    return str(Locale.parse(locale).plural_form(count))


ENGLISH = Voice()
"""English in the United States, for tests and for faults before anything is known of the reader."""
