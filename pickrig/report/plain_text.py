"""Plain text for a terminal, wrapped to the window at hand."""

import shutil
import textwrap

_NARROW, _WIDE = 40, 100


def window() -> int:
    """Signs a line, within what is read with ease."""
    return max(_NARROW, min(_WIDE, shutil.get_terminal_size((80, 24)).columns))


def section(title: str, items: tuple[str, ...] | list[str], width: int) -> list[str]:
    """A title over its items, each wrapped; nothing without items."""
    if not items:
        return []
    lines = [title]
    for item in items:
        lines += wrapped(item, width, "  - ", "    ")
    return [*lines, ""]


def wrapped(text: str, width: int, first: str = "", rest: str = "") -> list[str]:
    """A text as lines of this width."""
    return textwrap.wrap(text, width, initial_indent=first, subsequent_indent=rest) or [""]
