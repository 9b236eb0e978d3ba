"""The board for the crew's telephones: an iCalendar file (RFC 5545)."""

import datetime as dt
from typing import Any

from pickrig import __version__
from pickrig.facts import Ruled, Said
from pickrig.plans.day.record import DayPlan, Line
from pickrig.report.day import told
from pickrig.report.day.told import Trip
from pickrig.report.words.voice import ENGLISH, Voice

_FIRST = dt.datetime(2020, 1, 1, tzinfo=dt.UTC)


def as_calendar(plan: DayPlan, voice: Voice = ENGLISH, now: dt.datetime | None = None) -> str:
    """An event a job and an event a trip, in the reader's own time; what a plan of before had and this has not is
    called off.

    An entry keeps its mark when another machine goes or another day is found. Its SEQUENCE counts the minutes at which
    it was written (`now`, UTC; else this moment), so that a later file always takes the place of an earlier one.
    """
    from icalendar import Calendar, Event

    now = now or dt.datetime.now(dt.UTC)
    calendar = Calendar()
    calendar.add("prodid", f"-//pickrig {__version__}//")
    calendar.add("version", "2.0")
    calendar.add("x-wr-calname", plan.board.title)

    def add(mark: str, **told_: Any) -> None:
        event = Event()
        event.add("uid", f"{mark}@pickrig.invalid")
        event.add("dtstamp", now)
        event.add("sequence", int((now - _FIRST).total_seconds() // 60))
        for key, value in told_.items():
            event.add(key, value)
        calendar.add_component(event)

    for line in plan.lines:
        add(plan.events[line.call.name], **_work(line, voice))
    for mark, trip in told.marked_trips(plan):
        add(mark, **_trip(trip, voice))
    for mark in sorted(set(plan.dropped) - set(told.events(plan))):
        start = dt.datetime.combine(plan.board.date, plan.board.start)
        called_off = [voice.text("board_called_off"), *filter(None, [plan.dropped[mark]])]
        add(mark, dtstart=start, status="CANCELLED", summary=": ".join(called_off))
    return str(calendar.to_ical().decode("utf-8"))


def _work(line: Line, voice: Voice) -> dict[str, Any]:
    goes = Said("board.event", tool=Ruled(line.tool), rig=told.rig(line))
    runs = [voice.say(Said("board.runs_it", who=line.operator))] if line.operator else []
    limits = [f"{voice.label(said)}: {voice.say(said)}" for said in line.limits]
    cautions = [voice.write(caution.says) for caution in line.cautions]
    return {
        "dtstart": told.rounded(line.arrive),
        "dtend": told.rounded(line.end),
        "summary": f"{line.machine}: {line.call.name}",
        "location": line.call.name,
        "description": "\n".join([voice.say(goes), *runs, *limits, *cautions]),
    }


def _trip(trip: Trip, voice: Voice) -> dict[str, Any]:
    return {
        "dtstart": told.rounded(trip.leaves),
        "dtend": told.rounded(trip.back),
        "summary": voice.text("board_trip", rig=told.hands(trip), machine=trip.machine),
        "location": next((run.to for run in trip.runs if run.to), trip.runs[0].origin),
        "description": voice.say(told.drives(trip, voice)),
    }
