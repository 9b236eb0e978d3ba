"""The templates that all pages share, with a voice to speak in and everything that is shown escaped."""

from functools import cache
from typing import Any

import jinja2

from pickrig import __version__
from pickrig.facts import Chance, Quantity, Ruled, Term
from pickrig.report.words.voice import Voice


@cache
def _environment() -> jinja2.Environment:
    return jinja2.Environment(
        loader=jinja2.PackageLoader("pickrig.report"),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def page(template: str, voice: Voice, **told: Any) -> str:
    """A template filled in."""
    return _environment().get_template(template).render(**tools_of(voice), **told)


def tools_of(voice: Voice) -> dict[str, Any]:
    """What templates speak with. t: a text by its key; say, line and tag: statements at a length; rule: a text of the
    rules; word: a term; w: any value; q: a number with its dimension; n: a bare number."""
    return {
        "lang": voice.language,
        "paper": voice.paper,
        "release": __version__,
        "t": voice.text_html,
        "say": voice.html,
        "line": lambda said: voice.html(said, "line"),
        "tag": lambda said: voice.html(said, "tag"),
        "label": voice.label,
        "rule": lambda text: voice.write_html(Ruled(text)),
        "word": lambda key: voice.write_html(Term(key)),
        "w": voice.write_html,
        "q": lambda value, dimension: voice.write_html(Quantity(value, dimension)),
        "n": voice.decimal,
        "chance": Chance,
    }
