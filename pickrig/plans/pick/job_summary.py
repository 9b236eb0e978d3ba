"""The job as it was read, in words, so that a slip of the pen can be seen on the page."""

import math

from pickrig import quantities
from pickrig.inputs import Job
from pickrig.inputs.job import TESTS
from pickrig.quantities import System
from pickrig.rulebook import Rules


def told(job: Job, rules: Rules, units: System) -> tuple[tuple[str, str], ...]:
    """Label and text of everything the job file said."""

    def show(value: float, dimension: str) -> str:
        return "open" if math.isinf(value) else quantities.show(value, dimension, units)

    task, ground = job.task, job.ground
    lines: list[tuple[str, str]] = [("work", task.kind)]
    if task.load is not None:
        split = ", may be split" if task.split else ", in one piece"
        lines.append(("load", f"{show(task.load, 'mass')} x {task.pieces}{split}"))
    lines += [("attachment", task.attachment)] if task.attachment else []
    lines += [("set down at", show(task.set_height, "length"))] if task.set_height is not None else []
    lines += [("passes", task.passes)] if task.passes else []
    if ground.soil:
        lines.append(("soil", f"{rules.soils[ground.soil].name} ({ground.soil})"))
    lines += [("wetness", ground.wetness)] if ground.wetness else []
    if ground.moisture is not None:
        lines.append(("moisture", ", ".join(show(m, "share") for m in dict.fromkeys(ground.moisture))))
    lines += [("water", "standing")] if ground.standing_water else []
    lines += [("frost", show(ground.frost, "small length"))] if ground.frost is not None else []
    lines += [("drainage", rules.drainage[ground.drainage].says)] if ground.drainage else []
    lines += [("cover", rules.covers[ground.cover].says)] if ground.cover else []
    for key, name in (("grade", "slope up and down"), ("grade_across", "slope across")):
        slope = getattr(ground, key)
        lines += (
            [(name, f"{show(slope, 'share')} ({math.degrees(math.atan(slope)):.0f} deg)")] if slope is not None else []
        )
    lines += [_test(job, rules, name, units) for name in TESTS if getattr(ground, name) is not None]
    if ground.travel:
        lines.append(("travel", ", ".join(f"{show(share, 'share')} {name}" for name, share in ground.travel.items())))
    lines += _snow(job, rules, units)
    lines += _ways(job, units)
    lines += [("turning", task.turning)] if task.turning else []
    lines += [("air", show(ground.temperature, "temperature"))] if ground.temperature is not None else []
    lines += [("slab", show(ground.slab, "small length"))] if ground.slab is not None else []
    lines += [
        (name.replace("_", " "), str(value))
        for name, value in job.hazards.model_dump().items()
        if isinstance(value, str)
    ]
    for key in ("gate", "headroom", "aisle"):
        opening = getattr(job.access, key)
        lines += [(key, show(opening, "length"))] if opening is not None else []
    if job.weather is not None:
        first, last = job.weather.days[0].date, job.weather.days[-1].date
        lines.append(("weather", f"{first} to {last}, measured to {job.weather.last_measured}"))
    return tuple(lines)


def _ways(job: Job, units: System) -> list[tuple[str, str]]:
    """How far, how much, how it gets there."""
    task, lines = job.task, []
    for key, dimension in (
        ("truck_side", "length"), ("truck_reach", "length"), ("haul", "length"), ("volume", "volume"), ("area", "area"),
        ("run", "length"), ("run_per_hour", "length"),
    ):  # fmt: skip
        value = getattr(task, key)
        lines += [(key.replace("_", " "), quantities.show(value, dimension, units))] if value is not None else []
    lines += [("holes", str(task.holes))] if task.holes is not None else []
    lines += [("goods", task.goods)] if task.goods is not None else []
    lines += [("day", quantities.duration(task.day))] if task.day is not None else []
    if job.haul is not None:
        lines.append(("on the road", f"{job.haul.trailer} behind {job.haul.truck}, rules of the {job.country}"))
    return lines


def _snow(job: Job, rules: Rules, units: System) -> list[tuple[str, str]]:
    lot = job.snow
    if lot is None:
        return []
    along, across = (quantities.show(side, "length", units) for side in lot.sides)
    kind = f" of {lot.kind}: {rules.snow.kinds[lot.kind].says}" if lot.kind else ""
    lines = [
        ("snow", f"{quantities.show(lot.depth, 'snow', units)}{kind}"),
        ("lot", f"{along} along the push, {across} wide"),
    ]
    lines += [("density", quantities.show(lot.density, "density", units))] if lot.density is not None else []
    lines += [("under it", rules.snow.under[lot.under].says if lot.under else "nobody has looked")]
    lines += [("stacked at", lot.stack)]
    return lines + ([("window", quantities.duration(lot.window))] if lot.window is not None else [])


def _test(job: Job, rules: Rules, name: str, units: System) -> tuple[str, str]:
    value = getattr(job.ground, name)
    if isinstance(value, str):
        result = rules.field_tests[name].results.get(value)
        return f"{name} test", result.says if result else value
    return f"{name} test", quantities.show(value, "small length" if name == "dcp" else "pressure", units)
