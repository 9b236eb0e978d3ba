"""Frozen ground: a cone index means nothing in frost, so two other rules are asked, and both are shown."""

from dataclasses import replace
from math import log, sqrt

from pickrig.checks.case import Case
from pickrig.checks.finding import Finding, Verdict
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
    plate = _plate_depth(loading)
    names = ("frozen layer",) if given is not None else ("frozen layer", "frost depth")
    sources = (*thawed.sources, case.rules.cite(case.rules.strength["frost_skin"]), *case.cite(*names))
    if depth >= plate and thaw == 0:
        says = f"Holds while it stays frozen. {line} Both carry it. {_if_thawed(thawed)}"
        return replace(
            thawed, verdict="go", value=1.0, chance=1.0, says=says, sources=sources, remedy="", provided=_FROZEN
        )
    if (thawed.chance or 0.0) < case.rules.strength["frost_exception"].value:
        return _told(thawed, f"{line} Only the field rule carries it, and it excepts ground as bad as this.")
    if thaw:
        return _held(
            case, thawed, case.rules.limits.floats.caution, "Rides on the frost, greasy on top.", line, sources
        )
    return _held(case, thawed, _between(case, depth, skin, plate), "Probe it the same morning.", line, sources)


def _between(case: Case, depth: float, skin: float, plate: float) -> float:
    """Chance between the two rules: even odds at the field rule's depth, sure at the plate's, by ratio of depths."""
    even = case.rules.limits.floats.caution
    return even + (1 - even) * log(depth / skin) / log(plate / skin)


def _held(case: Case, thawed: Finding, chance: float, lead: str, line: str, sources: tuple[str, ...]) -> Finding:
    chance = max(thawed.chance or 0.0, chance)
    verdict: Verdict = "go" if chance >= case.rules.limits.floats.go else "caution"
    says = f"Holds by the field rule, {chance:.0%} sure between the two. {lead} {line} {_if_thawed(thawed)}"
    return replace(
        thawed, verdict=verdict, value=chance, chance=chance, says=says, sources=sources, remedy="", provided=_FROZEN
    )


def _plate_depth(loading: Carry) -> float:
    """Depth at which the frozen layer carries the loaded machine as a plate, m: its capacity grows as the square."""
    return sqrt((loading.mass + loading.payload) * GRAVITY / float(frost.frozen_capacity(1.0)))


def frozen_hard(case: Case) -> bool:
    """Whether the machine drives on frost: deep enough for the field rule, and not thawed on top."""
    depth, thaw = _layers(case.job, case.site)
    return depth >= case.rules.strength["frost_skin"].value and thaw == 0


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
