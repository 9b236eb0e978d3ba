"""File names made from titles."""

import re
import unicodedata

_LONGEST = 60
# Names that some systems keep for devices.
_TAKEN = {"con", "prn", "aux", "nul"} | {f"{port}{n}" for port in ("com", "lpt") for n in range(1, 10)}


def file_stem(title: str) -> str:
    """Small letters, digits and hyphens from any title; "job" where none of it is a letter or a digit."""
    plain = unicodedata.normalize("NFKD", title).encode("ascii", "ignore").decode("ascii").lower()
    stem = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:_LONGEST].strip("-")
    return f"{stem}-job" if stem in _TAKEN else stem or "job"
