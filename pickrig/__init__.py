"""Put the right machine on the right ground, and show the working."""

from pickrig import errors
from pickrig.facts import Said

__version__ = "0.1.0"


def _speak(said: Said) -> str:
    """A fault in English, for whoever catches it; the words are read only when there is one."""
    from pickrig.report.words.voice import ENGLISH

    return ENGLISH.say(said)


errors.speak.append(_speak)
