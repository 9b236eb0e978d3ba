"""What does it do to what it drives on? Scuffing, tearing and cracking; and what no machine may be sent onto at all."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import pi
from typing import Literal

from pickrig.checks.carrying import GRAVITY, Carry, carry
from pickrig.checks.case import Case, need
from pickrig.checks.cited import source
from pickrig.checks.finding import Account, Finding, Verdict
from pickrig.checks.pressing import heaviest_wheel, most_pressure
from pickrig.checks.ruts import rut_in_turf
from pickrig.checks.tyres import tyre_patch
from pickrig.facts import Quantity, Ruled, Said, Statements, Step, Term, number, small
from pickrig.inputs import Job
from pickrig.inputs.job import hour_of
from pickrig.physics import contact, slab, turning
from pickrig.rulebook import Rules
from pickrig.rulebook.tables import CareSurface, Forbidden

_OFF = (Said("spares.chains_off"),)
_LATER = (Said("spares.wait_cool"),)
_TURNS = Literal["wide", "ordinary", "on the spot", "on boards"]


@dataclass(frozen=True)
class _Turn:
    """One quarter turn, in SI: friction work against the ground, and how far the running gear drags sideways."""

    work: float
    drag: float
    working: Callable[[], Said]


@dataclass(frozen=True)
class _Harm:
    """index: harm over what calls for care on this surface; from 1 on it does."""

    index: float
    says: Statements
    working: Callable[[], Statements]
    remedy: Statements = ()
    unsure: bool = False  # too little known for a plain go
    ruins: bool = False  # no machine that does this is sent

    @property
    def calls_for_care(self) -> bool:
        return self.index >= 1 or self.unsure


def spares_surface(case: Case) -> Finding:
    """Harm over what calls for care, on the surface it hurts most; dangers to life or plant end it. See `Finding`."""
    forbidden = _forbidden(case)
    if forbidden:
        says = tuple(Said("spares.forbidden", why=Ruled(row.says)) for row in forbidden)
        lift = tuple(Said("ruled", text=Ruled(row.lifted_by(case.law))) for row in forbidden)
        return _finding(case, "no-go", None, lambda: Account(says, lift))
    cared = [name for name in case.job.ground.travel if name in case.rules.care.surfaces]
    if not cared:
        return _finding(case, "go", 0.0, lambda: Account((Said("spares.nothing"),)))
    loading = carry(case)
    harms = [_harm(case, loading, name) for name in cared]
    ruins = any(harm.ruins for harm in harms)
    careful = [harm for harm in harms if harm.calls_for_care]
    worst_first = sorted(harms, key=lambda harm: -harm.index)

    def account() -> Account:
        return Account(
            says=tuple(said for harm in worst_first for said in harm.says),
            remedy=tuple(dict.fromkeys(said for harm in careful for said in harm.remedy)),
            working=(*(line for harm in harms for line in harm.working()), *_buried(case, loading)),
        )

    verdict: Verdict = "no-go" if ruins else "caution" if careful else "go"
    return _finding(case, verdict, max(harm.index for harm in harms), account)


def _finding(case: Case, verdict: Verdict, value: float | None, account: Callable[[], Account]) -> Finding:
    cared = [name for name in case.job.ground.travel if name in case.rules.care.surfaces]

    def sourced() -> Account:
        rows = (
            source(case.rules, case.rules.care.surfaces[name], "source.surface", surface=Ruled(name)) for name in cared
        )
        ruts = ["track rut" if case.machine.tracks else "wheel rut"] if "turf" in cared else []
        return replace(account(), sources=(*case.cite("turning drag", *ruts), *rows))

    return Finding(
        check="spares_surface",
        verdict=verdict,
        unit="ratio",
        value=value,
        limit=None if value is None else 1.0,
        margin=1 / value if value else None,
        depends_on=("ground.travel", "task.turning", "hazards", f"machine.{case.machine.gear}"),
        account=sourced,
    )


def _forbidden(case: Case) -> list[Forbidden]:
    """What ends the job whatever the machine."""
    given = case.job.hazards.model_dump()
    return [row for row in case.rules.care.forbidden.values() if given[row.hazard] == row.word]


def _harm(case: Case, loading: Carry, surface: str) -> _Harm:
    row, mode = case.rules.care.surfaces[surface], _mode(case)
    turn = _quarter_turn(case, loading, surface, row, mode)
    if row.harm == "marks":
        return _on_slab(case, loading, surface, row, turn)
    index, why = _hurts(case, surface, row, turn, mode)
    if _chained(case) and row.harm in ("scuffs", "shifts"):
        scars = max(case.rules.care.values["chains"].value * index, 1.0)
        return _Harm(scars, (Said("spares.chains", surface=Ruled(surface)), why), lambda: (turn.working(),), _OFF)
    rut = rut_in_turf(case, loading, surface) if row.harm == "tears" else None
    remedy = (Said("ruled", text=Ruled(row.remedy)),)
    if rut is None:
        ruins = row.harm == "scuffs" and _ruins(case, index)
        told = (Said("spares.ruins", surface=Ruled(surface)), why) if ruins else (why,)
        return _Harm(index, told, lambda: (turn.working(),), (*_LATER * ruins, *remedy), ruins=ruins)
    says = (why, rut.says) if index > rut.index else (rut.says, why)
    return _Harm(max(index, rut.index), says, lambda: (turn.working(), rut.working()), remedy)


def _ruins(case: Case, index: float) -> bool:
    """Asphalt both hot and new takes nothing: what would be put right elsewhere is a hole there."""
    soft = case.job.ground.new_asphalt and _is_hot(case.job, case.rules)
    return soft and index >= case.rules.care.values["ruins"].value


def _chained(case: Case) -> bool:
    return case.machine.tyres is not None and case.machine.tyres.chains


def _mode(case: Case) -> _TURNS:
    return case.job.task.turning or "ordinary"


def _hurts(case: Case, surface: str, row: CareSurface, turn: _Turn, mode: _TURNS) -> tuple[float, Said]:
    """Harm over what calls for care, and why."""
    on, how = Ruled(surface), Ruled(case.rules.care.turns[mode].says)
    if turn.work == 0:
        steered = case.machine.kind == "articulated loader"
        return 0.0, Said("spares.steers", surface=on) if steered else Said("spares.no_drag", surface=on, how=how)
    if row.harm == "tears":
        return _tears(case, surface, turn, how)
    softened = (case.job.ground.new_asphalt, _is_hot(case.job, case.rules)) if surface == "asphalt" else ()
    soft = any(softened)
    index = turn.work / (row.care_from * case.rules.care.values["soft"].value ** sum(softened))
    key = {
        "scuffs": "scuffs_soft" if soft else "scuffs",
        "shifts": "shifts" if index >= 1 else "pushes",
        "drags": "drags",
    }[row.harm]
    return index, Said(f"spares.{key}", surface=on, how=how, work=Quantity(turn.work, "energy"))


def _tears(case: Case, surface: str, turn: _Turn, how: Ruled) -> tuple[float, Said]:
    """Turf shows a sideways drag of an inch, half of that where it is wet, and tears from twice that."""
    wet = case.job.ground.wetness == "wet" or case.job.ground.standing_water
    shows = case.rules.care.values["drag_little"].value * (0.5 if wet else 1.0)
    index = turn.drag / shows
    key = "tears" if index >= 2 else "shows" if index >= 1 else "hardly"
    more = "_wet" if wet and index >= 1 else ""
    return index, Said(f"spares.{key}{more}", surface=Ruled(surface), how=how, drag=small(turn.drag))


def is_soft_asphalt(job: Job, rules: Rules) -> bool:
    """Hot by the air, or young."""
    return job.ground.new_asphalt or _is_hot(job, rules)


def _is_hot(job: Job, rules: Rules) -> bool:
    """By the air; the day's highest temperature stands in where the weather is given."""
    ground, weather, end = job.ground, job.weather, job.task.end
    air = ground.temperature
    if air is None and weather is not None:
        today = next((day for day in weather.days if day.date == weather.job_day), None)
        air = today.tmax if today is not None else None
        if today is not None and end is not None and hour_of(end) <= rules.care.values["heat_from"].value:
            air = ((today.tmin or 0.0) + (today.tmax or 0.0)) / 2  # done before the day is at its hottest
    return air is not None and air >= rules.care.values["hot"].value


