"""What could be laid over weak ground, what it would do to the chance, and roughly how much it takes."""

from collections.abc import Iterator

from pickrig.checks import Case, where_found
from pickrig.checks.carrying import carry
from pickrig.checks.cited import cited
from pickrig.checks.ground.demand import needed, own_error
from pickrig.checks.ground.site import Site
from pickrig.facts import Ruled
from pickrig.inputs import Job
from pickrig.plans.pick.record import GroundHelp, Standing
from pickrig.rulebook import Rules
from pickrig.rulebook.tables import Help


def ground_helps(job: Job, ranking: list[Standing], site: Site, rules: Rules) -> tuple[GroundHelp, ...]:
    """For each machine that only the ground holds back: each help, at the least thickness that makes it a go.

    Where no thickness does, the thickest, with the chance it gives.
    """
    if job.task.on_boards:
        return ()
    helps: list[GroundHelp] = []
    for standing in ranking:
        if standing.finding("floats").verdict in ("go", "unknown"):
            continue
        if any(f.verdict == "no-go" for f in standing.findings if f.check != "floats"):
            continue
        case = where_found(Case(job, standing.machine, site, rules), standing.finding("floats"))
        if case.site.strength is None or case.job.task.on_boards:
            continue
        lawn = "turf" in case.job.ground.travel
        helps += [_best(case, row) for row in rules.helps.values() if not (lawn and row.stays)]
    return tuple(helps)


def _best(case: Case, row: Help) -> GroundHelp:
    go = case.rules.limits.floats.go
    tried = list(_tried(case, row))
    thickness, chance = next((pair for pair in tried if pair[1] >= go), tried[-1])
    given = case.job.ground.route
    route = given if given is not None else case.rules.strength["lay_route"].value
    area = route * ((case.machine.width or 2.0) + case.rules.strength["lay_margin"].value)
    by_the_ton = row.density is not None
    return GroundHelp(
        machine=case.machine.name,
        help=Ruled(row.says),
        thickness=thickness if by_the_ton else None,
        area=area,
        mass=area * thickness * row.density if row.density is not None else None,
        route=route,
        given=given is not None,
        chance=chance,
        wanted=go,
        cited=cited(case.rules, row),
    )


def _tried(case: Case, row: Help) -> Iterator[tuple[float, float]]:
    """Thickness and the chance it gives."""
    loading = carry(case)
    for thickness in row.thicknesses:
        spread = row.spread if row.spread is not None else (row.spread_per_thickness or 0.0) * thickness
        needs = needed(case, loading, loading.payload, spread)
        yield thickness, case.site.chance(case.machine.gear, needs, own_error(case))
