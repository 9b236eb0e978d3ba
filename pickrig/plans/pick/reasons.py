"""The answer and its reasons. Every difference of points adds up exactly."""

from pickrig.checks.wears import is_sharp
from pickrig.facts import Chance, Quantity, Ruled, Said, Statements, number
from pickrig.inputs import Job
from pickrig.inputs.job import attachment_of
from pickrig.plans.pick.open_questions import open_questions
from pickrig.plans.pick.ranking import raises
from pickrig.plans.pick.record import Lead, Standing, Tier
from pickrig.rulebook import Rules
from pickrig.scoring import rounded_parts


def is_close(first: Standing | None, second: Standing | None, rules: Rules) -> bool:
    """Whether the two best differ by less than the inputs are known."""
    if first is None or second is None:
        return False
    return abs(first.score - second.score) < rules.limits.close_call.value


def answer(job: Job, ranking: list[Standing], tier: Tier, rules: Rules) -> Statements:
    """What to send and how firmly, what to watch out for, how long it takes, and what is next; or that nothing is
    fit."""
    usable = [standing for standing in ranking if standing.usable]
    if not usable:
        unknown = tuple(s.name for s in ranking if s.open_questions and all(f.verdict != "no-go" for f in s.findings))
        none = Said("answer.none", count=len(ranking), job=job.title)
        missing = (Said("answer.unknown", machines=unknown),) if unknown else ()
        why = _all_for(ranking) or _all_on(ranking, rules)
        return (none, *why, *_nearest(ranking), *missing, *tier.says)
    first = usable[0]
    send = Said(f"answer.{tier.name}", machine=first.name, tool=Ruled(attachment_of(job.task, rules)))
    after = _after(usable, len(ranking), rules)
    return (send, *_holds(first, tier), *tier.says, *_watch(job, first, rules), *_in_time(job, first), *after)


def _all_on(ranking: list[Standing], rules: Rules) -> Statements:
    """The question that every machine fails on, each in its own way."""
    noes = [{f.check for f in standing.findings if f.verdict == "no-go"} for standing in ranking]
    what = tuple(Ruled(rules.questions[check].short) for check in rules.questions if all(check in no for no in noes))
    return (Said("answer.all_on", what=what),) if what and len(ranking) > 1 else ()


def _nearest(ranking: list[Standing]) -> Statements:
    """Where nothing but the ground says no: the machine that it would hold most often."""
    soft = [s for s in ranking if {f.check for f in s.findings if f.verdict == "no-go"} <= {"floats", "grips"}]
    chances = [(s.finding("floats").chance or 0.0, s.name) for s in soft]
    if len(ranking) == 1 or not chances or max(chances)[0] == 0:
        return ()
    chance, name = max(chances)
    return (Said("answer.nearest", machine=name, chance=Chance(chance)),)


def _all_for(ranking: list[Standing]) -> Statements:
    """What rules out every machine alike: a tank under the way, lines that nobody marked."""
    first, *rest = ({f.says[0]: None for f in standing.findings if f.verdict == "no-go"} for standing in ranking)
    return tuple(said for said in first if all(said in other for other in rest))


def _after(usable: list[Standing], machines: int, rules: Rules) -> Statements:
    """The next best, if any is fit."""
    if len(usable) == 1:
        return (Said("answer.only", count=machines),) if machines > 1 else ()
    first, second = usable[:2]
    return (Said("answer.as_good" if is_close(first, second, rules) else "answer.next", machine=second.name),)


def _in_time(job: Job, pick: Standing) -> Statements:
    """How long it takes, where the job has a clock."""
    seconds = next((f.seconds for f in pick.findings if f.check == "produces"), None)
    if seconds is None:
        return ()
    time, window = Quantity(seconds, "duration"), job.snow.window if job.snow else None
    if window is None:
        return (Said("answer.time", time=time),)
    return (Said("answer.window", time=time, window=Quantity(window, "duration")),)


def _holds(pick: Standing, tier: Tier) -> Statements:
    """The chance of a ground that is not a go, or not by the job's own costs."""
    floats = pick.finding("floats")
    if floats.chance is None or (floats.verdict != "caution" and tier.name != "wait"):
        return ()
    return (Said("answer.holds", chance=Chance(floats.chance, tier.bet)),)


