"""Cautions, walk-around and glossary that go with an answer: chosen from the rules, never made up here."""

from math import isfinite

from pickrig.checks.cited import cited
from pickrig.checks.ground.site import Site
from pickrig.facts import Citation, Ruled
from pickrig.inputs import Job, soft_share
from pickrig.inputs.job import attachment_of
from pickrig.plans.pick.record import Advice, Look, Standing
from pickrig.rulebook import Rules

_THROW = ("brush cutter", "drum mulcher", "cold planer", "stump grinder")
_BREAK = ("breaker", "cold planer")


def tags_of(job: Job, pick: Standing | None, site: Site, rules: Rules) -> set[str]:
    """What is true of this job and machine, in the words that `when` uses in the rules (`TAGS`)."""
    held = {
        **_work_tags(job, rules),
        **_ground_tags(job, site, rules),
        **_danger_tags(job, rules),
        **(_machine_tags(pick) if pick else {}),
    }
    attachment = attachment_of(job.task, rules)
    law = rules.countries[job.country].law
    return {"always", "EU" if law == "other" else law, attachment} | {tag for tag, holds in held.items() if holds}


def _work_tags(job: Job, rules: Rules) -> dict[str, bool]:
    attachment = attachment_of(job.task, rules)
    return {
        "digs": rules.work[job.task.kind].digs,
        "loads trucks": job.task.kind == "load trucks" or job.task.truck_side is not None,
        "forks": "forks" in attachment,
        "hydraulic": rules.attachments[attachment]["compact"].hydraulics is not None,
        "throws": attachment in _THROW,
        "breaks": attachment in _BREAK,
        "hauled": job.haul is not None,
        "not hauled": job.haul is None,
    }


def _ground_tags(job: Job, site: Site, rules: Rules) -> dict[str, bool]:
    """The ground, its water, its frost, and what is driven on."""
    ground, air, snow = job.ground, job.ground.temperature, job.snow
    soft = soft_share(ground, rules) > 0
    hard = snow is None and any(rules.surfaces[name].hard for name in job.surfaces)
    nobody_said = ground.wetness is None and ground.moisture is None
    hot_asphalt = ground.new_asphalt or (air is not None and air >= rules.care.values["hot"].value)
    return {
        "soft": soft,
        "wet": soft and (ground.wetness == "wet" or ground.standing_water or nobody_said),
        "rain": site.rain >= rules.wetness["slippery_rain"].value,
        "standing water": ground.standing_water,
        "frozen": bool(ground.frost or site.frost),
        "hard surface": hard,
        "hot asphalt": "asphalt" in job.surfaces and hot_asphalt,
        "turf": "turf" in job.surfaces,
        "snow": snow is not None or "packed snow" in job.surfaces,
        "ice": snow is not None and snow.under in (None, "ice", "packed snow"),
        "hot": air is not None and air >= rules.care.values["heat"].value,
        "cold": snow is not None or (air is not None and air <= 0),
    }


def _danger_tags(job: Job, rules: Rules) -> dict[str, bool]:
    """What hurts people and plant, as far as the job says; a septic tank or lines nobody looked for may be there."""
    hazards, ground = job.hazards, job.ground
    slope = max(ground.grade or 0.0, ground.grade_across or 0.0)
    low = job.access.headroom is not None and isfinite(job.access.headroom)
    trench = hazards.trench in ("protected", "unprotected") or job.task.kind == "trench"
    return {
        "septic": hazards.septic != "none",
        "power lines": hazards.power_lines in ("clear", "near"),
        "power lines unknown": hazards.power_lines is None,
        "power lines near": hazards.power_lines == "near",
        "edge": hazards.edges or trench,
        "slope": slope > 0,
        "may tip": hazards.edges or trench or slope > rules.limits.climbs.level,
        "indoors": hazards.indoors is True,
        "headroom": low and hazards.indoors is None,
        "services unknown": hazards.services in (None, "unmarked"),
        "services marked": hazards.services == "marked",
        "people": hazards.people,
        "irrigation": hazards.irrigation,
        "roots": hazards.roots,
    }


def _machine_tags(pick: Standing) -> dict[str, bool]:
    stands_on = pick.machine.kind == "stand-on loader"
    return {
        pick.machine.gear: True,
        "stand-on": stands_on,
        "articulated": pick.machine.kind == "articulated loader",
        "ride-in": not stands_on,
        "tight": pick.finding("fits").verdict == "caution",
    }


def cautions(job: Job, pick: Standing | None, site: Site, rules: Rules) -> tuple[Advice, ...]:
    """What to watch out for: in the order of the rules, what kills first."""
    tags = tags_of(job, pick, site, rules)
    own = (Advice(Ruled(site.instead), Citation("our judgment")),) if site.instead else ()
    hold = [row for row in rules.cautions.values() if tags.issuperset(row.when)]
    return own + tuple(Advice(Ruled(row.says), cited(rules, row)) for row in hold)


def walkaround(job: Job, pick: Standing | None, site: Site, rules: Rules) -> tuple[Look, ...]:
    """Where to look before starting the picked machine, and what stops it."""
    if pick is None:
        return ()
    tags = tags_of(job, pick, site, rules)
    steps = ((part, step) for part, step in rules.walkaround.items() if tags.issuperset(step.when))
    return tuple(Look(Ruled(step.look), Ruled(step.stop), part) for part, step in steps)


def fitting(job: Job, pick: Standing | None, site: Site, rules: Rules) -> tuple[Advice, ...]:
    """What to fit and how to use it."""
    tags = tags_of(job, pick, site, rules)
    rows = (row for row in rules.fitting.values() if tags.issuperset(row.when))
    return tuple(Advice(Ruled(row.says), cited(rules, row)) for row in rows)


def nothing_happens(rules: Rules) -> tuple[Ruled, ...]:
    """What to try first when the machine does nothing, in order."""
    return tuple(Ruled(row.try_) for row in rules.nothing_happens.values())


def glossary(rules: Rules) -> tuple[tuple[Ruled, Ruled], ...]:
    return tuple((Ruled(term), Ruled(row.says)) for term, row in rules.glossary.items())
