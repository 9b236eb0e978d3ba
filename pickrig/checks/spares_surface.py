"""What does it do to what it drives on? Scuffing, tearing and cracking; and what no machine may be sent onto at all."""

from dataclasses import dataclass
from math import pi
from typing import Literal

from pickrig.checks.carrying import GRAVITY, Carry, carry
from pickrig.checks.case import Case, need
from pickrig.checks.finding import Finding, Verdict
from pickrig.checks.tyres import deflection
from pickrig.physics import contact, slab, turning
from pickrig.rulebook.tables import CareSurface

_TURNS = Literal["wide", "ordinary", "on the spot", "on boards"]


@dataclass(frozen=True)
class _Turn:
    """One quarter turn, in SI: friction work against the ground, and how far the running gear drags sideways."""

    work: float
    drag: float
    working: str


@dataclass(frozen=True)
class _Harm:
    """index: harm over what calls for care on this surface; from 1 on it does."""

    index: float
    says: str
    working: tuple[str, ...] = ()
    remedy: str = ""
    unsure: bool = False  # too little known for a plain go

    @property
    def calls_for_care(self) -> bool:
        return self.index >= 1 or self.unsure


def spares_surface(case: Case) -> Finding:
    """Harm over what calls for care, on the surface it hurts most; dangers to life or plant end it. See `Finding`."""
    forbidden = _forbidden(case)
    if forbidden:
        says, lift = " ".join(said for said, _ in forbidden), " ".join(lift for _, lift in forbidden)
        return _finding(case, "no-go", None, f"Not with any machine: {says}", (), lift)
    cared = [name for name in case.job.ground.travel if name in case.rules.care.surfaces]
    if not cared:
        return _finding(case, "go", 0.0, "Nothing on its way that turning would spoil.", (), "")
    loading = carry(case)
    harms = [_harm(case, loading, name) for name in cared]
    lines = tuple(line for harm in harms for line in harm.working)
    careful = [harm for harm in harms if harm.calls_for_care]
    remedy = " ".join(dict.fromkeys(harm.remedy for harm in careful))
    says = " ".join(harm.says for harm in harms)
    index = max(harm.index for harm in harms)
    return _finding(case, "caution" if careful else "go", index, says, (*lines, *_buried(case, loading)), remedy)


def _finding(
    case: Case, verdict: Verdict, value: float | None, says: str, working: tuple[str, ...], remedy: str
) -> Finding:
    cared = [name for name in case.job.ground.travel if name in case.rules.care.surfaces]
    rows = tuple(f"{name}: {case.rules.cite(case.rules.care.surfaces[name])}" for name in cared)
    return Finding(
        check="spares_surface",
        verdict=verdict,
        unit="ratio",
        value=value,
        limit=None if value is None else 1.0,
        margin=1 / value if value else None,
        says=says,
        working=() if case.brief else working,
        sources=(*case.cite("turning drag"), *rows),
        depends_on=("ground.travel", "task.turning", "hazards", f"machine.{case.machine.gear}"),
        remedy=remedy,
    )


def _forbidden(case: Case) -> list[tuple[str, str]]:
    """What ends the job whatever the machine, and what would lift it."""
    given, country = case.job.hazards.model_dump(), case.job.country
    rows = [row for row in case.rules.care.forbidden.values() if given[row.hazard] == row.word]
    return [(row.says, row.lifted_by(country)) for row in rows]


def _harm(case: Case, loading: Carry, surface: str) -> _Harm:
    row, mode = case.rules.care.surfaces[surface], _mode(case)
    turn = _quarter_turn(case, loading, surface, row, mode)
    if row.harm == "marks":
        return _on_slab(case, loading, surface, row, turn)
    index, why = _hurts(case, row, turn, mode)
    return _Harm(index, f"{surface.capitalize()}: {why}", (turn.working,), row.remedy)


def _mode(case: Case) -> _TURNS:
    return case.job.task.turning or "ordinary"


