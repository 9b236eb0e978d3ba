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
from pickrig.checks.finding import WORST_FIRST, Account, Finding, Verdict
from pickrig.checks.ground.draws import Array
from pickrig.checks.ground.frozen import frozen_hard
from pickrig.checks.snow.findings import snow_grips
from pickrig.checks.underfoot import coefficients, freezes_ahead, packed, row_of
from pickrig.facts import Chance, Quantity, Ruled, Said, Statements, Step, Term, number, small
from pickrig.physics import contact, sinkage, traction, turning

_LEVEL = 1e-4  # rise over run below which nothing slides


@dataclass(frozen=True)
class _Try:
    """One surface in one state, up a slope: usable traction and what resists it, N, a number a draw."""

    surface: str
    state: str
    slope: float
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
    limits = case.rules.limits.floats
    # A turn that is safe says nothing more: its ratio is no measure beside that of a straight pull.
    deciding = [t for t in tries if t.state != "turning" or t.chance < limits.go]
    verdicts = {id(t): _verdict(case, loading, t) for t in deciding}
    worst = min(deciding, key=lambda t: (WORST_FIRST.index(verdicts[id(t)]), t.chance, t.middle))
    verdict = verdicts[id(worst)]
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
            remedy=_remedy(case, worst) if verdict == "no-go" else (),
            working=tuple(t.working() for t in tries),
            beside=_bekker(case, loading),
            sources=(
                *case.cite("grip", "statics", *(["stickiness"] if _packs(case) else [])),
                *dict.fromkeys(t.source for t in tries),
            ),
        ),
    )


def _verdict(case: Case, loading: Carry, one: _Try) -> Verdict:
    """Of one try. A turn that is too tight for the ground is a caution where a wide one surely is not, and the job
    leaves room for it."""
    limits = case.rules.limits.floats
    if one.chance >= limits.caution:
        return "go" if one.chance >= limits.go else "caution"
    return "caution" if one.state == "turning" and _turns_wide(case, loading, one.surface) else "no-go"


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
    slope, work = ground.grade or 0.0, case.rules.work[task.kind]
    up_empty, up_loaded = ground.climbed
    tries = [_try(case, surface, "loaded" if loading.taken else "empty", loaded, up_loaded)]
    if up_empty > up_loaded:  # loads go down only
        tries.append(_try(case, surface, "empty", empty, up_empty))
    push = task.push if task.push is not None else work.drags * loading.taken * GRAVITY
    if push or task.down_force:  # a bucket is filled where the pile is, on the level
        where = slope if work.on_grade or task.push is not None else 0.0
        tries.append(_try(case, surface, "pushing", empty, where, push, task.down_force or 0.0))
    if (ground.grade_across or 0.0) > _LEVEL:
        tries.append(_across(case, surface, loaded))
    if _skids_on_soil(case, surface):
        radius = case.rules.care.turns[task.turning or "ordinary"].radius
        tries += [
            _turning(case, loading, surface, payload, radius) for payload in dict.fromkeys((0.0, loading.payload))
        ]
    return tries


def _skids_on_soil(case: Case, surface: str) -> bool:
    """Whether it has to drag itself round on soft ground: a machine that steers, or stays on boards, does not."""
    steered = case.machine.kind == "articulated loader" or case.job.task.on_boards
    return surface == "site soil" and case.site.family == "fine" and not steered and not frozen_hard(case)


def _turns_wide(case: Case, loading: Carry, surface: str) -> bool:
    """Whether it surely turns wide, and may."""
    if case.job.task.turning == "on the spot":
        return False
    radius, limit = case.rules.care.turns["wide"].radius, case.rules.limits.floats.go
    return all(_turning(case, loading, surface, payload, radius).chance >= limit for payload in (0.0, loading.payload))


