"""What does it wear out? Life of tracks or tyres over the surfaces of the job, and the money an hour."""

from dataclasses import replace

from pickrig.checks.case import Case
from pickrig.checks.finding import Finding
from pickrig.physics import cost
from pickrig.rulebook.tables import Surface

HOUR = 3600.0


def wears(case: Case) -> Finding:
    """Dollars of tracks or tyres an hour on this job's surfaces. See `Finding`."""
    travel = case.job.ground.travel or {"site soil": 1.0}
    surfaces = {name: case.rules.surfaces[name] for name in travel}
    life, source = _life(case, travel, surfaces)
    hard = sum(share for name, share in travel.items() if surfaces[name].hard)
    gear = case.machine.tracks or case.machine.tyres
    assert gear is not None
    says = _life_says(case, life, hard)
    finding = Finding(
        check="wears",
        verdict="go",
        unit="rate of cost",
        says=says,
        working=_working(case, travel, surfaces, life),
        sources=(*case.cite("linear damage"), *source),
        depends_on=("ground.travel", f"machine.{case.machine.gear}.set_price"),
    )
    if gear.set_price is None:
        advice = f"The price of a set of {case.machine.gear} is not known: ask the dealer and give set_price."
        return replace(finding, verdict="unknown", says=f"{says} {advice}", remedy=advice)
    spread = case.rules.wear.life_range
    rate, low, high = (gear.set_price / (life * f) for f in (1.0, spread.high, spread.low))
    too_hard = case.machine.tracks is not None and hard >= case.rules.wear.hard_share_caution.tracks
    return replace(
        finding,
        verdict="caution" if too_hard else "go",
        value=rate,
        says=(
            f"{says} At {case.show(gear.set_price, 'money')} a set that is {case.show(rate, 'rate of cost')}, "
            f"between {case.show(low, 'rate of cost')} and {case.show(high, 'rate of cost')}."
        ),
    )


def _life(case: Case, travel: dict[str, float], surfaces: dict[str, Surface]) -> tuple[float, tuple[str, ...]]:
    """Hours, and where they come from; the owner's own change-out hours beat the table."""
    gear = case.machine.tracks or case.machine.tyres
    assert gear is not None
    if gear.change_hours is not None:
        return gear.change_hours / HOUR, ("life: the owner's own change-out hours",)
    lives = [getattr(surface.life_hours, case.machine.gear) for surface in surfaces.values()]
    life = float(cost.harmonic_life(list(travel.values()), lives)) * _tyre_factor(case)
    return life, tuple(f"life on {name}: {case.rules.cite(surface)}" for name, surface in surfaces.items())


def _tyre_factor(case: Case) -> float:
    if case.machine.tyres is None:
        return 1.0
    kinds = case.rules.wear.tyre_kind
    return {"pneumatic": kinds.pneumatic, "foam-filled": kinds.foam_filled, "solid": kinds.solid}[
        case.machine.tyres.kind
    ]


def _life_says(case: Case, life: float, hard: float) -> str:
    spread = case.rules.wear.life_range
    where = f"with {case.show(hard, 'share')} of travel on hard surfaces" if hard else "off hard surfaces"
    return (
        f"Its {case.machine.gear} last about {life:,.0f} h {where} "
        f"({life * spread.low:,.0f} to {life * spread.high:,.0f})."
    )


def _working(case: Case, travel: dict[str, float], surfaces: dict[str, Surface], life: float) -> tuple[str, ...]:
    gear = case.machine.tracks or case.machine.tyres
    assert gear is not None
    if gear.change_hours is not None:
        return (f"life {life:,.0f} h: the owner's own",)
    parts = " + ".join(
        f"{share:.2f}/{getattr(surfaces[name].life_hours, case.machine.gear):,.0f} h ({name})"
        for name, share in travel.items()
    )
    factor = _tyre_factor(case)
    times = f", times {factor:.1f} for {case.machine.tyres.kind} tyres" if case.machine.tyres and factor != 1 else ""
    return (f"1/life = {parts}{times}; life {life:,.0f} h",)
