"""Lines of the board as words, shared by page, terminal and CSV."""

import datetime as dt

from pickrig import quantities
from pickrig.plans.day.record import DayPlan, Left, Line
from pickrig.report.words import VERDICT_WORD


def by_date(plan: DayPlan) -> list[tuple[str, list[tuple[str, list[Line]]]]]:
    """Lines under the day, and under the machine."""
    days: dict[dt.date, dict[str, list[Line]]] = {}
    for line in plan.lines:
        days.setdefault(line.date, {}).setdefault(line.machine, []).append(line)
    return [(date_words(date), list(machines.items())) for date, machines in sorted(days.items())]


def date_words(date: dt.date) -> str:
    return f"{date:%A} {date.day} {date:%B}"


def rounded(moment: dt.datetime) -> dt.datetime:
    """To five minutes: nobody knows it better."""
    past = dt.timedelta(minutes=moment.minute % 5, seconds=moment.second, microseconds=moment.microsecond)
    return moment - past + (dt.timedelta(minutes=5) if past >= dt.timedelta(minutes=2.5) else dt.timedelta())


def clock(moment: dt.datetime, date: dt.date) -> str:
    """Hours and minutes; the weekday too, where it is not the board's."""
    near = rounded(moment)
    return f"{near.hour}:{near.minute:02d}" + (f" {near:%a}" if near.date() != date else "")


def rig(line: Line) -> str:
    if not line.truck:
        return "no trailer"
    there = "is there; fetched with " if line.there else ""
    return f"{there}{line.trailer} behind {line.truck}"


def chance(line: Line) -> str:
    return f"{line.chance:.0%}" if line.chance is not None else "hard ground"


def money(sum_: float | None, plan: DayPlan) -> str:
    if sum_ is None:
        return ""
    shown = quantities.show(abs(sum_), "money", plan.units)
    return f"-{shown}" if sum_ <= -0.5 else shown


def minds(line: Line) -> list[str]:
    """What is short of a plain yes, in the findings' own words."""
    return [f"{VERDICT_WORD[f.verdict]}: {f.says}" for f in line.minds]


def left_head(left: Left, plan: DayPlan) -> str:
    """What becomes of a job no machine of the yard does."""
    if left.hired:
        return f"{left.call.name}: hired out for {money(left.costs, plan)}"
    costs = f", which costs {money(left.costs, plan)}" if left.costs else ""
    return f"{left.call.name}: not done{costs}"
