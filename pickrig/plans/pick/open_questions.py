"""What the job leaves open that could still say no: named in the headline, asked in full below it."""

from dataclasses import dataclass

from pickrig.facts import Key, Said, Statements, Term
from pickrig.inputs import Job
from pickrig.plans.pick.record import Standing
from pickrig.rulebook import Rules

_NAMED = ("fits", "lifts", "produces")


@dataclass(frozen=True)
class Open:
    """One question: in a few words for the headline, None where it is not worth that, and in full. digs_blind: lines
    nobody marked, which never makes a plain go."""

    term: Term | None
    says: Statements
    digs_blind: bool = False


def open_questions(job: Job, pick: Standing, rules: Rules) -> tuple[Open, ...]:
    """What lies under the snow, the ground or the way, and what the pick's questions still ask for."""
    digs = rules.work[job.task.kind].digs
    at_home = job.task.kind == "work behind a house" or "turf" in job.surfaces
    asked = []
    if job.snow is not None and job.snow.under is None:
        asked.append(Open(Term("open_snow"), (Said("proviso.snow", key=Key("snow.under")),)))
    if digs and job.hazards.services is None:
        said = (Said("proviso.services", key=Key("hazards.services")),)
        asked.append(Open(Term("open_services"), said, digs_blind=True))
    if at_home and job.hazards.septic is None:
        asked.append(Open(Term("open_septic"), (Said("proviso.septic", key=Key("hazards.septic")),)))
    for finding in pick.findings:
        if finding.verdict == "unknown":
            asked.append(Open(Term(f"open_{finding.check}") if finding.check in _NAMED else None, finding.says))
    return tuple(asked)
