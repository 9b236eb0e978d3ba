"""Words and figures the views share."""

import math

from pickrig import quantities
from pickrig.checks import Finding
from pickrig.quantities import System

VERDICT_WORD = {"go": "go", "caution": "care", "no-go": "no", "unknown": "ask"}
VERDICT_SIGN = {"go": "✓", "caution": "!", "no-go": "✗", "unknown": "?"}


def figure(finding: Finding, units: System) -> str:
    """The finding's own number, short: "74 %", "2 in", "1.22 times", "$3.90/h"; empty if it has none."""
    if finding.value is None:
        return ""
    if math.isinf(finding.value):
        return "open"
    if finding.unit == "chance" and 0.995 <= finding.value < 1:  # never 100 % where it is only near
        return ">99 %"
    if finding.unit == "ratio" and finding.value >= 10:
        return f"{finding.value:.0f}×"
    return quantities.show(finding.value, finding.unit, units)
