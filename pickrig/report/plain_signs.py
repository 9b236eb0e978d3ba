"""Signs a terminal's encoding does not have, in ones it has: 2.4x for 2.4×, ft2 for ft²."""

import codecs
import sys
import unicodedata

_PLAIN = {
    "×": "x",
    "·": ".",
    "–": "-",
    "—": "-",
    "“": '"',
    "”": '"',
    "’": "'",
    "…": "...",
    "°": "deg ",
    "≥": ">=",
    "−": "-",
}
_PLAIN |= {"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "′": "'", "″": '"'}


def plainly(error: UnicodeError) -> tuple[str, int]:
    """Handler for `codecs.register_error`: the nearest plain signs for those that cannot be written."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    lost = error.object[error.start : error.end]
    return "".join(_PLAIN.get(sign) or _stripped(sign) for sign in lost), error.end


def _stripped(sign: str) -> str:
    return unicodedata.normalize("NFKD", sign).encode("ascii", "ignore").decode("ascii") or "?"


def write_plainly() -> None:
    """Let the standard streams write what they can of a text, and never stop at a sign they lack."""
    codecs.register_error("plainly", plainly)
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):  # a test's or an embedder's stream may be any object
            stream.reconfigure(errors="plainly")
