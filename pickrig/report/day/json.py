"""The board for other tools: JSON, CSV, and a calendar for the crew's telephones."""

import csv
import datetime as dt
import hashlib
import io
import json
from typing import Any

from pickrig import __version__
from pickrig.facts import Ruled, Said
from pickrig.plans.day.record import DayPlan, Line
from pickrig.report.day import told
from pickrig.report.words.voice import ENGLISH, Voice

_COLUMNS = (
    "start", "end", "back", "job", "machine", "attachment", "truck", "trailer", "hours", "chance", "costs", "margin",
)  # fmt: skip
_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def as_board_json(plan: DayPlan, voice: Voice = ENGLISH) -> str:
    """The whole record as JSON text; never NaN."""
    return json.dumps(as_board_dict(plan, voice), ensure_ascii=False, indent=2, allow_nan=False) + "\n"


def as_board_dict(plan: DayPlan, voice: Voice = ENGLISH) -> dict[str, Any]:
    """The whole record as plain data, dollars and hours."""
    return {
        "pickrig": __version__,
        "answer": voice.say(plan.answer),
        "by_money": plan.by_money,
        "total": plan.total,
        "gap": plan.gap,
        "lines": [
            {
                **_row(line),
                "why": [voice.say(said) for said in line.why],
                "limits": [{"label": voice.label(said), "says": voice.say(said)} for said in line.limits],
                "cautions": [voice.write(caution.says) for caution in line.cautions],
            }
            for line in plan.lines
        ],
        "left": [
            {"job": one.call.name, "hired": one.hired, "costs": one.costs, "why": voice.say(one.why)}
            for one in plan.left
        ],
        "idle": [{"machine": one.machine, "why": voice.say(one.why)} for one in plan.idle],
        "warnings": [voice.say(warning) for warning in plan.warnings],
        "assumed": [voice.say(note) for note in plan.assumed],
        "inputs": {"title": plan.board.title, "date": str(plan.board.date), "seed": plan.seed, "units": voice.units},
    }


def as_board_csv(plan: DayPlan) -> str:
    """A row a line of the board. A text a spreadsheet would take for a formula gets an apostrophe before it."""
    out = io.StringIO()
    writer = csv.DictWriter(out, _COLUMNS, lineterminator="\r\n")
    writer.writeheader()
    for line in plan.lines:
        writer.writerow({key: _harmless(value) for key, value in _row(line).items()})
    return out.getvalue()


def as_calendar(plan: DayPlan, voice: Voice = ENGLISH) -> str:
    """An iCalendar file (RFC 5545), an event a line, in the reader's own time."""
    from icalendar import Calendar, Event

    calendar = Calendar()
    calendar.add("prodid", f"-//pickrig {__version__}//")
    calendar.add("version", "2.0")
    stamp = dt.datetime.combine(plan.board.date, dt.time(), dt.UTC)  # the same board, the same file
    for line in plan.lines:
        event = Event()
        event.add("uid", f"{_of_its_own(line)}@pickrig.invalid")
        event.add("dtstamp", stamp)
        event.add("dtstart", told.rounded(line.start))
        event.add("dtend", told.rounded(line.end))
        event.add("summary", f"{line.machine}: {line.call.name}")
        event.add("description", "\n".join(_described(line, voice)))
        calendar.add_component(event)
    return str(calendar.to_ical().decode("utf-8"))


def _described(line: Line, voice: Voice) -> list[str]:
    goes = Said("board.event", tool=Ruled(line.tool), rig=told.rig(line))
    limits = [f"{voice.label(said)}: {voice.say(said)}" for said in line.limits]
    return [voice.say(goes), *limits, *(voice.write(caution.says) for caution in line.cautions)]


def _row(line: Line) -> dict[str, Any]:
    return {
        "start": _when(line.start),
        "end": _when(line.end),
        "back": _when(line.back),
        "job": line.call.name,
        "machine": line.machine,
        "attachment": line.tool,
        "truck": line.truck,
        "trailer": line.trailer,
        "hours": round(line.bill.hours, 2),
        "chance": None if line.chance is None else round(line.chance, 4),
        "costs": round(line.bill.total, 2),
        "margin": None if line.margin is None else round(line.margin, 2),
    }


def _harmless(value: Any) -> Any:
    return f"'{value}" if isinstance(value, str) and value.startswith(_FORMULA) else value


def _of_its_own(line: Line) -> str:
    """A mark no other line has, whatever signs their names share."""
    return hashlib.sha256(json.dumps([str(line.date), line.machine, line.call.name]).encode()).hexdigest()[:32]


def _when(moment: dt.datetime) -> str:
    return f"{told.rounded(moment):%Y-%m-%d %H:%M}"
