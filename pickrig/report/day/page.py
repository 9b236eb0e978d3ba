"""The board as a page: one self-contained HTML file."""

from pickrig.plans.day.record import DayPlan
from pickrig.report.day import told
from pickrig.report.figure import VERDICT_SIGN
from pickrig.report.layout import page
from pickrig.report.pictures.clock import clock_picture
from pickrig.report.words import figures
from pickrig.report.words.voice import ENGLISH, Voice


def as_board_page(plan: DayPlan, voice: Voice = ENGLISH) -> str:
    """The whole page as HTML text."""
    return page(
        "board.html",
        voice,
        a=plan,
        told=told,
        clocks={
            date: clock_picture(machines, told.by_truck(plan, date), lambda moment: figures.clock(moment, voice))
            for date, machines in told.by_date(plan)
        },
        signs=VERDICT_SIGN,
        crewed=any(line.operator for line in plan.lines),
        clock=lambda moment, line: told.clock(moment, line.date, voice),
        after=lambda line: told.after(line, voice),
        drives=lambda trip: told.drives(trip, voice),
    )
