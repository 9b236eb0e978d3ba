"""What the first screen says: who goes, how surely, pictures, a line for each question, what to do, who is next."""

from dataclasses import dataclass

from pickrig.checks.finding import Finding
from pickrig.facts import Chance, Quantity, Ruled, Said, Statements
from pickrig.plans.pick.record import InTheGate, OnTheArms, Recommendation, Standing
from pickrig.report.pictures.arms import ArmsPicture, arms_picture
from pickrig.report.pictures.gate import GatePicture, gate_picture
from pickrig.report.pictures.grounds import Grounds
from pickrig.report.pictures.lot import LotPicture, lot_picture
from pickrig.report.words.figures import OF, times_in_twenty

_ALWAYS = (
    "floats",
    "fits",
    "lifts",
    "produces",
    "spares_surface",
)  # whatever they answer; the others where they matter
_BEFORE = ("tier.find", "tier.ready", "tier.ready_pull", "tier.tonight", "tier.with_help", "tier.no_help")
_STOP = ("tier.stop_ruts", "tier.stop_slips", "tier.frost", "tier.lawn")


@dataclass(frozen=True)
class FirstScreen:
    """grounds, gate, lot, arms: the pictures, None where there is nothing to draw. questions: those that are told of;
    rows: the ones with no picture of their own. before: to be done first. rain: that may come or not. log: what
    the log of the yard moved. stop: when to
    stop. next: the next best, and why it is not first."""

    grounds: Grounds | None
    gate: GatePicture | None
    lot: LotPicture | None
    arms: ArmsPicture | None
    questions: tuple[Finding, ...]
    rows: tuple[Finding, ...]
    before: Statements
    rain: Statements
    log: Statements
    stop: Statements
    next: Statements


def first_screen(answer: Recommendation) -> FirstScreen:
    """Of an answer that picks a machine."""
    pick, scene = answer.pick, answer.scene
    assert pick is not None
    assert scene is not None
    fits = pick.finding("fits")
    straight = fits.says[0].key.endswith(("_gate", "_passage", "_walk"))  # else something else is the tightest
    gate = gate_picture(scene.gate) if straight and fits.stretch == 0 else None
    grounds, lot = grounds_of(pick.finding("floats")), lot_picture(scene.lot)
    arms = arms_picture(scene.arms) if gate is None and lot is None else None
    questions = tuple(_in_order(pick, answer.job.snow is not None))
    drawn = {"floats": grounds, "fits": gate, "produces": lot, "lifts": arms}
    return FirstScreen(
        grounds=grounds,
        gate=gate,
        lot=lot,
        arms=arms,
        questions=questions,
        rows=tuple(f for f in questions if drawn.get(f.check) is None),
        before=tuple(said for said in answer.tier.says if said.key in _BEFORE),
        rain=answer.if_rain,
        log=answer.by_log.says[:1] if answer.by_log is not None else (),
        stop=tuple(said for said in answer.tier.says if said.key in _STOP),
        next=_next(answer),
    )


def grounds_of(floats: Finding) -> Grounds | None:
    """The twenty grounds of a machine; None where no soil has to hold it."""
    if floats.chance is None or floats.says[0].key == "floats.hard":
        return None
    told = next((v for _, v in floats.says[0].values if isinstance(v, Chance)), Chance(floats.chance))
    return Grounds(max(0, min(OF, times_in_twenty(told))))


def _beside_the_point(finding: Finding, snow: bool) -> bool:
    """Whether it says of a snow lot that it has no soil to hold anything."""
    return snow and finding.says[0].key == "floats.hard"


def _in_order(pick: Standing, snow: bool) -> list[Finding]:
    """The questions everybody asks, then those that call for care."""
    asked = {finding.check: finding for finding in pick.findings}
    first = [asked[name] for name in _ALWAYS if name in asked and not _beside_the_point(asked[name], snow)]
    return first + [f for f in pick.findings if f.check not in _ALWAYS and f.verdict != "go"]


def _next(answer: Recommendation) -> Statements:
    """The next best with what parts it most from the first."""
    rival = answer.runner_up
    if rival is None:
        return ()
    lead = Said("answer.as_good" if answer.close_call else "answer.next", machine=rival.name)
    return (lead,) if answer.close_call else (lead, parted(answer, rival))


def parted(answer: Recommendation, rival: Standing) -> Said:
    """What stops a machine, or what it gives away most to the first."""
    if not rival.usable:
        stops = next((f for f in rival.findings if f.verdict == "no-go"), None) or rival.open_questions[0]
        return Said("parted", question=Ruled(answer.questions[stops.check].short), said=stops.says[0])
    leads = answer.why_over.get(rival.name, ())
    worst = max(leads, key=lambda lead: lead.points, default=None)
    if worst is None or worst.points <= 0:
        return Said("parted_none")
    finding, own = rival.finding(worst.check), answer.pick.finding(worst.check) if answer.pick else None
    question = Ruled(answer.questions[worst.check].short)
    if finding.verdict == "go" and own is not None and finding.value is not None and own.value is not None:
        other, first = (Quantity(one.value or 0.0, one.unit) for one in (finding, own))
        return Said("parted_by", question=question, other=other, first=first)
    return Said("parted", question=question, said=finding.says[0])


def lengths(gate: InTheGate | None) -> dict[str, Quantity]:
    """What is written into the picture of the gate."""
    if gate is None:
        return {}
    return {"opening": Quantity(gate.opening, "length"), "clearance": Quantity(gate.clearance, "length")}


def masses(arms: OnTheArms | None) -> dict[str, Quantity]:
    """What is written beside the load."""
    if arms is None:
        return {}
    return {name: Quantity(getattr(arms, name), "mass") for name in ("load", "safe", "tips")}