def _quarter_turn(case: Case, loading: Carry, surface: str, row: CareSurface, mode: _TURNS) -> _Turn:
    """Empty or loaded, whichever rubs more; a machine that steers, or stays on boards, rubs nothing."""
    if case.machine.kind == "articulated loader" or case.job.task.on_boards:
        return _Turn(0.0, 0.0, lambda: Said("spares.nothing_skids", surface=Ruled(surface)))
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
    else:
        lateral = row.lateral.tyres * factor
        axles = contact.axle_loads(
            loading.mass * GRAVITY, loading.base, loading.rear_share, payload * GRAVITY, loading.low_reach
        )
        front, rear = (max(float(axle), 0.0) for axle in axles)
        moment = float(turning.wheel_turning_moment(front, rear, loading.base, lateral))
        drag = float(turning.wheel_drag(tyre_patch(case, max(front, rear) / 2)[0], loading.base, radius))

    def step() -> Step:
        return Step(
            "spares.turn_tracks" if case.machine.tracks else "spares.turn_tyres",
            load=Quantity(payload, "mass"),
            R=Quantity(radius, "length"),
            μ=number(lateral, 2),
            W=Quantity(weight, "force"),
            L=Quantity(loading.base, "length"),
            E=Quantity(moment * pi / 2, "energy"),
            drag=small(drag),
        )

    return _Turn(moment * pi / 2, drag, step)


