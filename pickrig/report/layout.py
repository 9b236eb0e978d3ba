"""The layout that all pages share: the templates, in a language, with everything that is shown escaped."""

from functools import cache

import jinja2
from markupsafe import escape

from pickrig.report.language import ENGLISH, Language


@cache
def environment(language: Language = ENGLISH) -> jinja2.Environment:
    """The templates in a language, with everything that is shown escaped."""
    made = jinja2.Environment(
        loader=jinja2.PackageLoader("pickrig.report"),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=language.shown,
    )
    made.globals |= {"_": language.fill, "lang": language.code, "raw": escape}
    return made