def _turning(case: Case, loading: Carry, surface: str, payload: float, radius: float) -> _Try:
    """A skid turn: the outer side has to pull against the sideways drag, the bank of soil it pushes up, and its own
    rolling. Traction on both sides is alike; where it sinks, the bank drags more than grip alone."""
    machine, weight, row = case.machine, (loading.mass + payload) * GRAVITY, row_of(case, surface)
    grip, rolls = coefficients(case, row)
    bank = case.rules.traction[row].bank
    drag = grip + case.luck.draw("bank", (0.0, bank, 2 * bank))
    gauge = need(machine.gauge, "gauge")
    if machine.tracks:
        offset = contact.resultant_offset(loading.mass, loading.base, loading.rear_share, payload, loading.low_reach)
        moment = turning.track_turning_moment(weight, loading.base, drag, offset)
    else:
        axles = contact.axle_loads(loading.mass, loading.base, loading.rear_share, payload, loading.low_reach)
        front, rear = (np.maximum(axle, 0.0) * GRAVITY for axle in axles)
        moment = turning.wheel_turning_moment(front, rear, loading.base, drag)
    against = moment * float(turning.radius_factor(radius, gauge)) / gauge
    thrust = _soil_thrust(case, surface, weight)
    usable = grip * weight / 2 if thrust is None else np.minimum(grip * weight, thrust) / 2
    resists = against + rolls * weight / 2

    def step() -> Step:
        return Step(
            "grips.turning",
            where=Ruled(surface),
            load=Term("loaded" if payload else "empty"),
            R=Quantity(radius, "length"),
            B=small(gauge),
            M=number(float(np.median(moment)) / 1000, 1),
            F=Quantity(float(np.median(usable)), "force"),
            ratio=number(float(np.median(usable / resists)), 2),
        )

    return _Try(surface, "turning", 0.0, usable, resists, step, _cited(case, surface))


def _try(
    case: Case, surface: str, state: str, weight: float, slope: float, push: float = 0.0, down: float = 0.0
) -> _Try:
    on_drive = max(weight * cos(atan(slope)) - down, 1.0)  # pressed off its wheels, it has nothing to pull with
    grip, rolls = coefficients(case, row_of(case, surface))
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

    return _Try(surface, state, slope, usable, resists, step, _cited(case, surface))


def _cited(case: Case, surface: str) -> Said:
    name = row_of(case, surface)
    return source(case.rules, case.rules.traction[name], "source.surface", surface=Ruled(name))


def _across(case: Case, surface: str, weight: float) -> _Try:
    """Sliding sideways down a slope it works across."""
    slope = case.job.ground.grade_across or 0.0
    grip, _ = coefficients(case, row_of(case, surface))
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

    return _Try(surface, "across", 0.0, holds, slides, step, _cited(case, surface))


def _soil_thrust(case: Case, surface: str, on_drive: float) -> Array | None:
    """What the soil itself holds at the slip counted, N; None where its strength is not drawn, or it is frozen."""
    if case.rules.surfaces[surface].carries != "soil" or case.site.undrained is None or surface == "gravel":
        return None
    if frozen_hard(case) or case.job.task.on_boards:
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
    row = row_of(case, worst.surface)
    where = case.site.name if worst.surface == "site soil" and row != "boards" else Ruled(row)
    word = {"go": "go", "caution": "may", "no-go": "no", "unknown": "no"}[verdict]
    way = {"across": "slides", "turning": "turns"}.get(worst.state, "grips")
    told = [
        Said(
            f"grips.{way}_{word}",
            where=where,
            times=Quantity(worst.middle, "times"),
            chance=Chance(worst.chance, case.rules.limits.floats.caution),
        )
    ]
    if worst.slope:
        told.append(Said("grips.state_up", state=Term(worst.state), grade=Quantity(worst.slope, "share")))
    else:
        told.append(Said("grips.state", state=Term(worst.state)))
    if worst.state == "turning" and verdict == "caution":
        told.append(Said("grips.turn_wide"))
    return (*told, *_mud(case))


_MOST = 0.5  # of the draws


def _packs(case: Case) -> bool:
    return bool(np.mean(packed(case)) >= _MOST)


def _mud(case: Case) -> Statements:
    """Tracks that pack with mud, what it weighs, and that it freezes."""
    if not _packs(case):
        return ()
    low, _, high = (Quantity(mass, "mass") for mass in case.rules.pull.mud_weighs.three)
    freezes = (Said("grips.mud_freezes"),) if freezes_ahead(case) else ()
    return (Said("grips.packs", low=low, high=high), *freezes)


def _remedy(case: Case, worst: _Try) -> Statements:
    if worst.state == "turning":
        return (Said("grips.turn_wide"),)
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
