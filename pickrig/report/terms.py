"""Words of the trade linked to their meaning where a text uses them."""

import re

from markupsafe import Markup


def anchor(term: str) -> str:
    """The id of a term's entry in the glossary."""
    return "word-" + re.sub(r"[^a-z0-9]+", "-", term.lower()).strip("-")


def linked(html: Markup, terms: list[str]) -> Markup:
    """A text of HTML with the first use of each term a link to its entry; tags and entities are left alone."""
    if not terms:
        return html
    words = "|".join(re.escape(term) for term in sorted(terms, key=len, reverse=True))
    seen: set[str] = set()

    def link(found: re.Match[str]) -> str:
        term = next((t for t in terms if t.lower() == found[0].lower()), None)
        if term is None or term in seen:  # a tag, or a term that is linked already
            return found[0]
        seen.add(term)
        return f'<a class="term" href="#{anchor(term)}">{found[0]}</a>'

    return Markup(re.sub(rf"<[^>]*>|(?<![\w&-])(?:{words})(?![\w;-])", link, str(html), flags=re.IGNORECASE))
