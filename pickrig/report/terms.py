"""Words of the trade linked to their meaning where a text uses them."""

import re

from markupsafe import Markup, escape


def anchor(term: str) -> str:
    """The id of a term's entry in the glossary."""
    return "word-" + re.sub(r"[^a-z0-9]+", "-", term.lower()).strip("-")


def linked(text: str, terms: list[str]) -> Markup:
    """The text escaped, with the first use of each term a link to its entry."""
    if not terms:
        return escape(text)
    pattern = "|".join(re.escape(term) for term in sorted(terms, key=len, reverse=True))
    seen: set[str] = set()

    def link(found: re.Match[str]) -> str:
        term = next(t for t in terms if t.lower() == found[0].lower())
        if term in seen:
            return found[0]
        seen.add(term)
        return f'<a class="term" href="#{anchor(term)}">{found[0]}</a>'

    # The text is escaped first; a term holds letters, spaces and hyphens only, so it cannot match inside an entity.
    return Markup(re.sub(rf"(?<![\w&-])(?:{pattern})(?![\w;-])", link, str(escape(text)), flags=re.IGNORECASE))
