"""Frozen ground: a cone index means nothing in frost, so two other rules are asked, and both are shown."""

from dataclasses import replace

from pickrig.checks.case import Case
from pickrig.checks.finding import Finding
from pickrig.checks.loading import GRAVITY, Carry
from pickrig.checks.site import Site
from pickrig.inputs import Job
from pickrig.physics import frost

_FROZEN = "The ground is frozen, and the answer holds only while it is."


def with_frost(case: Case, loading: Carry, thawed: Finding) -> Finding:
    """The finding for thawed ground, corrected for frost given in the job or worked out from the weather."""
    given = case.job.ground.frost
    depth, thaw = _layers(case.job, case.site)
    skin, riding = case.rules.strength["frost_skin"].value, case.rules.wetness["riding_thaw"].value
    if depth == 0 and thaw == 0:
        return thawed
    line = _both_rules(case, loading, depth, skin)
    if thaw > riding:
        soup = case.show(thaw, "length")
        return _told(thawed, f"{line} Below what is frozen, {soup} have thawed and cannot drain: judged as mud.")
    if depth < skin and thaw == 0:
        return _told(thawed, f"{line} Too thin to count; judged as thawed.")
    if thawed.verdict == "go":
        return _told(thawed, line)
    carries = float(frost.frozen_capacity(depth)) / GRAVITY >= loading.mass + loading.payload
    names = ("frozen layer",) if given is not None else ("frozen layer", "frost depth")
    sources = (*thawed.sources, case.rules.cite(case.rules.strength["frost_skin"]), *case.cite(*names))
    if carries and thaw == 0:
        says = f"Holds while it stays frozen. {line} Both carry it. {_if_thawed(thawed)}"
        return replace(
            thawed, verdict="go", value=1.0, chance=1.0, says=says, sources=sources, remedy="", provided=_FROZEN
        )
    if (thawed.chance or 0.0) < case.rules.strength["frost_exception"].value:
        return _told(thawed, f"{line} Only the field rule carries it, and it excepts ground as bad as this.")
    floor = max(thawed.value or 0.0, case.rules.limits.floats.caution)
    lead = "Rides on the frost, greasy on top." if thaw else "Holds by the field rule only: probe it the same morning."
    says = f"{lead} {line} {_if_thawed(thawed)}"
    return replace(thawed, verdict="caution", value=floor, chance=floor, says=says, sources=sources, provided=_FROZEN)


def _layers(job: Job, site: Site) -> tuple[float, float]:
    """Depth of frost and of thaw over it, m: as the job says, else from the weather."""
    given = job.ground.frost
    return (site.frost, site.thaw) if given is None else (given, 0.0)


def _both_rules(case: Case, loading: Carry, depth: float, skin: float) -> str:
    carries = float(frost.frozen_capacity(depth)) / GRAVITY
    return (
        f"Frozen {case.show(depth, 'length')} deep: the field rule wants {case.show(skin, 'length')}; as a plate over "
        f"wet ground that much carries 0.86 z^2 MN = {case.show(carries, 'mass')}, the loaded machine weighs "
        f"{case.show(loading.mass + loading.payload, 'mass')}."
    )


def _told(thawed: Finding, line: str) -> Finding:
    return replace(thawed, says=f"{line} {thawed.says}", working=(*thawed.working, line))


def _if_thawed(thawed: Finding) -> str:
    return f"Once thawed: {thawed.says[:1].lower()}{thawed.says[1:]}"
