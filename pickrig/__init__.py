"""Put the right machine on the right ground, and show the working.

    import pickrig

    lot = pickrig.Job.of(
        task={"kind": "carry pallets", "load": "1,600 lb"},
        ground={"soil": "lean clay", "wetness": "wet"},
        access={"gate": 1.83},
    )
    pickrig.pick(lot, pickrig.read_fleet("yard.toml")).page()

Texts carry their units; bare numbers are SI. Everything is loaded when it is first asked for.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

from pickrig import errors
from pickrig.facts import Said

if TYPE_CHECKING:
    from pickrig.api import (
        BuyAnswer,
        DayAnswer,
        Fleet,
        Job,
        Machine,
        PickAnswer,
        moisture,
        pick,
        plan_day,
        plan_year,
        read_day,
        read_fleet,
        read_job,
        read_log,
        read_year,
    )

__version__ = "0.1.0"

__all__ = [
    "BuyAnswer", "DayAnswer", "Fleet", "Job", "Machine", "PickAnswer",
    "moisture", "pick", "plan_day", "plan_year", "read_day", "read_fleet", "read_job", "read_log", "read_year",
]  # fmt: skip


def __getattr__(name: str) -> Any:
    """The face for Python, when it is first asked for."""
    if name not in __all__:
        raise AttributeError(f"module 'pickrig' has no attribute {name!r}")
    return getattr(import_module("pickrig.api"), name)


def _speak(said: Said) -> str:
    """A fault in English, for whoever catches it; the words are read only when there is one."""
    from pickrig.report.words.voice import ENGLISH

    return ENGLISH.say(said)


errors.speak.append(_speak)
