"""The board for other programs: JSON, and CSV for a spreadsheet."""

import csv
import datetime as dt
import io
import json
from typing import Any

from pickrig import __version__
from pickrig.plans.day.record import DayPlan, Left, Line, Run
from pickrig.report.day import told
from pickrig.report.words.voice import ENGLISH, Voice

_COLUMNS = (
    "start", "end", "back", "job", "machine", "attachment", "truck", "trailer", "hours", "chance", "costs", "margin",
    "kind", "arrive", "onto", "operator", "driver", "from", "to",
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
                "date": str(line.date),
                "event": plan.events[line.call.name],
                "why": [voice.say(said) for said in line.why],
                "limits": [{"label": voice.label(said), "says": voice.say(said)} for said in line.limits],
                "cautions": [voice.write(caution.says) for caution in line.cautions],
            }
            for line in plan.lines
        ],
        "drives": [_drive(run) for run in plan.runs],
        "left": [
            {"job": one.call.name, "hired": one.hired, "costs": one.costs, "why": voice.say(one.why)}
            for one in plan.left
        ],
        "idle": [{"machine": one.machine, "why": voice.say(one.why)} for one in plan.idle],
        "warnings": [voice.say(warning) for warning in plan.warnings],
        "since": None if plan.since is None else [voice.say(said) for said in plan.since],
        "if_dry": [voice.say(said) for said in plan.if_dry],
        "events": {mark: str(date) for mark, date in told.events(plan).items()},
        "assumed": [voice.say(note) for note in plan.assumed],
        "inputs": {"title": plan.board.title, "date": str(plan.board.date), "seed": plan.seed, "units": voice.units},
    }


def as_board_csv(plan: DayPlan) -> str:
    """A row a job, whether it goes, is hired out or stays undone, then a row a drive; "kind" says which. A text a
    spreadsheet would take for a formula gets an apostrophe before it."""
    out = io.StringIO()
    writer = csv.DictWriter(out, _COLUMNS, restval="", lineterminator="\r\n")
    writer.writeheader()
    rows = [*map(_row, plan.lines), *map(_left, plan.left), *map(_drive, plan.runs)]
    for row in rows:
        writer.writerow({key: _harmless(value) for key, value in row.items()})
    return out.getvalue()


def _row(line: Line) -> dict[str, Any]:
    return {
        "start": _when(line.start),
        "end": _when(line.end),
        "back": "" if line.back is None else _when(line.back),
        "job": line.call.name,
        "machine": line.machine,
        "attachment": line.tool,
        "truck": line.truck,
        "trailer": line.trailer,
        "hours": round(line.bill.hours, 2),
        "chance": None if line.chance is None else round(line.chance, 4),
        "costs": round(line.bill.total, 2),
        "margin": None if line.margin is None else round(line.margin, 2),
        "kind": "work",
        "arrive": _when(line.arrive),
        "onto": line.onto,
        "operator": line.operator,
    }


def _left(left: Left) -> dict[str, Any]:
    costs = None if left.costs is None else round(left.costs, 2)
    return {"job": left.call.name, "costs": costs, "kind": "hired" if left.hired else "undone"}


def _drive(run: Run) -> dict[str, Any]:
    """A drive as a row; an empty place is the yard, an empty machine an empty trailer."""
    return {
        "start": _when(run.leaves),
        "end": _when(run.arrives),
        "machine": run.machine,
        "truck": run.truck,
        "trailer": run.trailer,
        "kind": run.what,
        "driver": run.driver,
        "from": run.origin,
        "to": run.to,
    }


def _harmless(value: Any) -> Any:
    return f"'{value}" if isinstance(value, str) and value.startswith(_FORMULA) else value


def _when(moment: dt.datetime) -> str:
    return f"{told.rounded(moment):%Y-%m-%d %H:%M}"
