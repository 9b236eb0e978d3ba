"""The board on a terminal: who goes where, plain text, wrapped to the width at hand."""

from pickrig.plans.day.record import DayPlan, Line
from pickrig.report.day import table
from pickrig.report.plain_text import section, window, wrapped


def as_board_text(plan: DayPlan) -> str:
    """The answer, then each day by machine, what is left, who stays in, and why."""
    width = window()
    lines = [*wrapped(plan.answer, width), ""]
    lines += section("Mind", plan.warnings, width)
    for date, machines in table.by_date(plan):
        rows = [_row(line, plan) for _, own in machines for line in own]
        lines += section(date, rows, width)
    left = [f"{table.left_head(one, plan)}. {' '.join(one.why)}" for one in plan.left]
    lines += section("Not by our own machines", left, width)
    lines += section("In the yard", [f"{one.machine}: {one.why}" for one in plan.idle], width)
    lines += section("Assumed", plan.assumed, width)
    return "\n".join(lines).rstrip() + "\n"


def _row(line: Line, plan: DayPlan) -> str:
    leaves = f", leaves {table.money(line.leaves, plan)}" if line.leaves is not None else ""
    said = (
        f"{line.machine}: {line.call.name}, {table.clock(line.start, line.date)} to "
        f"{table.clock(line.end, line.date)}, home {table.clock(line.back, line.date)}, with {line.tool}; "
        f"{table.rig(line)}; ground {table.chance(line)}{leaves}."
    )
    return " ".join([said, *line.why])