def _hurts(case: Case, row: CareSurface, turn: _Turn, mode: _TURNS) -> tuple[float, str]:
    """Harm over what calls for care, and why."""
    how = case.rules.care.turns[mode].says
    if turn.work == 0:
        steered = case.machine.kind == "articulated loader"
        return 0.0, "it steers and rolls, nothing drags." if steered else f"{how}, so nothing drags on it."
    if row.harm == "tears":
        return _tears(case, turn, how)
    soft = row.harm == "scuffs" and _is_soft_asphalt(case)
    index = turn.work / (row.care_from * (case.rules.care.values["soft"].value if soft else 1.0))
    work = case.show(turn.work, "energy")
    does = {
        "scuffs": f"rubs {work} into it a quarter turn{'; it is hot or new, and soft' if soft else ''}",
        "shifts": f"pushes it sideways with {work} a quarter turn{': pavers shift and chip' if index >= 1 else ''}",
        "drags": f"drags its pile and infill with {work} a quarter turn",
    }[row.harm]
    return index, f"{how}, it {does}."


def _tears(case: Case, turn: _Turn, how: str) -> tuple[float, str]:
    """Turf shows a sideways drag of an inch, half of that where it is wet, and tears from twice that."""
    wet = case.job.ground.wetness == "wet" or case.job.ground.standing_water
    shows = case.rules.care.values["drag_little"].value * (0.5 if wet else 1.0)
    index = turn.drag / shows
    what = "tears it" if index >= 2 else "shows" if index >= 1 else "hardly shows"
    more = ", the more as it is wet" if wet and index >= 1 else ""
    return index, f"{how}, it drags it {case.show(turn.drag, 'small length')} sideways, which {what}{more}."


def _is_soft_asphalt(case: Case) -> bool:
    """Hot by the air, or young; the day's highest temperature stands in where the weather is given."""
    ground, weather = case.job.ground, case.job.weather
    air = ground.temperature
    if air is None and weather is not None:
        air = next((day.tmax for day in weather.days if day.date == weather.job_day), None)
    return ground.new_asphalt or (air is not None and air >= case.rules.care.values["hot"].value)


def _quarter_turn(case: Case, loading: Carry, surface: str, row: CareSurface, mode: _TURNS) -> _Turn:
    """Empty or loaded, whichever rubs more; a machine that steers, or stays on boards, rubs nothing."""
    if case.machine.kind == "articulated loader" or mode == "on boards":
        return _Turn(0.0, 0.0, f"{surface}: nothing turns on it by skidding")
    return max((_turn(case, loading, row, mode, load) for load in (0.0, loading.payload)), key=lambda turn: turn.work)


def _turn(case: Case, loading: Carry, row: CareSurface, mode: _TURNS, payload: float) -> _Turn:
    gauge = case.machine.gauge or need(case.machine.width, "width")
    radius = max(case.rules.care.turns[mode].radius, gauge / 2)
    factor = float(turning.radius_factor(radius, gauge))
    weight = (loading.mass + payload) * GRAVITY
    if case.machine.tracks:
        lateral = row.lateral.tracks * factor
        offset = contact.resultant_offset(loading.mass, loading.base, loading.rear_share, payload, loading.low_reach)
        moment = float(turning.track_turning_moment(weight, loading.base, lateral, offset))
        drag = float(turning.track_drag(loading.base, radius))
        law = f"mu W L/4 for even pressure, L = {case.show(loading.base, 'length')}"
    else:
        lateral = row.lateral.tyres * factor
        axles = contact.axle_loads(
            loading.mass * GRAVITY, loading.base, loading.rear_share, payload * GRAVITY, loading.low_reach
        )
        front, rear = (max(float(axle), 0.0) for axle in axles)
        moment = float(turning.wheel_turning_moment(front, rear, loading.base, lateral))
        drag = float(turning.wheel_drag(_patch(case, max(front, rear) / 2), loading.base, radius))
        law = f"mu L min(W_front, W_rear), L = {case.show(loading.base, 'length')}"
    line = (
        f"turning at {case.show(radius, 'length')}, {'loaded' if payload else 'empty'}: moment {law}, mu = "
        f"{lateral:.2f}, "
        f"W = {case.show(weight, 'force')}; times a quarter turn {case.show(moment * pi / 2, 'energy')}; sideways drag "
        f"{case.show(drag, 'small length')}"
    )
    return _Turn(moment * pi / 2, drag, line)


def _patch(case: Case, wheel: float) -> float:
    """Length of one tyre's contact, m."""
    tyres = case.machine.tyres
    assert tyres is not None
    diameter, width = need(tyres.diameter, "tyres.diameter"), need(tyres.width, "tyres.width")
    return float(contact.tyre_patch(wheel, diameter, width, deflection(case, wheel))[0])


