"""What page, terminal and sheet say of one answer: statements put together from its record, each in one place."""

from pickrig.checks import Finding
from pickrig.facts import Chance, Quantity, Ruled, Said, Statements, Value
from pickrig.plans.pick.record import (
    CatchUp,
    Cost,
    DayAhead,
    Flip,
    GroundHelp,
    Moved,
    Recommendation,
    SnowPull,
    Standing,
)


def flip(one: Flip, answer: Recommendation) -> Said:
    """What would change the answer, and what leads then."""
    if one.then_pick is None:
        return Said("flip.then_none", flip=one.says)
    if answer.pick is None:
        return Said("flip.then_first", flip=one.says, machine=one.then_pick)
    if one.by == "score":
        return Said("flip.then", flip=one.says, machine=one.then_pick)
    return Said("flip.then_fit", flip=one.says, machine=one.then_pick, old=answer.pick.name)


def in_the_way(standing: Standing) -> tuple[Finding, ...]:
    """What stands in a machine's way; not what only follows from another no."""
    noes = {f.check for f in standing.findings if f.verdict == "no-go"}
    return tuple(
        f for f in standing.findings if f.follows not in noes and (f.verdict == "no-go" or f in standing.open_questions)
    )


def outs(answer: Recommendation) -> list[Statements]:
    """For each machine that is ruled out, by what."""
    return [_of(s, tuple(f.says[0] for f in in_the_way(s))) for s in answer.ranking if not s.usable]


def needed(answer: Recommendation) -> list[Statements]:
    """What would make each machine usable; what holds for all of them, once."""
    if answer.site.instead:
        return [(Said("ruled", text=Ruled(answer.site.instead)),)]
    told = ((s, tuple(said for f in in_the_way(s) for said in f.remedy or f.says)) for s in answer.ranking)
    return [_of(standing, statements) for standing, statements in told]


def _of(standing: Standing, told: Statements) -> Statements:
    return (Said("out_line", machine=standing.name), *dict.fromkeys(told))


def catch_up(rival: CatchUp) -> Said:
    """The nearest single answers that would put a rival ahead, or that none would."""
    behind = Quantity(rival.behind, "points")
    if not rival.ways:
        return Said("catch_up_none", machine=rival.machine, behind=behind)
    return Said("catch_up_ways", machine=rival.machine, behind=behind, ways=rival.ways[:2])


def moved(one: Moved, answer: Recommendation) -> Said:
    """One machine under the usual weights and under the job's own."""
    given: dict[str, Value] = {
        "machine": one.machine,
        "now": one.now,
        "points": Quantity(one.points, "change"),
        "question": Ruled(answer.questions[one.through].short),
        "through": Quantity(one.through_points, "change"),
    }
    return Said("moved", was=one.was, **given) if one.was != one.now else Said("stayed", **given)


def cost(one: Cost) -> Said:
    """What the job costs with one machine, in parts."""
    parts = {name: Quantity(getattr(one, name), "money") for name in ("total", "work", "rubber", "bogging", "repair")}
    return Said("costs_line", machine=one.machine, hours=Quantity(3600 * one.hours, "duration"), **parts)


def day(one: DayAhead) -> Said:
    """Rain, and how often the machine picked then holds."""
    rain = Quantity(one.rain, "rain")
    if one.pick is None:
        return Said("day_none", date=one.date, rain=rain)
    chance = one.chances.get(one.pick)
    if chance is None:
        return Said("day_plain", date=one.date, rain=rain, machine=one.pick)
    return Said("day_line", date=one.date, rain=rain, machine=one.pick, chance=Chance(chance))


def help_(one: GroundHelp) -> Statements:
    """What is laid, how much of it, and how often it holds then."""
    given: dict[str, Value] = {
        "help": one.help,
        "area": Quantity(one.area, "plain area"),
        "chance": Chance(one.chance, one.wanted),
        "route": Quantity(one.route, "length"),
    }
    each = "" if one.given else "_each"
    enough = Said("help_enough" if one.enough else "help_short")
    if one.thickness is None or one.mass is None:
        return (Said(f"help_flat{each}", **given), enough)
    thick = Quantity(one.thickness, "small length")
    return (Said(f"help_thick{each}", **given, thickness=thick, mass=Quantity(one.mass, "tons")), enough)


def snow_pulls(answer: Recommendation) -> list[tuple[SnowPull, tuple[Quantity, ...]]]:
    """Each machine's pull that counts, with its pull by each view, in the order of the answer; [] without snow."""
    if not answer.snow:
        return []
    counted = next(view for view in answer.snow if view.counted)
    by_view = [{pull.machine: pull for pull in view.pulls} for view in answer.snow]
    return [(pull, tuple(Quantity(view[pull.machine].pull, "force") for view in by_view)) for pull in counted.pulls]


def time_of(pull: SnowPull) -> Quantity:
    return Quantity(float("inf") if pull.seconds is None else pull.seconds, "duration")


def snow(answer: Recommendation) -> list[Said]:
    """A line a machine: its pull, what a full box takes, and the time."""
    told = []
    for pull, by_view in snow_pulls(answer):
        given: dict[str, Value] = {"full": Quantity(pull.full, "force"), "time": time_of(pull)}
        if len({one.value for one in by_view}) == 1:
            told.append(Said("snow_line", machine=pull.machine, pull=by_view[0], **given))
        else:
            views = dict(zip(("force", "reach", "practice"), by_view, strict=True))
            told.append(Said("snow_line_three", machine=pull.machine, **views, **given))
    return told