def _on_slab(case: Case, loading: Carry, surface: str, row: CareSurface, turn: _Turn) -> _Harm:
    """A slab cracks under a wheel near its edge; stress against what repeated loads leave of its strength."""
    values = case.rules.care.values
    thickness = case.job.ground.slab or values["slab"].value
    load, pressure = _heaviest(case, loading)
    pressure = max(pressure, _least_pressure(case, load, thickness))
    inside, edge = (
        float(s)
        for s in slab.slab_stress(load, pressure, thickness, values["concrete_modulus"].value, values["subgrade"].value)
    )
    strength = float(slab.flexural_strength(values["concrete_strength"].value))
    allowed = strength / values["slab_safety"].value
    says = Said(
        "spares.slab" if case.job.ground.slab else "spares.slab_assumed",
        surface=Ruled(surface),
        gear=Term(case.machine.gear),
        load=Quantity(load, "force"),
        thickness=small(thickness),
        edge=Quantity(edge, "pressure"),
        inside=Quantity(inside, "pressure"),
        allowed=Quantity(allowed, "pressure"),
    )
    step = Step(
        "spares.slab",
        P=Quantity(load, "force"),
        p=Quantity(pressure, "pressure"),
        h=small(thickness),
        f_r=Quantity(strength, "pressure"),
        σ_edge=Quantity(edge, "pressure"),
        σ_inside=Quantity(inside, "pressure"),
    )
    index = max(edge / allowed, turn.work / row.care_from)
    told: Statements = (says,)
    remedy: Statements = (Said("spares.off_edges"), Said("ruled", text=Ruled(row.remedy)))
    if _chained(case):
        index, told = max(index, 1.0), (Said("spares.chains", surface=Ruled(surface)), says)
        remedy = (*_OFF, *remedy)
    unsure = case.job.ground.slab is None
    return _Harm(index, told, lambda: (turn.working(), step), remedy, unsure=unsure)


def _least_pressure(case: Case, load: float, thickness: float) -> float:
    """Pressure that keeps the patch within half the slab's radius of stiffness, where the formula holds, Pa."""
    values = case.rules.care.values
    stiff = slab.stiffness_radius(thickness, values["concrete_modulus"].value, values["subgrade"].value)
    return load / (pi * (0.5 * float(stiff)) ** 2)


def _heaviest(case: Case, loading: Carry) -> tuple[float, float]:
    """Heaviest single load on the slab, N and Pa: a loaded wheel; of a track, the roller under its most pressed end."""
    tracks, peak = case.machine.tracks, most_pressure(case, loading, loading.payload)
    if tracks is None:
        return heaviest_wheel(loading, loading.payload), peak
    width, rollers = need(tracks.width, "tracks.width"), need(tracks.road_wheels, "road_wheels")
    return peak * width * loading.base / (rollers / 2), peak


def _buried(case: Case, loading: Carry) -> Statements:
    """What arrives at the depth of a buried line; its owner says what it bears."""
    depth = case.job.hazards.services_depth
    if depth is None:
        return ()
    load, pressure = _heaviest(case, loading)
    area = load / pressure
    if case.machine.tracks:
        width = need(case.machine.tracks.width, "tracks.width")
    else:
        assert case.machine.tyres is not None
        width = need(case.machine.tyres.width, "tyres.width")
    arrives = float(slab.spread_pressure(load, width, area / width, depth))
    return (
        Said(
            "spares.buried",
            gear=Term(case.machine.gear),
            load=Quantity(load, "force"),
            depth=Quantity(depth, "length"),
            pressure=Quantity(arrives, "pressure"),
        ),
    )
