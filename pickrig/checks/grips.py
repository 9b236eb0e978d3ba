"""Does it grip? Traction on what it drives on over all that holds it back: rolling, grade, and what it pushes."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from math import atan, cos, sin

import numpy as np

from pickrig.checks.carrying import GRAVITY, Carry, carry
from pickrig.checks.case import Case, need
from pickrig.checks.cited import source
from pickrig.checks.engine import engine_pull
from pickrig.checks.finding import Account, Finding, Verdict
from pickrig.checks.ground.draws import Array
from pickrig.checks.ground.frozen import frozen_hard
from pickrig.checks.snow.findings import snow_grips
from pickrig.facts import Chance, Quantity, Ruled, Said, Statements, Step, Term, number, small
from pickrig.physics import contact, sinkage, traction

_COLD = -3.0  # degC, below which snow and ice are dry to drive on
_LEVEL = 1e-4  # rise over run below which nothing slides


@dataclass(frozen=True)
class _Try:
    """One surface in one state: usable traction and what resists it, N, a number a draw."""

    surface: str
    state: str
    usable: Array
    resists: Array
    working: Callable[[], Step]
    source: Said

    @property
    def ratio(self) -> Array:
        return self.usable / self.resists

    @cached_property
    def middle(self) -> float:
        return float(np.median(self.ratio))

    @cached_property
    def chance(self) -> float:
        return float(np.mean(self.usable >= self.resists))


def grips(case: Case) -> Finding:
    """Usable traction over all that resists it, in the worst state on the worst surface. See `Finding`."""
    if case.job.snow is not None:
        return snow_grips(case)
    loading = carry(case)
    tries = [t for surface in case.job.ground.travel or {"site soil": 1.0} for t in _tries(case, loading, surface)]
    worst = min(tries, key=lambda t: (t.chance, t.middle))
    limits = case.rules.limits.floats
    verdict: Verdict = "go" if worst.chance >= limits.go else "caution" if worst.chance >= limits.caution else "no-go"
    return Finding(
        check="grips",
        verdict=verdict,
        unit="ratio",
        value=worst.middle,
        limit=1.0,
        margin=worst.middle,
        chance=worst.chance,
        depends_on=("ground", "task", "machine.mass", f"machine.{case.machine.gear}"),
        account=lambda: Account(
            says=_says(case, worst, verdict),
            remedy=_remedy(case) if verdict == "no-go" else (),
            working=tuple(t.working() for t in tries),
            beside=_bekker(case, loading),
            sources=(*case.cite("grip", "statics"), *dict.fromkeys(t.source for t in tries)),
        ),
    )


def loaded_ratio(case: Case) -> float:
    """Usable traction over rolling and grade of the loaded machine, in the middle, where it is least."""
    loading = carry(case)
    surfaces = case.job.ground.travel or {"site soil": 1.0}
    return case.once("loaded_ratio", lambda: min(_tries(case, loading, name)[0].middle for name in surfaces))


def _tries(case: Case, loading: Carry, surface: str) -> list[_Try]:
    """Loaded and empty up the grade, across it, and pushing; asked for by the grip and by the time the work takes."""
    return case.once(("tries", surface), lambda: _all_tries(case, loading, surface))


def _all_tries(case: Case, loading: Carry, surface: str) -> list[_Try]:
    task, ground = case.job.task, case.job.ground
    empty, loaded = loading.mass * GRAVITY, (loading.mass + loading.taken) * GRAVITY
    tries = [_try(case, surface, "loaded" if loading.taken else "empty", loaded, 0.0)]
    push = task.push if task.push is not None else case.rules.work[task.kind].drags * loading.taken * GRAVITY
    if push or task.down_force:
        tries.append(_try(case, surface, "pushing", empty, push))
    if (ground.grade_across or 0.0) > _LEVEL:
        tries.append(_across(case, surface, loaded))
    return tries


def _try(case: Case, surface: str, state: str, weight: float, push: float) -> _Try:
    slope, down = case.job.ground.grade or 0.0, (case.job.task.down_force or 0.0) if push or state == "pushing" else 0.0
    on_drive = max(weight * cos(atan(slope)) - down, 1.0)  # pressed off its wheels, it has nothing to pull with
    grip, rolls = _coefficients(case, row_name=_row(case, surface))
    thrust = _soil_thrust(case, surface, on_drive)
    usable = grip * on_drive if thrust is None else np.minimum(grip * on_drive, thrust)
    engine = engine_pull(case, case.rules.pull.working_speed.value)
    usable = np.minimum(usable, engine)
    climb = float(traction.grade_resistance(weight, slope))
    edge = case.rules.pull.edge_friction.value * down
    resists = rolls * on_drive + climb + push + edge

    def step() -> Step:
        held = {} if thrust is None else {"H": Quantity(float(np.median(thrust)), "force")}
        return Step(
            "grips.thrust" if held else "grips.grip",
            where=Ruled(surface),
            state=Term(state),
            μ=number(float(np.median(grip)), 2),
            W=Quantity(on_drive, "force"),
            **held,
            engine=Quantity(engine, "force"),
            ρ=number(float(np.median(rolls)), 3),
            grade=Quantity(climb, "force"),
            push=Quantity(push + edge, "force"),
            ratio=number(float(np.median(usable / resists)), 2),
        )

    return _Try(surface, state, usable, resists, step, _cited(case, surface))


def _cited(case: Case, surface: str) -> Said:
    name = _row(case, surface)
    return source(case.rules, case.rules.traction[name], "source.surface", surface=Ruled(name))


def _across(case: Case, surface: str, weight: float) -> _Try:
    """Sliding sideways down a slope it works across."""
    slope = case.job.ground.grade_across or 0.0
    grip, _ = _coefficients(case, _row(case, surface))
    slides = np.full_like(grip, weight * sin(atan(slope)))
    holds = grip * weight * cos(atan(slope))

    def step() -> Step:
        return Step(
            "grips.across",
            where=Ruled(surface),
            μ=number(float(np.median(grip)), 2),
            N=Quantity(weight * cos(atan(slope)), "force"),
            S=Quantity(float(slides[0]), "force"),
            ratio=number(float(np.median(holds / slides)), 2),
        )

    return _Try(surface, "across", holds, slides, step, _cited(case, surface))


def _row(case: Case, surface: str) -> str:
    """Row of rules/traction.toml: paving is wet unless the job says dry; soil as wet as it is judged."""
    ground = case.job.ground
    if surface == "site soil":
        if frozen_hard(case):
            return "soil moist"  # hard as a road, with a little rime or thaw on it; our judgment
        slick = ground.standing_water and case.site.family == "fine"
        return "soil slick" if slick else f"soil {_wetness(case)}"
    dry = ground.wetness == "dry" and not ground.standing_water
    if surface in ("ice", "packed snow", "scraped pavement"):
        dry = ground.temperature is not None and ground.temperature <= _COLD
    return f"{surface} {'dry' if dry else 'wet'}"


def _wetness(case: Case) -> str:
    ground = case.job.ground
    if ground.standing_water:
        return "wet"
    return ground.wetness or ("wet" if case.site.rain or ground.moisture is None else "moist")


def _coefficients(case: Case, row_name: str) -> tuple[Array, Array]:
    """Grip and rolling resistance, shares of weight, drawn alike for all machines; clean sand has rows of its own."""
    luck, gear = case.luck, case.machine.gear
    if row_name.startswith("soil") and case.site.family == "sand":
        state = case.rules.sand["damp" if row_name != "soil dry" else "dry"]
        sand = state.tracks if gear == "tracks" else state.tyres
        return luck.draw("grip", sand.traction), luck.draw("drag", sand.rolling)
    row = case.rules.traction[row_name]
    grip, rolls = (
        (row.traction.tracks, row.rolling.tracks) if gear == "tracks" else (row.traction.tyres, row.rolling.tyres)
    )
    return _chained(case, row_name, luck.draw("grip", grip)), luck.draw("drag", rolls)


def _chained(case: Case, row_name: str, grip: Array) -> Array:
    """What chains add on snow and ice."""
    tyres, values = case.machine.tyres, case.rules.snow.values
    slick = row_name.startswith(("ice", "packed snow", "scraped pavement"))
    if tyres is None or not tyres.chains or not slick:
        return grip
    gain = values["chains_ice" if row_name.startswith("ice") else "chains_packed"]
    best = case.luck.draw("chains", (gain.low or gain.value, gain.value, gain.high or gain.value))
    if row_name.startswith("ice"):
        return np.maximum(grip, best)
    return np.maximum(grip, np.minimum(grip * best, values["chains_cap"].value))


def _soil_thrust(case: Case, surface: str, on_drive: float) -> Array | None:
    """What the soil itself holds at the slip counted, N; None where its strength is not drawn, or it is frozen."""
    if case.rules.surfaces[surface].carries != "soil" or case.site.undrained is None or surface == "gravel":
        return None
    if frozen_hard(case):
        return None
    area, length = _soft_patch(case)
    pull = case.rules.pull
    return traction.soil_thrust(
        on_drive, area, case.site.undrained, 0.0, length, pull.shear_modulus.value, pull.slip.value
    )


def _soft_patch(case: Case) -> tuple[float, float]:
    """Area of all running gear and length of one contact on soft ground; tyres by the radius times the width."""
    machine = case.machine
    if machine.tracks:
        length = need(machine.tracks.contact_length, "tracks.contact_length")
        return 2 * length * need(machine.tracks.width, "tracks.width"), length
    assert machine.tyres is not None
    radius, width = need(machine.tyres.diameter, "tyres.diameter") / 2, need(machine.tyres.width, "tyres.width")
    return 4 * radius * width, radius


def _says(case: Case, worst: _Try, verdict: Verdict) -> Statements:
    where = case.site.name if worst.surface == "site soil" else Ruled(_row(case, worst.surface))
    word = {"go": "go", "caution": "may", "no-go": "no", "unknown": "no"}[verdict]
    way = "slides" if worst.state == "across" else "grips"
    told = [
        Said(
            f"grips.{way}_{word}",
            where=where,
            times=Quantity(worst.middle, "times"),
            chance=Chance(worst.chance, case.rules.limits.floats.caution),
        )
    ]
    grade = case.job.ground.grade
    if worst.state == "across" or not grade:
        told.append(Said("grips.state", state=Term(worst.state)))
    else:
        told.append(Said("grips.state_up", state=Term(worst.state), grade=Quantity(grade, "share")))
    return tuple(told)


def _remedy(case: Case) -> Statements:
    sloping = bool(case.job.ground.grade or case.job.ground.grade_across)
    told = (Said("grips.mend_way"),) if sloping else ()
    wheels = (Said("grips.mend_tyres"),) if case.machine.tyres is not None else ()
    return (*told, Said("grips.mend_load"), *wheels)


def _bekker(case: Case, loading: Carry) -> Statements:
    """Sinkage and compaction resistance on one published terrain, for scale; it decides nothing."""
    if case.site.undrained is None:
        return ()
    terrain = {name: getattr(case.rules.pull.terrain, name).value for name in ("k_c", "k_phi", "n")}
    machine, weight = case.machine, (loading.mass + loading.payload) * GRAVITY
    if machine.tracks:
        width = need(machine.tracks.width, "tracks.width")
        sunk = float(sinkage.track_sinkage(weight / (2 * width * loading.base), width, **terrain))
        drag = 2 * float(sinkage.compaction_resistance(width, sunk, **terrain))
    else:
        assert machine.tyres is not None
        axles = contact.axle_loads(
            loading.mass * GRAVITY, loading.base, loading.rear_share, loading.payload * GRAVITY, loading.low_reach
        )
        wheel = float(max(axles)) / 2
        width, diameter = need(machine.tyres.width, "tyres.width"), need(machine.tyres.diameter, "tyres.diameter")
        sunk = float(sinkage.wheel_sinkage(wheel, diameter, width, **terrain))
        drag = float(sinkage.compaction_resistance(width, sunk, **terrain))
    sinks = Said("grips.sinks", gear=Term(machine.gear), sinks=small(sunk), drag=Quantity(drag, "force"))
    return (sinks, source(case.rules, case.rules.pull.terrain.n))
