"""What the log has taught, on a terminal."""

import numpy as np

from pickrig.facts import number
from pickrig.inputs import Fleet
from pickrig.plans.yard.said import wear_said
from pickrig.plans.yard.teaching import Yard
from pickrig.report.log.told import kept_says, rows_of
from pickrig.report.plain_text import window, wrapped
from pickrig.report.words.voice import ENGLISH, Voice
from pickrig.rulebook import Rules


def as_learned_text(yard: Yard | None, fleet: Fleet, rules: Rules, voice: Voice = ENGLISH) -> str:
    """Offsets with their ranges, wear, how words and forecasts came true, and how much the log helps."""
    offsets = () if yard is None else (*yard.offsets, *yard.pace)
    if yard is None or not (offsets or yard.wear):
        return voice.text("log_learned_none") + "\n"
    width, lines, hours = window(), list[str](), None
    for row in rows_of(offsets, {key: soil.name for key, soil in rules.soils.items()}):
        if row.of_hours != hours:
            lines.append(voice.text("log_hours" if row.of_hours else "log_strength") + ":")
            hours = row.of_hours
        jobs = f"{voice.text('log_jobs').lower()} {row.jobs}"
        lines += wrapped(f"{voice.say(row.says)}: {voice.say(row.told)}, {jobs}", width, "  ", "    ")
    lines += [line for one in yard.kept for line in wrapped(voice.say(kept_says(one)), width)]
    lines += [line for one in wear_said(yard, fleet, rules) for line in wrapped(voice.say(one), width)]
    lines += wrapped(_gain(yard, rules, voice), width) if yard.outcomes else []
    return "\n".join(lines) + "\n"


def _gain(yard: Yard, rules: Rules, voice: Voice) -> str:
    if len(yard.gains) < rules.learning["enough"].value:
        return voice.text("log_few", jobs=len(yard.gains))
    return voice.text("log_gain", jobs=len(yard.gains), gain=number(float(np.mean(yard.gains)), 2))