def _watch(job: Job, pick: Standing, rules: Rules) -> Statements:
    """What to watch out for."""
    what = [care for f in pick.findings if f.verdict == "caution" for care in _care(job, f.check, rules)]
    return (Said("answer.watch", what=tuple(what)),) if what else ()


def _care(job: Job, check: str, rules: Rules) -> list[Ruled]:
    """What the question calls for care with: the surfaces by their names, anything else by the rules' word."""
    if check == "wears" and is_sharp(job):
        return [Ruled(rules.wear.debris.care)]
    cared = [Ruled(name) for name in job.ground.travel if name in rules.care.surfaces]
    return cared if check == "spares_surface" and cared else [Ruled(rules.questions[check].care)]


def price(pick: Standing | None, rival: Standing | None, order: list[str], rules: Rules) -> Said | None:
    """What the pick gives away to the runner-up; None if nothing."""
    if pick is None or rival is None:
        return None
    losses = [lead for lead in leads(pick, rival, order) if lead.points < -0.05]  # half a shown digit
    if not losses:
        return None
    return Said("price", rival=rival.name, on=tuple(_given_away(lead, rules) for lead in losses))


def _given_away(lead: Lead, rules: Rules) -> Said:
    question = Ruled(rules.questions[lead.check].short)
    return Said("price.on", question=question, points=Quantity(-lead.shown, "points"))


def weighed(job: Job, weights: dict[str, float], rules: Rules) -> Statements:
    """How the questions were weighed, what that trades, and why."""
    shares = tuple(
        Said("weighed.share", question=Ruled(rules.questions[name].short), share=Quantity(weight, "share"))
        for name, weight in weights.items()
    )
    swings = _swings(weights, rules)
    if job.weights:
        return (Said("weighed.own", shares=shares), *swings)
    why = Said("ruled", text=Ruled(rules.work[job.task.kind].why))
    lead = Said("weighed.work", work=Ruled(job.task.kind), shares=shares)
    return (lead, *_moved_up(job, weights, rules), *swings, why)


def _moved_up(job: Job, weights: dict[str, float], rules: Rules) -> Statements:
    """What the site made matter more than its kind of work alone would."""
    usual = [name for name in rules.work[job.task.kind].ranking if name in weights]
    now = list(weights)
    last = {row.question: Ruled(row.says) for row in raises(job, rules) if row.question in weights}
    return tuple(
        Said("weighed.raised", question=Ruled(rules.questions[name].short), place=now.index(name) + 1, why=why)
        for name, why in last.items()
        if now.index(name) < usual.index(name)
    )


def _swings(weights: dict[str, float], rules: Rules) -> Statements:
    """What the weights say, as a trade between swings: the heaviest against the next two."""
    ordered = [name for name, weight in weights.items() if weight > 0]
    first = Ruled(rules.questions[ordered[0]].swing)
    if len(ordered) == 1:
        return (Said("weighed.only", first=first),)
    return tuple(
        Said(
            "weighed.swing",
            first=first,
            times=number(weights[ordered[0]] / weights[other], 1),
            other=Ruled(rules.questions[other].swing),
        )
        for other in ordered[1:3]
    )


def leads(pick: Standing, rival: Standing, order: list[str]) -> tuple[Lead, ...]:
    """Question by question, what the pick gains or gives away; the points sum to the difference of the scores."""
    points = [a - b for a, b in zip(pick.parts, rival.parts, strict=True)]
    shown = rounded_parts(points).tolist()
    return tuple(Lead(check, points[i], shown[i]) for i, check in enumerate(order))


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
    own = [Lead(check, pick.parts[i], shown[i]) for i, check in enumerate(order)]
    return tuple(sorted(own, key=lambda lead: -lead.points)[:3])


def provisos(job: Job, pick: Standing | None, rules: Rules) -> tuple[Statements, ...]:
    """What must be found out, or must stay as it is, before the pick is sent."""
    if pick is None:
        return ()
    frozen = [(f.provided, *f.says[:1]) for f in pick.findings if f.provided]
    return (*frozen, *(one.says for one in open_questions(job, pick, rules)))
