"""Frozen ground: a cone index means nothing in frost, so two other rules are asked, and both are shown."""

from dataclasses import replace
from math import log, sqrt

from pickrig.checks.carrying import GRAVITY, Carry
from pickrig.checks.case import Case
from pickrig.checks.finding import Finding
from pickrig.checks.ground.site import Site
from pickrig.inputs import Job
from pickrig.physics import frost
from pickrig.quantities import percent

_EXCEPTED = "Only the field rule carries it, and it excepts ground as bad as this."
_FROZEN = "The ground is frozen, and the answer holds only while it is."


def with_frost(case: Case, loading: Carry, thawed: Finding) -> Finding:
    """The finding for thawed ground, corrected for frost given in the job or worked out from the weather."""
    depth, thaw = _layers(case.job, case.site)
    skin, riding = case.rules.strength["frost_skin"].value, case.rules.wetness["riding_thaw"].value
    if depth == 0 and thaw == 0:
        return thawed
    line = _both_rules(case, loading, depth, skin)
    if thaw > riding:
        soup = case.show(thaw, "length")
        return _told(thawed, f"{line} Below what is frozen, {soup} have thawed and cannot drain: judged as mud.")
    if thaw:
        return _on_thaw(case, thawed, line)
    if depth < skin:
        return _told(thawed, f"{line} Too thin to count; judged as thawed.")
    return _on_frost(case, thawed, line, depth, max(_plate_depth(loading), skin))


def _on_thaw(case: Case, thawed: Finding, line: str) -> Finding:
    """A greasy skin over frost that bears."""
    if thawed.verdict == "go":
        return _told(thawed, line)
    if _excepted(case, thawed):
        return _told(thawed, f"{line} {_EXCEPTED}")
    floor = max(thawed.chance or 0.0, case.rules.limits.floats.caution)
    return _held(case, thawed, floor, f"Rides on the frost, greasy on top. {line}")


def _on_frost(case: Case, thawed: Finding, line: str, depth: float, plate: float) -> Finding:
    """Frost to the surface: even odds at the field rule's depth, sure at the plate's, by ratio of depths between."""
    even, skin = case.rules.limits.floats.caution, case.rules.strength["frost_skin"].value
    chance = 1.0 if depth >= plate else even + (1 - even) * log(depth / skin) / log(plate / skin)
    if thawed.verdict == "go":
        chance = max(chance, thawed.chance or 0.0)
        return replace(_told(thawed, f"Holds frozen or thawed. {line}"), value=chance, chance=chance)
    if (thawed.chance or 0.0) >= chance:
        return _told(thawed, line)  # so thin a frost adds nothing to what the ground holds without it
    if depth >= plate:
        return _held(case, thawed, chance, f"Holds while it stays frozen. {line} Both carry it.")
    if _excepted(case, thawed):
        return _told(thawed, f"{line} {_EXCEPTED}")
    lead = f"Holds while it stays frozen, {percent(chance)} sure between two rules: probe it the same morning."
    return _held(case, thawed, chance, f"{lead} {line}")


def _excepted(case: Case, thawed: Finding) -> bool:
    return (thawed.chance or 0.0) < case.rules.strength["frost_exception"].value


def _held(case: Case, thawed: Finding, chance: float, lead: str) -> Finding:
    named = ("frozen layer",) if case.job.ground.frost is not None else ("frozen layer", "frost depth")
    return replace(
        thawed,
        verdict="go" if chance >= case.rules.limits.floats.go else "caution",
        value=chance,
        chance=chance,
        says=f"{lead} Thawed, it is another matter. {thawed.says}",
        sources=(*thawed.sources, case.rules.cite(case.rules.strength["frost_skin"]), *case.cite(*named)),
        remedy="",
        provided=_FROZEN,
    )


def _plate_depth(loading: Carry) -> float:
    """Depth at which the frozen layer carries the loaded machine as a plate, m: its capacity grows as the square."""
    return sqrt((loading.mass + loading.payload) * GRAVITY / float(frost.frozen_capacity(1.0)))


def frozen_hard(case: Case) -> bool:
    """Whether the machine drives on frost: deep enough for the field rule, and not thawed on top."""
    depth, thaw = _layers(case.job, case.site)
    counts = case.site.family != "sand"  # drained sand has no ice to bind it
    return counts and depth >= case.rules.strength["frost_skin"].value and thaw == 0


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