def _on_slab(case: Case, loading: Carry, surface: str, row: CareSurface, turn: _Turn) -> _Harm:
    """A slab cracks under a wheel near its edge; stress against what repeated loads leave of its strength."""
    values = case.rules.care.values
    thickness = case.job.ground.slab or values["slab"].value
    load, pressure, what = _heaviest(case, loading)
    pressure = max(pressure, _least_pressure(case, load, thickness))
    inside, edge = (
        float(s)
        for s in slab.slab_stress(load, pressure, thickness, values["concrete_modulus"].value, values["subgrade"].value)
    )
    strength = float(slab.flexural_strength(values["concrete_strength"].value))
    allowed = strength / values["slab_safety"].value
    thick = case.show(thickness, "small length")
    assumed = "" if case.job.ground.slab else " (assumed: measure it)"
    says = (
        f"{surface.capitalize()}: {what} of {case.show(load, 'force')} stresses a {thick} slab{assumed} to "
        f"{case.show(edge, 'pressure')} at an edge, {case.show(inside, 'pressure')} inside; it stands "
        f"{case.show(allowed, 'pressure')} under repeated loads."
    )
    line = (
        f"{surface}: Westergaard, P = {case.show(load, 'force')} at {case.show(pressure, 'pressure')}, h = {thick}, "
        f"strength 9 sqrt(f'c) = {case.show(strength, 'pressure')}; a caution, never a design"
    )
    index = max(edge / allowed, turn.work / row.care_from)
    remedy = f"Keep off its edges, go over it empty or on boards. {row.remedy}"
    return _Harm(index, says, (turn.working, line), remedy, unsure=case.job.ground.slab is None)


def _least_pressure(case: Case, load: float, thickness: float) -> float:
    """Pressure that keeps the patch within half the slab's radius of stiffness, where the formula holds, Pa."""
    values = case.rules.care.values
    stiff = slab.stiffness_radius(thickness, values["concrete_modulus"].value, values["subgrade"].value)
    return load / (pi * (0.5 * float(stiff)) ** 2)


def _heaviest(case: Case, loading: Carry) -> tuple[float, float, str]:
    """Heaviest single load on the slab: N, Pa, and what it is. Of a track, the roller under its most pressed end."""
    if case.machine.tracks:
        total = (loading.mass + loading.payload) * GRAVITY
        width, rollers = (
            need(case.machine.tracks.width, "tracks.width"),
            need(case.machine.tracks.road_wheels, "road_wheels"),
        )
        offset = float(
            contact.resultant_offset(loading.mass, loading.base, loading.rear_share, loading.payload, loading.low_reach)
        )
        within = min(abs(offset), 0.49 * loading.base)  # one that tips is told of elsewhere
        _, peak = contact.track_pressure(total, loading.base, width, eccentricity=within)
        return float(peak) * width * loading.base / (rollers / 2), float(peak), "a roller of its tracks"
    axles = contact.axle_loads(
        loading.mass * GRAVITY, loading.base, loading.rear_share, loading.payload * GRAVITY, loading.low_reach
    )
    wheel = float(max(axles)) / 2
    tyres = case.machine.tyres
    assert tyres is not None
    diameter, width = need(tyres.diameter, "tyres.diameter"), need(tyres.width, "tyres.width")
    return wheel, float(contact.tyre_patch(wheel, diameter, width, deflection(case, wheel))[2]), "a loaded wheel"


def _buried(case: Case, loading: Carry) -> tuple[str, ...]:
    """What arrives at the depth of a buried line; its owner says what it bears."""
    depth = case.job.hazards.services_depth
    if depth is None or case.brief:
        return ()
    load, pressure, what = _heaviest(case, loading)
    area = load / pressure
    if case.machine.tracks:
        width = need(case.machine.tracks.width, "tracks.width")
    else:
        assert case.machine.tyres is not None
        width = need(case.machine.tyres.width, "tyres.width")
    arrives = float(slab.spread_pressure(load, width, area / width, depth))
    return (
        f"{what} of {case.show(load, 'force')} arrives {case.show(depth, 'length')} down at "
        f"{case.show(arrives, 'pressure')} "
        "(spread 2:1): ask the owner of the line what it bears",
    )
