"""What came of a job: its page on the desk, filled in before from the answer, and what stands in the log."""

import datetime as dt
from dataclasses import replace
from pathlib import Path
from typing import Any

from pickrig import __version__
from pickrig.desk import job_page
from pickrig.desk.store import Store
from pickrig.errors import InputError
from pickrig.facts import Said
from pickrig.guide.log_entry import Told, told_entry, told_reading
from pickrig.inputs import Fleet
from pickrig.log.entry import HELPS, Entry
from pickrig.log.reading import WORDS, Reading
from pickrig.log.store import NAME, Log
from pickrig.plans.pick.answer import pick
from pickrig.plans.pick.logged import entry_of
from pickrig.plans.pick.quick_look import glance
from pickrig.plans.yard.beside import yard_of
from pickrig.plans.yard.teaching import Yard
from pickrig.report.log.terminal import line_of
from pickrig.report.words.voice import Voice
from pickrig.rulebook import Rules

OUTCOMES = ("held", "rutted", "bogged", "turned_back", "too_soft", "other_reason", "would_have")
_SHOWN, _MARK, _LONGEST = 20, 8, 200


def yard(store: Store, fleet: Fleet, rules: Rules) -> Yard | None:
    """What the log of this folder teaches."""
    return yard_of(store.folder / NAME, fleet, rules, _path(store))


def shown(store: Store, rules: Rules, fields: dict[str, str], voice: Voice) -> dict[str, Any]:
    """The form, filled in with the pick and the job's day, and the last entries. Raises InputError."""
    form = job_page.opened(store, rules, fields.get("file", "") or "?", fields.get("fleet", ""))
    job, fleet = job_page.read(form, store, rules)
    ranking = glance(job, fleet, rules, yard(store, fleet, rules)).ranking
    day = job.weather.job_day if job.weather is not None else dt.datetime.now().astimezone().date()
    return {
        "form": form,
        "title": job.title,
        "machines": [standing.name for standing in ranking],
        "day": day.isoformat(),
        "today": dt.datetime.now().astimezone().date().isoformat(),
        "outcomes": OUTCOMES,
        "seen": WORDS,
        "helps": HELPS,
        "entries": _lines(store, voice),
        "said": fields.get("said", ""),
    }


def _lines(store: Store, voice: Voice) -> list[tuple[str, str]]:
    """Mark and text of the last entries."""
    log = Log(_path(store))
    every: list[Entry | Reading] = [*log.entries(), *log.readings()]
    entries = sorted(every, key=lambda one: one.entered, reverse=True)
    return [(one.id[:_MARK], voice.say(line_of(one), "line")) for one in entries[:_SHOWN]]


def posted(store: Store, rules: Rules, fields: dict[str, str]) -> None:
    """Add what was told, or strike out an entry. Raises InputError and OutputError."""
    log = Log(_path(store))
    if fields.get("strike"):
        log.strike(fields["strike"], dt.datetime.now(dt.UTC).isoformat(timespec="seconds"))
        return
    form = job_page.opened(store, rules, fields.get("file", "") or "?", fields.get("fleet", ""))
    job, fleet = job_page.read(form, store, rules)
    if fields.get("do") == "reading":
        log.add_reading(_read(fields, [machine.name for machine in fleet.machines]))
        return
    told = _told(fields)
    day = told.day(job)
    known = yard_of(store.folder / NAME, fleet, rules, _path(store), day.isoformat())
    entry = entry_of(pick(job, fleet, rules, yard=known), rules, fields.get("machine", ""), day, __version__)
    broke, crew, note = (fields.get(key, "")[:_LONGEST] for key in ("broke", "crew", "note"))
    log.add(replace(told_entry(entry, told), broke=broke, crew=crew, note=note))


def _read(fields: dict[str, str], names: list[str]) -> Reading:
    seen = {part: fields.get(part, "") for part in WORDS}
    meter, depth, day = (fields.get(key, "").strip() or None for key in ("meter", "depth", "day"))
    fresh = fields.get("fresh") == "yes"
    return told_reading(names, fields.get("machine", ""), meter, depth, fresh, seen, "", day)


def _told(fields: dict[str, str]) -> Told:
    did = fields.get("do", "")
    given: dict[str, Any] = {name: True for name in OUTCOMES if name == did and name != "rutted"}
    return Told(
        **given,
        rutted=fields.get("rut", "").strip() if did == "rutted" else None,
        helped=fields.get("helped", "none"),
        hours=fields.get("hours", "").strip() or None,
        on=fields.get("day", "").strip() or None,
    )


def _path(store: Store) -> Path:
    store.must_be_there()
    path = store.folder / NAME
    if path.is_symlink():
        raise InputError([Said("fault.a_link", name=NAME)])
    return path
