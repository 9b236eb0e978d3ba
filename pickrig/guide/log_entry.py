"""What somebody tells of a job, put into its entry."""

import datetime as dt
from dataclasses import dataclass, replace

from pickrig import quantities
from pickrig.errors import InputError, QuantityError
from pickrig.facts import Said
from pickrig.inputs import Job
from pickrig.log.entry import HELPS, HOURS, Entry
from pickrig.log.reading import WORDS, Reading
from pickrig.reading import nearest


@dataclass(frozen=True)
class Told:
    """As the command line has it: one of the first seven, the rest if anybody knows."""

    held: bool = False
    rutted: str | None = None
    bogged: bool = False
    turned_back: bool = False
    too_soft: bool = False
    other_reason: bool = False
    would_have: bool = False
    helped: str = "none"
    hours: str | None = None
    hours_kind: str = "clock"
    on: str | None = None

    def day(self, job: Job) -> dt.date:
        """The day told, else the job's own, else today. Raises InputError."""
        today = _day(None)
        return min(job.weather.job_day, today) if self.on is None and job.weather is not None else _day(self.on)


def _day(on: str | None) -> dt.date:
    """A day as it was told, else today. Raises InputError, also for a day still to come."""
    today = dt.datetime.now().astimezone().date()
    if on is None:
        return today
    try:
        day = dt.date.fromisoformat(on)
    except ValueError as error:
        raise InputError([Said("fault.log_day", read=on)]) from error
    if day > today:
        raise InputError([Said("fault.log_to_come", read=on)])
    return day


def told_reading(
    names: list[str],
    machine: str,
    meter: str | None,
    depth: str | None,
    fresh: bool,
    seen: dict[str, str],
    note: str,
    on: str | None,
) -> Reading:
    """What was read off one of these machines. Raises InputError: no such machine, a word or a number that cannot be
    read, nothing told."""
    name = next((one for one in names if one.lower() == machine.strip().lower()), None)
    if name is None:
        raise InputError([Said("fault.log_machine", name=machine, near=nearest(machine, names, "known.it_has"))])
    for part, word in seen.items():
        if word and word not in WORDS[part]:
            raise InputError([Said("fault.log_word", option=f"--{part}", read=word, known=tuple(WORDS[part]))])
    if meter is None and depth is None and not fresh and not any(seen.values()):
        raise InputError([Said("fault.log_nothing")])
    hours = _read("--meter", meter, "time", 0.0, 3600.0 * 60_000)
    return Reading(
        machine=name,
        day=_day(on).isoformat(),
        meter=None if hours is None else hours / 3600,
        depth=_read("--depth", depth, "length", 0.0, 0.15),
        fresh=float(fresh),
        note=note,
        **seen,
    )


_STAYED = ("too_soft", "other_reason", "would_have")
_OUTCOMES = {"held": "held", "rutted": "rutted", "bogged": "bogged", "turned_back": "turned back"}


def told_entry(entry: Entry, told: Told) -> Entry:
    """Raises InputError: nothing or two things told, a word or a number that cannot be read."""
    given = [
        name
        for name in (*_OUTCOMES, "too_soft", "other_reason", "would_have")
        if getattr(told, name) or getattr(told, name) == ""
    ]
    if len(given) != 1:
        raise InputError([Said("fault.log_one", count=len(given))])
    for word, known, option in ((told.helped, HELPS, "--with"), (told.hours_kind, HOURS, "--hours-by")):
        if word not in known:
            raise InputError([Said("fault.log_word", option=option, read=word, known=tuple(known))])
    if given[0] in _STAYED and (told.hours is not None or told.helped != HELPS[0]):
        raise InputError([Said("fault.log_stayed")])
    sent = "other reason" if told.other_reason else "too soft" if told.too_soft or told.would_have else "yes"
    return replace(
        entry,
        sent=sent,
        outcome=_OUTCOMES.get(given[0], ""),
        would_have="held" if told.would_have else "",
        rut=_read("--rutted", told.rutted or None, "length", 0.0, 1.5),
        helped=told.helped,
        hours=None if told.hours is None else (_read("--hours", told.hours, "time", 60.0, 3600.0 * 200) or 0) / 3600,
        hours_kind=told.hours_kind,
    )


def _read(option: str, text: str | None, dimension: str, low: float, high: float) -> float | None:
    if text is None:
        return None
    try:
        value = quantities.parse(text, dimension)
    except QuantityError as error:
        raise InputError([Said("fault.log_number", option=option, read=text)]) from error
    if not low <= value <= high:
        raise InputError([Said("fault.log_number", option=option, read=text)])
    return value
