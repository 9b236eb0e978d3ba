"""Whose voice to speak in: what the reader asked for, else what the country of the job has."""

from pickrig.quantities import System
from pickrig.report.words.voice import Voice
from pickrig.rulebook import Rules


def voice_of(language: str, units: System | None, country: str, rules: Rules) -> Voice:
    """A voice in this language; units, money and paper by the country where the reader does not say."""
    row = rules.countries[country]
    return Voice(language, units or row.units, country, row.currency, row.paper)
