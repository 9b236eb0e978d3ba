"""A day's sheet for each of the people: what they drive and run, by the clock; a truck's where none are planned."""

import datetime as dt

from pickrig.facts import Ruled, Said, Statements
from pickrig.plans.day.record import DayPlan, Line
from pickrig.report.day import told
from pickrig.report.day.told import Trip
from pickrig.report.layout import page
from pickrig.report.words.voice import ENGLISH, Voice

_BEFORE_A_DRIVE = ("duty_hitch", "duty_tie", "duty_call")


def as_duties(plan: DayPlan, voice: Voice = ENGLISH) -> list[str]:
    """A page a person and day, as HTML text."""
    dates = sorted({line.date for line in plan.lines})
    return [_duty(plan, date, who, own, voice) for date in dates for who, own in told.by_person(plan, date)]


def _duty(plan: DayPlan, date: dt.date, who: str, own: list[Trip | Line], voice: Voice) -> str:
    def how(one: Trip | Line) -> Statements:
        if isinstance(one, Trip):
            return told.drives(one, voice)
        at = (told.clock(moment, date, voice) for moment in (one.arrive, one.end))
        return (Said("duty_works", arrive=next(at), end=next(at), tool=Ruled(one.tool)), told.ground(one))

    drives = any(isinstance(one, Trip) for one in own)
    return page(
        "duty.html",
        voice,
        a=plan,
        who=who,
        date=date,
        duties=own,
        drives=drives,
        before=_BEFORE_A_DRIVE if drives else ("duty_call",),
        clock=lambda one: told.clock(one.leaves if isinstance(one, Trip) else one.start, date, voice),
        what=lambda one: one.rig if isinstance(one, Trip) else f"{one.machine}: {one.call.name}",
        how=how,
    )
