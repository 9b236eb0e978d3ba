"""The board on a terminal: who goes where, plain text, wrapped to the width at hand."""

import datetime as dt

from pickrig.plans.day.record import DayPlan, Line
from pickrig.report.day import told
from pickrig.report.plain_text import section, window, wrapped
from pickrig.report.words.voice import ENGLISH, Voice


def as_board_text(plan: DayPlan, voice: Voice = ENGLISH) -> str:
    """The answer, then each day by machine with its drives, what is left, who stays in, and why."""
    width = window()
    lines = [*wrapped(voice.say(plan.answer), width), ""]

    def add(head: str, items: list[str]) -> None:
        lines.extend(section(head, items, width))

    add(voice.text("board_watch"), [voice.say(warning) for warning in plan.warnings])
    if plan.since is not None:
        add(voice.text("board_since"), [voice.say(said) for said in plan.since] or [voice.text("board_unchanged")])
    add(voice.text("board_if_dry"), [voice.say(said) for said in plan.if_dry])
    for date, machines in told.by_date(plan):
        add(_capital(voice.write(date)), [_row(line, voice) for _, own in machines for line in own])
        add(voice.text("board_drives"), _drives(plan, date, voice))
    add(voice.text("board_left"), [voice.say((told.left_head(one), *one.why)) for one in plan.left])
    add(voice.text("board_idle"), [f"{one.machine}: {voice.say(one.why)}" for one in plan.idle])
    add(voice.text("board_assumed"), [voice.say(note) for note in plan.assumed])
    return "\n".join(lines).rstrip() + "\n"


def _row(line: Line, voice: Voice) -> str:
    return voice.say((*told.row(line, voice), told.ground(line), *told.margin(line), *line.why))


def _drives(plan: DayPlan, date: dt.date, voice: Voice) -> list[str]:
    return [
        f"{told.hands(trip)}, {told.clock(trip.leaves, date, voice)}: {voice.say(told.drives(trip, voice))}"
        for trip in told.trips(plan, date)
    ]


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
