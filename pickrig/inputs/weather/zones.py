"""Local time: which day an hour of a file belongs to."""

import datetime as dt
import re
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from pickrig.errors import WrongError

_OFFSET = re.compile(r"(?:UTC|GMT)\s*([+-])\s*(\d{1,2})(?::?(\d{2}))?", re.IGNORECASE)


def read_zone(text: str) -> dt.tzinfo:
    """ "America/Chicago", or hours from UTC as "UTC-5". Raises WrongError."""
    offset = _OFFSET.fullmatch(text.strip())
    if offset:
        minutes = 60 * int(offset[2]) + int(offset[3] or 0)
        if minutes <= 14 * 60:
            return dt.timezone(dt.timedelta(minutes=-minutes if offset[1] == "-" else minutes))
    try:
        return dt.UTC if text.strip().upper() in ("UTC", "GMT") else ZoneInfo(text.strip())
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:
        raise WrongError("fault.zone") from error


def by_longitude(longitude: float) -> dt.tzinfo:
    """An hour for every 15 degrees: the sun's own time, within an hour or so of the clock's."""
    return dt.timezone(dt.timedelta(hours=round(longitude / 15)))


def local(moment: dt.datetime, zone: dt.tzinfo) -> dt.datetime:
    """A moment of a zone or of UTC as a clock on the site shows it, without its zone."""
    known = moment if moment.tzinfo is not None else moment.replace(tzinfo=dt.UTC)
    return known.astimezone(zone).replace(tzinfo=None)
