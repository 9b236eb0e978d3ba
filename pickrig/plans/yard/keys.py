"""What an entry tells, and which offsets it bears on."""

import datetime as dt
from math import inf

from pickrig.inputs import Job
from pickrig.learning.ordinal import BOGGED, DECLINED, HELD, RUTTED, TURNED_BACK
from pickrig.log.entry import TOO_SOFT, Entry
from pickrig.log.entry import TURNED_BACK as CAME_BACK

Key = tuple[str, str]  # what an offset is of, as "soil", and which one
BY_WEATHER = "weather"
_WORDS = ("dry", "moist", "wet")
WORST = (BOGGED, TURNED_BACK)
_OUTCOMES = {"held": HELD, "rutted": RUTTED, "bogged": BOGGED, CAME_BACK: TURNED_BACK}


def outcome_of(entry: Entry) -> int | None:
    """What an entry tells of the ground; None where it tells nothing: another reason, nothing told yet, no strength in
    the answer, or help that the ground cannot take the credit for."""
    if entry.margin is None or not 0 < entry.margin < inf:
        return None
    if entry.would_have:
        return _OUTCOMES[entry.would_have]
    if entry.sent != "yes":
        return DECLINED if entry.sent == TOO_SOFT else None
    outcome = _OUTCOMES.get(entry.outcome)
    return outcome if entry.helped == "none" or outcome in WORST else None


def keys_of(entry: Entry) -> tuple[Key, ...]:
    """The offsets an entry bears on. Of another yard only the soil is the same; the rest is that yard's own."""
    soil = (("soil", entry.soil),) if entry.soil else ()
    if entry.origin:
        return ("whole", entry.origin), *soil
    word = _word(entry)
    told = (("word", word),) if word else ()
    return ("whole", ""), *soil, ("site", place(entry)), *told, ("machine", entry.machine)


def ground_keys(job: Job, soil: str, one_place: bool = True) -> tuple[Key, ...]:
    """The offsets of the ground of a job, on this soil. one_place: not of a kind of work, done at many."""
    word = BY_WEATHER if job.weather is not None and job.ground.wetness is None else job.ground.wetness
    told = (("word", word),) if word else ()
    site = (("site", job.site or job.title),) if one_place else ()
    return ("whole", ""), *((("soil", soil),) if soil else ()), *site, *told


def place(entry: Entry) -> str:
    """The site, or the job that names none."""
    return entry.site or entry.job


def _word(entry: Entry) -> str:
    seen = entry.asked("job", "ground").get("wetness")
    if isinstance(seen, str) and seen in _WORDS:
        return seen
    return BY_WEATHER if entry.asked("job", "weather") else ""


def pace_keys(entry: Entry) -> tuple[Key, ...]:
    crew = (("pace_crew", entry.crew),) if entry.crew else ()
    return ("pace", ""), *((("pace_work", entry.work),) if entry.work else ()), *crew


def date_of(text: str) -> dt.date:
    try:
        return dt.date.fromisoformat(text)
    except ValueError:
        return dt.date.min
