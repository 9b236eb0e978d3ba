"""The answer and its reasons in sentences. Every difference of points adds up exactly."""

from pickrig.inputs import Job
from pickrig.plans.pick.record import Lead, Standing
from pickrig.quantities import duration
from pickrig.rulebook import Rules
from pickrig.scoring import rounded_parts


def is_close(first: Standing | None, second: Standing | None, rules: Rules) -> bool:
    """Whether the two best differ by less than the inputs are known."""
    if first is None or second is None:
        return False
    return abs(first.score - second.score) < rules.limits.close_call.value


def answer(job: Job, ranking: list[Standing], rules: Rules) -> str:
    """The answer in a sentence or two, with the chance that the ground holds where it is not a go."""
    usable = [standing for standing in ranking if standing.usable]
    if not usable:
        unknown = [s.name for s in ranking if s.open_questions and all(f.verdict != "no-go" for f in s.findings)]
        count = "The one machine here is not" if len(ranking) == 1 else f"None of these {len(ranking)} machines is"
        maybe = f" {_listed(unknown)} cannot be judged until figures are added." if unknown else ""
        return f"{count} fit for “{job.title}” as it stands.{maybe}"
    first, second = usable[0], usable[1] if len(usable) > 1 else None
    said = f"Send {first.name}{_with_care(first, rules)}{_in_time(job, first)}."
    if second is None:
        return f"{said} It is the only one of {len(ranking)} that is fit." if len(ranking) > 1 else said
    if is_close(first, second, rules):
        return f"{said} {second.name} is as good within what anyone can know here: let cost or availability decide."
    return f"{said} Next best is {second.name}."


def _in_time(job: Job, pick: Standing) -> str:
    """How long it takes, where the job has a clock."""
    times = [f for f in pick.findings if f.check == "produces" and f.hours is not None]
    if not times:
        return ""
    window = job.snow.window if job.snow else None
    time = duration(times[0].hours or 0.0)
    return f": {time} of a {duration(window)} window" if window else f"; about {time} of work"


def _with_care(pick: Standing, rules: Rules) -> str:
    """What to take care of; a ground that is not a go with its chance, so that a coin-flip never reads as a yes."""
    told = []
    for finding in pick.findings:
        if finding.verdict != "caution":
            continue
        holds = finding.chance if finding.check == "floats" else None
        chance = f" ({_tenths(holds)} that it holds)" if holds is not None else ""
        told.append(f"{rules.questions[finding.check].care}{chance}")
    return f", with care: {_listed(told)}" if told else ""


def _tenths(chance: float) -> str:
    return f"{100 * chance:.0f} % chance"


def _listed(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def price(pick: Standing | None, rival: Standing | None, order: list[str], rules: Rules) -> str:
    """What the pick gives away to the runner-up, in a sentence; empty if nothing."""
    if pick is None or rival is None:
        return ""
    losses = [lead for lead in leads(pick, rival, order) if lead.points < -0.05]  # half a shown digit
    if not losses:
        return ""
    told = _listed([f"{rules.questions[lead.check].short} ({-lead.shown:.1f} points)" for lead in losses])
    return f"The price: {rival.name} is better on {told}."


def weighed(job: Job, weights: dict[str, float], rules: Rules) -> str:
    """How the questions were weighed, in a sentence."""
    shares = ", ".join(f"{rules.questions[name].short} {100 * weight:.0f} %" for name, weight in weights.items())
    shares = f"{shares}. {_swings(weights, rules)}"
    if job.weights:
        return f"By the job file's own weights today: {shares}"
    return f"For the work “{job.task.kind}” today: {shares} {rules.work[job.task.kind].why}"


def _swings(weights: dict[str, float], rules: Rules) -> str:
    """What the weights say, as a trade between swings: the heaviest against the next two."""
    ordered = [name for name, weight in weights.items() if weight > 0]
    first = ordered[0]
    told = [
        f"{weights[first] / weights[other]:.1f} times what {rules.questions[other].swing} counts"
        for other in ordered[1:3]
    ]
    if not told:
        return f"Only {rules.questions[first].swing} counts."
    swing = rules.questions[first].swing
    return f"{swing[:1].upper()}{swing[1:]} counts {', and '.join(told)}."


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


def provisos(job: Job, pick: Standing | None, rules: Rules) -> tuple[str, ...]:
    """What must be found out, or must stay as it is, before the pick is sent."""
    if pick is None:
        return ()
    told = [f"{f.provided} {f.says}" for f in pick.findings if f.provided]
    if rules.work[job.task.kind].digs and job.hazards.services is None:
        told.append("Are buried lines located and marked? The job file does not say (hazards.services).")
    return (*told, *(f"{rules.questions[f.check].asks} {f.says}" for f in pick.findings if f.verdict == "unknown"))
