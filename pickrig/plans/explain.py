"""The answer and its reasons in sentences. Every difference of points adds up exactly."""

from pickrig.checks import QUESTIONS
from pickrig.inputs import Job
from pickrig.plans.recommendation import Lead, Standing
from pickrig.rulebook import Rules

_SHORT = {"floats": "staying afloat", "fits": "fitting in", "lifts": "lifting", "wears": "sparing rubber"}


def is_close(first: Standing | None, second: Standing | None, rules: Rules) -> bool:
    """Whether the two best differ by less than the inputs are known."""
    if first is None or second is None or first.unknowns != second.unknowns:
        return False
    return abs(first.score - second.score) < rules.limits.close_call.value


def answer(job: Job, first: Standing | None, second: Standing | None, machines: int, rules: Rules) -> str:
    """The answer in a sentence or two."""
    if first is None:
        count = "The one machine here is" if machines == 1 else f"None of these {machines} machines is"
        return f"{count} fit for “{job.title}” as it stands. What would make each usable is below."
    careful = [f for f in first.findings if f.verdict == "caution"]
    care = f", with care ({', '.join(_SHORT[f.check] for f in careful)})" if careful else ""
    said = f"Send {first.name}{care}."
    if second is None:
        return f"{said} It is the only one of {machines} that is fit." if machines > 1 else said
    if is_close(first, second, rules):
        return (
            f"{said} {second.name} is as good within what anyone can know here: let cost or availability decide "
            "between the two."
        )
    return f"{said} Next best is {second.name}."


def weighed(job: Job, weights: dict[str, float], rules: Rules) -> str:
    """How the questions were weighed, in a sentence."""
    shares = ", ".join(f"{_SHORT[name]} {weight:.0%}" for name, weight in weights.items())
    if job.weights:
        return f"By the job file's own weights today: {shares}."
    return f"For the work “{job.task.kind}” today: {shares}. {rules.work[job.task.kind].why}"


def leads(pick: Standing, rival: Standing, order: list[str]) -> tuple[Lead, ...]:
    """Question by question, what the pick gains or gives away; the points sum to the difference of the scores."""
    return tuple(
        Lead(check, a - b, pick.finding(check).says, rival.finding(check).says)
        for check, a, b in zip(order, pick.parts, rival.parts, strict=True)
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
        gaining = [lead for lead in gains if lead.points > 0.05]  # noqa: PLR2004  half of the last digit shown
        if gaining:
            return tuple(gaining[:3])
    own = [Lead(check, part, pick.finding(check).says, "") for check, part in zip(order, pick.parts, strict=True)]
    return tuple(sorted(own, key=lambda lead: -lead.points)[:3])


def provisos(pick: Standing | None) -> tuple[str, ...]:
    """What must be found out before the pick is sent."""
    if pick is None:
        return ()
    return tuple(f"{QUESTIONS[f.check]} {f.says}" for f in pick.findings if f.verdict == "unknown")
