"""A finding's own number, as every grid shows it."""

from pickrig.checks import Finding
from pickrig.facts import Quantity
from pickrig.report.words.voice import Voice

VERDICT_SIGN = {"go": "✓", "caution": "!", "no-go": "✗", "unknown": "?"}


def figure(finding: Finding, voice: Voice) -> str:
    """Short: "15 in 20", "2 in", "1.22×", "$3.90/h"; empty if it has none."""
    return "" if finding.value is None else voice.write(Quantity(finding.value, finding.unit))
