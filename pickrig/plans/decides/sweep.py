"""Move each number by a fifth, each way, over many grounds and machines: how many verdicts on the ground change?"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import log
from typing import Any

from pickrig.checks import Case
from pickrig.checks.finding import WORST_FIRST
from pickrig.checks.floats import floats
from pickrig.checks.grips import grips
from pickrig.checks.ground.site import draw_site
from pickrig.inputs import Fleet, Job
from pickrig.plans.decides.numbers import Constant, changed, constants, status_of_constant
from pickrig.rulebook import Rules
from pickrig.rulebook.moving import Path_, at, keys, moved_rules, sound, status_of
from pickrig.rulebook.tables import Status

_SOILS = ("SM", "SC", "ML", "CL-ML", "CL", "CH", "MH", "OL", "OH", "SP", "GW")
_WATERS: tuple[dict[str, Any], ...] = (
    *({"wetness": word} for word in ("dry", "moist", "wet")),
    {"standing_water": True},
)
_LOAD, _DRAWS = 400.0, 500  # kg on the forks; draws, the same for every number
_FIFTH = 0.2
TABLES = tuple(name for name in Rules.model_fields if name not in ("sources", "physics", "equations"))

Verdicts = list[tuple[str, float]]
"""For each ground, machine and question in turn: its verdict and its value."""


@dataclass(frozen=True)
class Weight:
    """A number, by its path in the rules or ("physics", module, function, value), and how many verdicts change when it
    moves a fifth up, and a fifth down."""

    path: Path_
    status: Status
    changes: int


def sweep(rules: Rules, fleet: Fleet, tell: Callable[[str], None] = lambda _: None) -> list[Weight]:
    """Every number that changes a verdict, the heaviest first. tell: is told what is being moved."""
    jobs = [_job(soil, water, rules) for soil in _SOILS for water in _WATERS]
    base = verdicts(jobs, rules, fleet)
    found: list[Weight] = []
    for table in TABLES:
        tell(table)
        for path, up in _live(rules, (table,), jobs, fleet, base):
            changes = _changes(base, up) if sound(moved_rules(rules, path, 1 + _FIFTH), path) else 0
            lower = moved_rules(rules, path, 1 - _FIFTH)
            changes += _changes(base, verdicts(jobs, lower, fleet)) if sound(lower, path) else 0
            found.append(Weight(path, status_of(rules, path), changes))
    for constant in constants():
        status = status_of_constant(rules, constant)
        if status is not None:
            tell(constant.module)
            moved = (_with_constant(constant, step, jobs, rules, fleet) for step in (_FIFTH, -_FIFTH))
            path = ("physics", constant.module, constant.function, f"{constant.value:g}")
            found.append(Weight(path, status, sum(_changes(base, one) for one in moved)))
    return sorted((one for one in found if one.changes), key=lambda one: (-one.changes, *map(str, one.path)))


def _job(soil: str, water: dict[str, Any], rules: Rules) -> Job:
    task = {"kind": "carry pallets", "load": _LOAD, "passes": "all day"}
    return Job.of(title=soil, rules=rules, task=task, ground={"soil": soil} | water, access={"gate": "open"})


def verdicts(jobs: list[Job], rules: Rules, fleet: Fleet) -> Verdicts:
    """Of both questions, in the order of grounds and machines."""
    told: Verdicts = []
    for job in jobs:
        site = draw_site(job, rules, _DRAWS)
        for machine in fleet.machines:
            case = Case(job, machine, site, rules)
            told += [(finding.verdict, finding.value or 0.0) for finding in (floats(case), grips(case))]
    return told


def _changes(base: Verdicts, moved: Verdicts) -> int:
    """Grounds and machines on which the worse of the two verdicts is another."""
    return sum(_worse(base[n : n + 2]) != _worse(moved[n : n + 2]) for n in range(0, len(base), 2))


def _worse(pair: Verdicts) -> str:
    return min((verdict for verdict, _ in pair), key=WORST_FIRST.index)


def _live(rules: Rules, path: Path_, jobs: list[Job], fleet: Fleet, base: Verdicts) -> Iterator[tuple[Path_, Verdicts]]:
    """Paths of the numbers under a path that change any value at all, with the verdicts a fifth up; a branch that
    changes none is left."""
    node = at(rules, path)
    if isinstance(node, bool | str) or node is None or not (isinstance(node, int | float) or keys(node)):
        return
    up = _all_up(rules, path, jobs, fleet)
    if up == base:
        return
    if isinstance(node, int | float):
        yield path, up or base
        return
    for key in keys(node):
        yield from _live(rules, (*path, key), jobs, fleet, base)


def _all_up(rules: Rules, path: Path_, jobs: list[Job], fleet: Fleet) -> Verdicts | None:
    """None where all of them moved at once make no sense, and each has to be looked at."""
    try:
        return verdicts(jobs, moved_rules(rules, path, 1 + _FIFTH), fleet)
    except (ValueError, TypeError, KeyError, IndexError, ZeroDivisionError):
        return None


def _with_constant(constant: Constant, step: float, jobs: list[Job], rules: Rules, fleet: Fleet) -> Verdicts:
    row = rules.physics[f"{constant.module}.{constant.function}"]
    to = constant.value + log(1 + step) if row.levels else constant.value * (1 + step)
    with changed(constant, to):
        return verdicts(jobs, rules, fleet)
