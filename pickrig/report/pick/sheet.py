"""The hand-over sheet: one sheet of paper for whoever takes the machine out."""

import datetime as dt
import re
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from pickrig.errors import OutputError
from pickrig.facts import Quantity, Said
from pickrig.files import make_folder, resolved, write_whole
from pickrig.inputs.job import hour_of
from pickrig.plans.pick.record import Recommendation
from pickrig.report.figure import VERDICT_SIGN
from pickrig.report.layout import page
from pickrig.report.pick.first_screen import first_screen, lengths
from pickrig.report.pictures.machine import machine_picture
from pickrig.report.words.voice import ENGLISH, Voice

_CAUTIONS = 6
_WORK = ("told.work", "told.load_split", "told.load_whole", "told.set_height", "told.volume", "told.haul", "told.road")
_FIRST_COLUMN = 6  # steps of the walk around under the drawing; the others stand beside it
_MARK = '<meta name="generator" content="pickrig sheet">'
_NAME = re.compile(r"\d{2,}\.html")


@dataclass(frozen=True)
class Told:
    """What a board has fixed for one machine. operator: empty where people are not planned."""

    date: dt.date
    at: Quantity
    operator: str


def as_sheet(answer: Recommendation, voice: Voice = ENGLISH, board: Told | None = None) -> str:
    """The sheet as HTML text; where nothing is sent, a sheet that says so. board: its day, hour and operator instead of
    the job's own."""
    hour, weather = answer.job.task.start, answer.job.weather
    start = None if hour is None else Quantity(3600 * hour_of(hour), "clock")
    return page(
        "sheet.html",
        voice,
        a=answer,
        first=first_screen(answer) if answer.pick else None,
        gate=lengths(answer.scene.gate) if answer.scene else None,
        machine=machine_picture(answer),
        signs=VERDICT_SIGN,
        date=board.date if board else None if weather is None else weather.job_day,
        start=board.at if board else start,
        operator=board.operator if board else "",
        half=_FIRST_COLUMN,
        cautions=answer.cautions[:_CAUTIONS],
        more=len(answer.cautions[_CAUTIONS:]),
        job=tuple(said for said in answer.told if said.key in _WORK),
    )


def refuse_sheet_clashes(folder: Path, others: Iterable[Path | None]) -> None:
    """Raise OutputError where another report would go where a board's sheets go, or a stranger's page lies there."""
    if folder.exists() and not folder.is_dir():
        raise OutputError(Said("fault.sheets_file", file=str(folder)))
    for other in others:
        if other is not None and resolved(other).parent == resolved(folder) and _NAME.fullmatch(other.name):
            raise OutputError(Said("fault.sheets_clash", file=str(other)))
    for path in _named_as_ours(folder):
        if not _is_ours(path):
            raise OutputError(Said("fault.sheets_strange", file=str(path)))


def write_sheets(folder: Path, sheets: Iterable[str]) -> list[str]:
    """Sheets in a folder, numbered from 01.html; the names of those removed, which an earlier board left.

    The old ones go first, so that no line that has been dropped is handed to a driver. Raises OutputError.
    """
    make_folder(folder)
    texts = {f"{number:02d}.html": sheet for number, sheet in enumerate(sheets, 1)}
    dropped = [path for path in _named_as_ours(folder) if path.name not in texts and _is_ours(path)]
    for path in dropped:
        try:
            path.unlink()
        except OSError as error:
            raise OutputError(Said("fault.sheets_old", file=str(path), reason=str(error.strerror))) from error
    for name, text in texts.items():
        write_whole(folder / name, text)
    return [path.name for path in dropped]


def _named_as_ours(folder: Path) -> list[Path]:
    return sorted(path for path in folder.glob("*.html") if _NAME.fullmatch(path.name)) if folder.is_dir() else []


def _is_ours(path: Path) -> bool:
    """Whether a page carries the sheets' mark near its top."""
    try:
        if not path.is_file() or path.is_symlink():
            return False
        with path.open("rb") as file:
            return _MARK.encode() in file.read(1000)
    except OSError:
        return False
