"""The owner's answer in sentences: what to do, why, and what was taken for granted."""

from pickrig import quantities
from pickrig.inputs import Machine
from pickrig.inputs.year import Year
from pickrig.plans.purchase import Option, WorkDays
from pickrig.quantities import System
from pickrig.rulebook import Rules

HOW = {"own": "bought", "rent": "rented"}
_DO = {"own": "Buy", "rent": "Rent"}
_CLOSE = 1000.0  # $ a year within which two options are the same: the inputs are not known better


def rival_of(best: Option | None, options: list[Option]) -> Option | None:
    """The best option on the other running gear; without one, the next best machine."""
    if best is None:
        return None
    others = [o for o in options if o.name != best.name]
    other_gear = [o for o in others if o.machine.gear != best.machine.gear]
    return next(iter(other_gear or others), None)


def answer(best: Option | None, rival: Option | None, year: Year, units: System) -> str:
    """What to do, in a sentence or two."""
    if best is None:
        budget = f" within {quantities.show(year.budget, 'money', units)}" if year.budget is not None else ""
        return f"Buy nothing: no machine here{budget} earns back what it costs on this year of work."
    said = f"{_DO[best.how]} {best.name}: it leaves about {_dollars(best.net, units)} a year over what it costs."
    if rival is None:
        return said
    if abs(best.net - rival.net) < _CLOSE:
        return f"{said} {rival.name} ({HOW[rival.how]}) leaves as much, as far as anyone can know: let service decide."
    return f"{said} {rival.name} ({HOW[rival.how]}) would leave {_dollars(rival.net, units)}."


def reasons(
    best: Option | None, rival: Option | None, days: dict[str, tuple[WorkDays, ...]], year: Year, units: System
) -> tuple[str, ...]:
    """Workable days where they differ most, what it does, what an hour costs."""
    if best is None:
        return ()
    told = []
    if rival is not None:
        told += _more_days(best, rival, days)
        told.append(
            f"An hour with it costs {_dollars(best.an_hour, units)} with operator and all, over {best.hours:,.0f} h a "
            "year; "
            f"with {rival.name} {_dollars(rival.an_hour, units)} over {rival.hours:,.0f} h."
        )
    done = ", ".join(
        f"{count:.0f} of {work.jobs} “{work.name}”" for work in year.works if (count := best.jobs[work.name]) >= 0.5
    )
    told.append(f"It does {done or 'none of the works'} a year.")
    told.append(
        f"Between the record's wettest and driest year it leaves {_dollars(best.wet, units)} to "
        f"{_dollars(best.dry, units)}."
    )
    return tuple(told)


def _more_days(best: Option, rival: Option, days: dict[str, tuple[WorkDays, ...]]) -> list[str]:
    pairs = [(a.middle - b.middle, a, b) for a, b in zip(days[best.name], days[rival.name], strict=True)]
    gap, own, other = max(pairs, key=lambda pair: abs(pair[0]))
    if abs(gap) < 1:
        return ["The ground does not part them: both could work on the same days."]
    more = "more" if gap > 0 else "fewer"
    return [
        f"On “{own.work}” it could work {own.middle:.0f} of {own.of:.0f} working days in a middle year "
        f"({own.worst:.0f} to "
        f"{own.best:.0f}), {abs(gap):.0f} {more} than {rival.name} ({other.worst:.0f} to {other.best:.0f})."
    ]


def cannot(stops: set[str]) -> str:
    """Why no machine of the fleet does a work at all."""
    words = {
        "fits": "none gets in", "lifts": "none lifts it", "grips": "none grips", "climbs": "too steep for all",
        "powers": "none runs the tool", "produces": "none is quick enough", "spares_surface": "the site forbids any "
        "machine",
        "hauls": "none gets there",
    }  # fmt: skip
    told = [words[stop] for stop in sorted(stops) if stop in words]
    return ", ".join(told) or "no machine for it"


def assumed(year: Year, machines: tuple[Machine, ...], rules: Rules) -> tuple[str, ...]:
    """What the answer took for granted."""
    notes = [*year.notes]
    notes.append("a job's hours and rubber are those of its own file; its ground is left to the record of weather")
    notes.append("jobs are spread evenly over their months, and a part of a job counts as that part")
    notes.append(f"{rules.owning['working_week'].value:.0f} working days a week of {quantities.duration(year.day)}")
    unpriced = [m.name for m in machines if (m.tracks or m.tyres) and (m.tracks or m.tyres).set_price is None]  # type: ignore[union-attr]
    if unpriced:
        notes.append(f"{', '.join(unpriced)}: rubber costs nothing here, because no set_price is given")
    no_resale = [m.name for m in machines if m.deal and m.deal.price is not None and m.deal.resale is None]
    if no_resale:
        notes.append(f"{', '.join(no_resale)}: resale by a farm tractor's curve ({rules.cite(rules.owning['c1'])})")
    lives = [m.name for m in machines if m.deal and m.deal.life is None]
    if lives:
        notes.append(
            f"{', '.join(lives)}: a life of {rules.owning['life'].value:,.0f} h ({rules.owning['life'].status})"
        )
    notes.append(f"{rules.owning['load_factor'].says}: {rules.owning['load_factor'].value:.2f} taken")
    return tuple(notes)


def sources(rules: Rules) -> tuple[str, ...]:
    names = (
        "owning",
        "fuel and repairs",
        "remaining value",
        "evaporation",
        "strength by soil group",
        "strength by clay",
    )
    return tuple(rules.cite(rules.equations[name]) for name in names)


def _dollars(sum_: float, units: System) -> str:
    shown = quantities.show(abs(sum_), "money", units)
    return f"-{shown}" if sum_ < 0 else shown
