"""One decision and what came of it."""

import datetime as dt
import json
import uuid
from dataclasses import asdict, dataclass, field, fields
from typing import Any

SENT = ("yes", "too soft", "other reason")  # sent; looked at and not sent; not sent for something else
OUTCOMES = ("held", "rutted", "bogged", "turned back")
TOO_SOFT, BOGGED, TURNED_BACK = SENT[1], *OUTCOMES[2:]
HELPS = ("none", "mats", "towed", "half load", "waited")
HOURS = ("clock", "meter", "billed")


def new_id() -> str:
    return uuid.uuid4().hex


def now() -> str:
    return dt.datetime.now(dt.UTC).isoformat(timespec="seconds")


@dataclass(frozen=True)
class Entry:
    """sent: one of SENT. outcome: one of OUTCOMES, "" while nobody has told. rut: depth, m. helped: what the machine
    went with, since mats tell nothing of the ground. hours: it took, h; hours_kind: by which clock. would_have: of a
    job that was not done, what somebody found who looked later ("held" it would have). chance, margin, expected,
    on_site: what was said before: how often the ground holds; strength over need in the middle, by the books alone,
    None where strength does not decide; hours of the machine, and of all on the site. answer: the inputs that were
    asked, as JSON, so that it can be worked out again. replaces: the entry this one corrects. struck: when it was taken
    out, "" while it stands. origin: the mark of another yard, "" of one's own."""

    job: str
    machine: str
    day: str
    sent: str = "yes"
    outcome: str = ""
    rut: float | None = None
    helped: str = "none"
    hours: float | None = None
    hours_kind: str = "clock"
    would_have: str = ""
    broke: str = ""
    note: str = ""
    site: str = ""
    soil: str = ""
    work: str = ""
    crew: str = ""
    chance: float | None = None
    margin: float | None = None
    expected: float | None = None
    answer: str = "{}"
    release: str = ""
    replaces: str = ""
    struck: str = ""
    origin: str = ""
    on_site: float | None = None
    entered: str = field(default_factory=now)
    id: str = field(default_factory=new_id)

    def asked(self, *tables: str) -> dict[str, Any]:
        """A table of the inputs that were asked, as "job", "ground"; {} where there is none, or nothing readable."""
        try:
            node = json.loads(self.answer)
        except ValueError:
            return {}
        for name in tables:
            node = node.get(name) if isinstance(node, dict) else None
        return node if isinstance(node, dict) else {}

    def as_row(self) -> dict[str, Any]:
        """Its columns."""
        return asdict(self)


COLUMNS = tuple(one.name for one in fields(Entry))
NUMBERS = ("rut", "hours", "chance", "margin", "expected", "on_site")
NAMES = ("job", "machine", "site", "crew", "broke", "note")  # that tell whose yard it is
