"""The templates that all pages share, with a voice to speak in and everything that is shown escaped."""

from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import Any

import jinja2
from jinja2.bccache import Bucket

from pickrig import __version__
from pickrig.facts import Chance, Quantity, Ruled, Term
from pickrig.report.words.voice import Voice


class _Compiled(jinja2.FileSystemBytecodeCache):
    """Compiled templates beside the templates, as Python keeps its own modules; where nobody may write there, none."""

    def dump_bytecode(self, bucket: Bucket) -> None:
        with suppress(OSError):
            super().dump_bytecode(bucket)

    def load_bytecode(self, bucket: Bucket) -> None:
        with suppress(OSError):
            super().load_bytecode(bucket)


@cache
def _environment() -> jinja2.Environment:
    kept = Path(__file__).parent / "templates" / "__pycache__"
    with suppress(OSError):
        kept.mkdir(exist_ok=True)
    return jinja2.Environment(
        bytecode_cache=_Compiled(str(kept)),
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
