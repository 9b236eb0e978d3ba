"""The log on a terminal: a line an entry, the last first."""

from collections.abc import Sequence

from pickrig.facts import Chance, Quantity, Said, Statements, Term
from pickrig.log.entry import Entry
from pickrig.log.reading import WORDS, Reading
from pickrig.report.plain_text import window, wrapped
from pickrig.report.words.voice import ENGLISH, Voice

_SHOWN = 8  # signs of an entry's mark: enough to strike it out by


def as_log_text(entries: Sequence[Entry | Reading], voice: Voice = ENGLISH) -> str:
    """What stands in the log."""
    if not entries:
        return voice.text("log_empty") + "\n"
    width, lines = window(), list[str]()
    for entry in sorted(entries, key=lambda one: one.entered, reverse=True):
        head = f"{entry.id[:_SHOWN]}  {voice.say(line_of(entry))}"
        lines += wrapped(head, width, "", " " * (_SHOWN + 2))
    return "\n".join(lines) + "\n"


def reading_line(reading: Reading) -> Statements:
    """One reading: day, machine, and what was seen."""
    told = [Said("log.reading", date=reading.day, machine=reading.machine)]
    if reading.meter is not None:
        told.append(Said("log.meter", hours=Quantity(3600 * reading.meter, "life")))
    if reading.depth is not None:
        told.append(Said("log.depth", depth=Quantity(reading.depth, "length")))
    told += [Said("log.fresh")] if reading.fresh else []
    for part in WORDS:
        if word := getattr(reading, part):
            told.append(Said("log.seen", part=Term(f"part_{part}"), word=Term(f"seen_{word}")))
    return tuple(told)


def line_of(entry: Entry | Reading) -> Statements:
    """One entry: day, machine, job, what came of it, and what had been said before."""
    if isinstance(entry, Reading):
        return reading_line(entry)
    told = [Said("log.entry", date=entry.day, machine=entry.machine, job=entry.job), outcome_of(entry)]
    if entry.helped != "none":
        told.append(Said(f"log.helped_{entry.helped.replace(' ', '_')}"))
    if entry.hours is not None:
        told.append(Said("log.hours", hours=Quantity(3600 * entry.hours, "duration")))
        if entry.on_site is not None and entry.expected is not None:
            site, alone = (Quantity(3600 * hours, "duration") for hours in (entry.on_site, entry.expected))
            told.append(Said("log.reckoned", on_site=site, machine=alone))
    if entry.chance is not None:
        told.append(Said("log.said", chance=Chance(entry.chance)))
    return tuple(told)


def outcome_of(entry: Entry) -> Said:
    """What came of it."""
    if entry.sent != "yes":
        key = {"too soft": "log.too_soft", "other reason": "log.other_reason"}[entry.sent]
        return Said("log.would_have") if entry.would_have == "held" else Said(key)
    if not entry.outcome:
        return Said("log.not_told")
    if entry.outcome == "rutted" and entry.rut is not None:
        return Said("log.rutted_deep", depth=Quantity(entry.rut, "length"))
    return Said(f"log.{entry.outcome.replace(' ', '_')}")
