"""The log beside a fleet, read for an answer."""

from pathlib import Path

from pickrig.inputs import Fleet
from pickrig.log.store import NAME, Log
from pickrig.plans.yard.teaching import Yard
from pickrig.plans.yard.wear import wear_of
from pickrig.rulebook import Rules


def yard_of(
    fleet_path: Path, fleet: Fleet, rules: Rules, log: Path | None = None, before: str | None = None
) -> Yard | None:
    """What the log beside this fleet teaches; None where there is none, or nothing in it. before: a
    day, of which what came on it or later is not known. Raises InputError,
    OutputError."""
    store = Log(log or fleet_path.parent / NAME)
    entries, readings = store.entries(), store.readings()
    if before is not None:
        entries = [entry for entry in entries if entry.day < before]
    if not entries and not readings:
        return None
    return Yard(tuple(entries), rules, wear_of(readings, entries, fleet, rules))
