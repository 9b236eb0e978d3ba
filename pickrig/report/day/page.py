"""The board as a page: one self-contained HTML file."""

from pickrig import __version__
from pickrig.plans.day.record import DayPlan
from pickrig.report.day import table
from pickrig.report.layout import environment


def as_board_page(plan: DayPlan) -> str:
    """The whole page as HTML text."""
    return (
        environment().get_template("board.html").render(a=plan, days=table.by_date(plan), t=table, version=__version__)
    )
