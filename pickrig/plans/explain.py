"""The answer and its reasons in sentences. Every difference of points adds up exactly."""

from pickrig.checks import QUESTIONS
from pickrig.inputs import Job
from pickrig.plans.recommendation import Lead, Standing
from pickrig.rulebook import Rules
from pickrig.scoring import rounded_parts

_SHORT = {"floats": "staying afloat", "fits": "fitting in", "lifts": "lifting", "wears": "sparing rubber"}


def is_close(first: Standing | None, second: Standing | None, rules: Rules) -> bool:
    """Whether the two best differ by less than the inputs are known."""
    if first is None or second is None or first.unknowns != second.unknowns:
        return False
    return abs(first.score - second.score) < rules.limits.close_call.value


def answer(job: Job, first: Standing | None, second: Standing | None, machines: int, rules: Rules) -> str:
    """The answer in a sentence or two."""
    if first is None:
        count = "The one machine here is not" if machines == 1 else f"None of these {machines} machines is"
        return f"{count} fit for “{job.title}” as it stands."
    careful = [f for f in first.findings if f.verdict == "caution"]
    care = f", with care in {_listed([_SHORT[f.check] for f in careful])}" if careful else ""
    said = f"Send {first.name}{care}."
    if second is None:
        return f"{said} It is the only one of {machines} that is fit." if machines > 1 else said
    if is_close(first, second, rules):
        return f"{said} {second.name} is as good within what anyone can know here: let cost or availability decide."
    return f"{said} Next best is {second.name}."


def _listed(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def price(pick: Standing | None, rival: Standing | None, order: list[str]) -> str:
    """What the pick gives away to the runner-up, in a sentence; empty if nothing."""
    if pick is None or rival is None:
        return ""
    losses = [lead for lead in leads(pick, rival, order) if lead.points < -0.05]  # half a shown digit
    if not losses:
        return ""
    told = _listed([f"{-lead.shown:.1f} points on {_SHORT[lead.check]}" for lead in losses])
    return f"The price: it gives {rival.name} {told}."


def weighed(job: Job, weights: dict[str, float], rules: Rules) -> str:
    """How the questions were weighed, in a sentence."""
    shares = ", ".join(f"{_SHORT[name]} {100 * weight:.0f} %" for name, weight in weights.items())
    if job.weights:
        return f"By the job file's own weights today: {shares}."
    return f"For the work “{job.task.kind}” today: {shares}. {rules.work[job.task.kind].why}"


def leads(pick: Standing, rival: Standing, order: list[str]) -> tuple[Lead, ...]:
    """Question by question, what the pick gains or gives away; the points sum to the difference of the scores."""
    points = [a - b for a, b in zip(pick.parts, rival.parts, strict=True)]
    shown = rounded_parts(points).tolist()
    return tuple(
        Lead(check, points[i], shown[i], pick.finding(check).says, rival.finding(check).says)
        for i, check in enumerate(order)
    )


def why_over(pick: Standing | None, usable: list[Standing], order: list[str]) -> dict[str, tuple[Lead, ...]]:
    """The pick against each other usable machine."""
    if pick is None:
        return {}
    return {rival.name: leads(pick, rival, order) for rival in usable if rival is not pick}


def reasons(pick: Standing | None, rival: Standing | None, order: list[str]) -> tuple[Lead, ...]:
    """The three strongest reasons: what it gains on the runner-up, else what it scores on."""
    if pick is None:
        return ()
    if rival is not None:
        gains = sorted(leads(pick, rival, order), key=lambda lead: -lead.points)
        gaining = [lead for lead in gains if lead.points > 0.05]  # half of the last digit shown
        if gaining:
            return tuple(gaining[:3])
    shown = rounded_parts(pick.parts).tolist()
    own = [Lead(check, pick.parts[i], shown[i], pick.finding(check).says, "") for i, check in enumerate(order)]
    return tuple(sorted(own, key=lambda lead: -lead.points)[:3])


def provisos(pick: Standing | None) -> tuple[str, ...]:
    """What must be found out before the pick is sent."""
    if pick is None:
        return ()
    return tuple(f"{QUESTIONS[f.check]} {f.says}" for f in pick.findings if f.verdict == "unknown")
