"""Frozen ground: a cone index means nothing in frost, so two other rules are asked, and both are shown."""

from dataclasses import replace
from math import log, sqrt

from pickrig.checks.carrying import GRAVITY, Carry
from pickrig.checks.case import Case
from pickrig.checks.cited import source
from pickrig.checks.finding import Account, Finding
from pickrig.checks.ground.site import Site
from pickrig.facts import Chance, Quantity, Said, Statements, Step, small
from pickrig.inputs import Job
from pickrig.physics import frost


def with_frost(case: Case, loading: Carry, thawed: Finding) -> Finding:
    """The finding for thawed ground, corrected for frost given in the job or worked out from the weather."""
    depth, thaw = _layers(case.job, case.site)
    skin, riding = case.rules.strength["frost_skin"].value, case.rules.wetness["riding_thaw"].value
    if depth == 0 and thaw == 0:
        return thawed
    rules = _both_rules(loading, depth, skin)
    if thaw > riding:
        return _told(thawed, Said("frost.thaw", depth=Quantity(thaw, "length")), rules)
    if thaw:
        return _on_thaw(case, thawed, rules)
    if depth < skin:
        return _told(thawed, Said("frost.thin"), rules)
    return _on_frost(case, thawed, rules, depth, max(_plate_depth(loading), skin))


def _on_thaw(case: Case, thawed: Finding, rules: Statements) -> Finding:
    """A greasy skin over frost that bears."""
    if thawed.verdict == "go":
        return _told(thawed, *rules)
    if _excepted(case, thawed):
        return _told(thawed, *rules, Said("frost.excepted"))
    floor = max(thawed.chance or 0.0, case.rules.limits.floats.caution)
    return _held(case, thawed, floor, Said("frost.rides", chance=Chance(floor)), rules)


def _on_frost(case: Case, thawed: Finding, rules: Statements, depth: float, plate: float) -> Finding:
    """Frost to the surface: even odds at the field rule's depth, sure at the plate's, by ratio of depths between."""
    even, skin = case.rules.limits.floats.caution, case.rules.strength["frost_skin"].value
    chance = 1.0 if depth >= plate else even + (1 - even) * log(depth / skin) / log(plate / skin)
    if thawed.verdict == "go":
        chance = max(chance, thawed.chance or 0.0)
        return replace(_told(thawed, Said("frost.either"), *rules), value=chance, chance=chance)
    if (thawed.chance or 0.0) >= chance:
        return _told(thawed, *rules)  # so thin a frost adds nothing to what the ground holds without it
    if depth >= plate:
        return _held(case, thawed, chance, Said("frost.holds"), rules)
    if _excepted(case, thawed):
        return _told(thawed, *rules, Said("frost.excepted"))
    return _held(case, thawed, chance, Said("frost.between", chance=Chance(chance)), rules)


def _excepted(case: Case, thawed: Finding) -> bool:
    return (thawed.chance or 0.0) < case.rules.strength["frost_exception"].value


def _held(case: Case, thawed: Finding, chance: float, lead: Said, rules: Statements) -> Finding:
    """A finding that the frost decides; thawed ground stands behind it."""
    named = ("frozen layer",) if case.job.ground.frost is not None else ("frozen layer", "frost depth")
    skin = source(case.rules, case.rules.strength["frost_skin"])

    def account() -> Account:
        was = thawed.told
        return replace(
            was,
            says=(lead, *rules, Said("frost.thawed"), *was.says),
            remedy=(),
            working=(*was.working, *rules),
            sources=(*was.sources, skin, *case.cite(*named)),
        )

    return replace(
        thawed,
        verdict="go" if chance >= case.rules.limits.floats.go else "caution",
        value=chance,
        chance=chance,
        provided=Said("frost.while"),
        account=account,
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


def _both_rules(loading: Carry, depth: float, skin: float) -> Statements:
    carries = float(frost.frozen_capacity(depth)) / GRAVITY
    return (
        Said("frost.field_rule", depth=Quantity(depth, "length"), skin=Quantity(skin, "length")),
        Step(
            "frost.plate",
            z=small(depth),
            P=Quantity(carries, "mass"),
            W=Quantity(loading.mass + loading.payload, "mass"),
        ),
    )


def _told(thawed: Finding, *lines: Said | Statements) -> Finding:
    """The finding for thawed ground, with what the frost adds to it."""
    added = tuple(said for line in lines for said in (line if isinstance(line, tuple) else (line,)))

    def account() -> Account:
        was = thawed.told
        return replace(was, says=(*was.says, *added), working=(*was.working, *added))

    return replace(thawed, account=account)
