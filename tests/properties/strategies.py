"""Whole jobs and fleets: as models, to be asked quickly, and as files, to be read as a user's would be."""

import datetime as dt
import math
from pathlib import Path
from typing import Any

import tomlkit
from hypothesis import strategies as st

from pickrig.inputs import Day, Weather, read_fleet, read_job
from pickrig.inputs.snow import Snow
from pickrig.rulebook import load_rules
from tests.conftest import si

EXAMPLES = Path(__file__).parents[2] / "examples"
RULES = load_rules()
FLEET = read_fleet(EXAMPLES / "fleet.toml", RULES)
SNOW_FLEET = read_fleet(EXAMPLES / "snow-fleet.toml", RULES)
MUDDY = read_job(EXAMPLES / "muddy-lot.toml", RULES)
FINE = sorted(key for key, soil in RULES.soils.items() if soil.family == "fine")
BOXES = sorted(key for key, sizes in RULES.attachments.items() if sizes["compact"].box)


def maybe(strategy: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    return st.none() | strategy


@st.composite
def weathers(draw):
    """A few days before the job and after it, any rain and any temperature."""
    job_day, days = dt.date(2026, draw(st.integers(1, 12)), 15), []
    for offset in range(-draw(st.integers(1, 8)), draw(st.integers(1, 4))):
        low = draw(st.floats(-30, 25))
        days.append(
            si(
                Day,
                date=job_day + dt.timedelta(offset),
                rain=draw(st.floats(0, 0.1)),
                tmin=low,
                tmax=low + draw(st.floats(0, 20)),
            )
        )
    return si(Weather, job_day=job_day, today=None, latitude=draw(maybe(st.floats(-66, 66))), days=days)


@st.composite
def jobs(draw):
    """Any job a file could hold, over all soils, wetness, tests, surfaces, ways in, loads, tools and hazards."""
    soil = draw(st.sampled_from(sorted(RULES.soils)))
    fine = RULES.soils[soil].family == "fine"
    names = draw(st.lists(st.sampled_from(sorted(RULES.surfaces)), unique=True, max_size=3))
    thumb = draw(maybe(st.sampled_from(sorted(RULES.field_tests["thumb"].results)))) if fine else None
    ground = MUDDY.ground.model_copy(
        update={
            "soil": soil,
            "wetness": draw(maybe(st.sampled_from(["dry", "moist", "wet"]))),
            "standing_water": draw(st.booleans()),
            "frost": draw(maybe(st.floats(0.001, 1.5))),
            "thumb": thumb,
            "cone": draw(maybe(st.floats(1e4, 3e6))) if fine else None,
            "moisture": draw(maybe(st.just((0.1, 0.2, 0.3)))),
            "drainage": draw(maybe(st.sampled_from(sorted(RULES.drainage)))),
            "cover": draw(maybe(st.sampled_from(sorted(RULES.covers)))),
            "grade": draw(maybe(st.floats(0, 1))),
            "grade_across": draw(maybe(st.floats(0, 1))),
            "temperature": draw(maybe(st.floats(-30, 45))),
            "slab": draw(maybe(st.floats(0.05, 0.3))),
            "travel": {name: 1 / len(names) for name in names},
        }
    )
    opening = st.none() | st.just(math.inf) | st.floats(0.3, 6)
    access = MUDDY.access.model_copy(update={key: draw(opening) for key in ("gate", "headroom", "aisle")})
    update = {"ground": ground, "access": access, "task": draw(tasks()), "hazards": draw(hazards())}
    update["country"] = draw(st.sampled_from(["US", "UK", "EU"]))
    return MUDDY.model_copy(update={**update, "weather": draw(maybe(weathers()))})


@st.composite
def tasks(draw):
    """Any work but snow, with and without the figures that time it."""
    goods = draw(maybe(st.sampled_from(sorted(RULES.goods))))
    by_volume = goods is not None and RULES.goods[goods].density is not None
    return MUDDY.task.model_copy(
        update={
            "kind": draw(st.sampled_from(sorted(key for key, work in RULES.work.items() if not work.clears_snow))),
            "attachment": draw(maybe(st.sampled_from(sorted(RULES.attachments)))),
            "load": draw(maybe(st.floats(1, 5000))) if goods is None else None,
            "goods": goods,
            "goods_volume": draw(st.floats(0.05, 1)) if by_volume else None,
            "pieces": draw(st.integers(1, 60)),
            "split": draw(st.booleans()),
            "set_height": draw(maybe(st.floats(0.1, 4))),
            "passes": draw(maybe(st.sampled_from(["all day", "once"]))),
            "turning": draw(maybe(st.sampled_from(["wide", "ordinary", "on the spot", "on boards"]))),
            "push": draw(maybe(st.floats(50, 1e5))),
            "down_force": draw(maybe(st.floats(50, 1e5))),
            "volume": draw(maybe(st.floats(0.5, 500))),
            "area": draw(maybe(st.floats(5, 2e4))),
            "holes": draw(maybe(st.integers(1, 200))),
            "haul": draw(maybe(st.floats(1, 300))),
            "truck_side": draw(maybe(st.floats(0.5, 4))),
            "day": draw(maybe(st.floats(3600, 43_200))),
        }
    )


@st.composite
def hazards(draw):
    """What ends a job whatever the machine."""
    words = {
        "septic": ["none", "kept off", "on the route"],
        "services": ["none", "marked", "unmarked"],
        "trench": ["none", "protected", "unprotected"],
        "power_lines": ["none", "clear", "near"],
    }
    update = {key: draw(maybe(st.sampled_from(values))) for key, values in words.items()}
    return MUDDY.hazards.model_copy(update={**update, "services_depth": draw(maybe(st.floats(0.1, 3)))})


@st.composite
def snow_jobs(draw):
    """Any lot to clear, over all snow, what lies under it, sizes, tools, cold and slopes."""
    under = draw(maybe(st.sampled_from(sorted(RULES.snow.under))))
    snow = si(
        Snow,
        depth=draw(st.floats(0.005, 2)),
        kind=draw(maybe(st.sampled_from(sorted(RULES.snow.kinds)))),
        density=draw(maybe(st.floats(20, 920))),
        under=under,
        length=draw(st.floats(1, 500)),
        breadth=draw(st.floats(1, 500)),
        area=None,
        stack=draw(st.sampled_from(["one end", "both ends"])),
        window=draw(maybe(st.floats(300, 1e5))),
        grip=draw(st.sampled_from(["practice", "reach", "force"])),
    )
    ground = MUDDY.ground.model_copy(
        update={
            "temperature": draw(maybe(st.floats(-40, 5))),
            "grade": draw(maybe(st.floats(0, 0.5))),
            "travel": {RULES.snow.under[under or "bare pavement"].surface: 1.0},
        }
    )
    task = MUDDY.task.model_copy(
        update={
            "kind": "clear snow",
            "attachment": draw(maybe(st.sampled_from(BOXES))),
            "load": None,
            "down_force": draw(maybe(st.floats(50, 1e5))),
        }
    )
    return MUDDY.model_copy(update={"ground": ground, "task": task, "snow": snow})


# --- whole files, written in either system of units

_UNITS = {
    "length": ("in", 0.0254, "mm", 1e-3),
    "distance": ("ft", 0.3048, "m", 1.0),
    "area": ("ft2", 0.09290304, "m2", 1.0),
    "volume": ("yd3", 0.764554857984, "m3", 1.0),
    "mass": ("lb", 0.45359237, "kg", 1.0),
    "force": ("lbf", 4.4482216152605, "N", 1.0),
    "pressure": ("psi", 6894.757293168, "kPa", 1e3),
    "power": ("hp", 745.6998715822702, "kW", 1e3),
    "flow": ("gpm", 6.30901964e-05, "L/min", 1e-3 / 60),
    "speed": ("mph", 0.44704, "km/h", 1 / 3.6),
    "share": ("%", 0.01, "%", 0.01),
    "hours": ("h", 3600.0, "h", 3600.0),
}


class Quantity:
    """A number in SI and how a file writes it in feet and pounds or in metres and kilograms."""

    def __init__(self, si: float, dimension: str) -> None:
        self.si, self.dimension = si, dimension

    def text(self, system: str) -> str:
        if self.dimension == "temperature":
            return f"{self.si * 9 / 5 + 32:.9f} F" if system == "us" else f"{self.si:.9f} C"
        us, us_size, metric, metric_size = _UNITS[self.dimension]
        return f"{self.si / us_size:.9f} {us}" if system == "us" else f"{self.si / metric_size:.9f} {metric}"

    def __repr__(self) -> str:
        return self.text("metric")


def quantity(dimension: str, low: float, high: float) -> st.SearchStrategy[Quantity]:
    return st.floats(low, high).map(lambda si: Quantity(si, dimension))


def written(table: Any, system: str) -> Any:
    """A table of a file with its quantities in one system of units; what is None is left out."""
    if isinstance(table, Quantity):
        return table.text(system)
    if isinstance(table, dict):
        return {key: written(value, system) for key, value in table.items() if value is not None}
    return [written(item, system) for item in table] if isinstance(table, list) else table


def toml(table: dict[str, Any], system: str) -> str:
    return tomlkit.dumps(written(table, system))


_AMOUNTS = [  # how much there is to do, said in one way
    {"pieces": st.integers(1, 60)},
    {"volume": quantity("volume", 2, 200)},
    {"area": quantity("area", 50, 8000)},
]


@st.composite
def job_files(draw):
    """A job as a file holds it."""
    if draw(st.integers(0, 3)) == 0:
        return draw(_snow_files())
    soil = draw(st.sampled_from(sorted(RULES.soils)))
    fine = RULES.soils[soil].family == "fine"
    surfaces = draw(st.lists(st.sampled_from(["site soil", "turf", "asphalt", "gravel"]), unique=True, max_size=2))
    kind = draw(st.sampled_from(sorted(key for key, work in RULES.work.items() if not work.clears_snow)))
    thumb = st.sampled_from(sorted(RULES.field_tests["thumb"].results))
    return {
        "title": "Any job",
        "task": {
            "kind": kind,
            "load": draw(maybe(quantity("mass", 50, 2500))),
            "split": draw(st.booleans()),
            "turning": draw(maybe(st.sampled_from(["wide", "on the spot"]))),
            "push": draw(maybe(quantity("force", 100, 2e4))),
            **draw(st.sampled_from(_AMOUNTS).flatmap(st.fixed_dictionaries)),
            "haul": draw(maybe(quantity("distance", 5, 200))),
            "set_height": draw(maybe(quantity("length", 0.5, 3))),
        },
        "ground": {
            "soil": soil,
            "wetness": draw(maybe(st.sampled_from(["dry", "moist", "wet"]))),
            "thumb": draw(maybe(thumb)) if fine else None,
            "grade": draw(maybe(quantity("share", 0, 0.4))),
            "frost": draw(maybe(quantity("length", 0.02, 0.6))),
            "temperature": draw(maybe(quantity("temperature", -20, 40))),
            "travel": {name: Quantity(1 / len(surfaces), "share") for name in surfaces} or None,
        },
        "access": {
            "gate": draw(st.just("open") | quantity("length", 0.7, 4)),
            "headroom": draw(maybe(quantity("length", 1.2, 4))),
            "aisle": draw(maybe(quantity("length", 1.5, 6))),
        },
    }


@st.composite
def _snow_files(draw):
    kind = draw(st.sampled_from(sorted(RULES.snow.kinds)))
    return {
        "title": "Any lot",
        "task": {"kind": "clear snow", "attachment": draw(maybe(st.sampled_from(BOXES)))},
        "snow": {
            "depth": draw(quantity("length", 0.01, 0.9)),
            "kind": kind,
            "under": draw(st.sampled_from(sorted(RULES.snow.under))),
            "length": draw(quantity("distance", 5, 150)),
            "breadth": draw(quantity("distance", 5, 150)),
            "window": draw(maybe(quantity("hours", 1800, 36_000))),
        },
        "ground": {
            "soil": "gravel",
            "wetness": "moist",
            "temperature": draw(maybe(quantity("temperature", -25, -3))) if kind not in ("slush", "wet") else None,
            "grade": draw(maybe(quantity("share", 0, 0.2))),
        },
        "access": {"gate": "open"},
    }


@st.composite
def fleet_files(draw):
    """A fleet of one to four machines, each like its size class and a tenth off it either way."""
    classes = sorted(RULES.machine_classes)
    chosen = draw(st.lists(st.sampled_from(classes), min_size=1, max_size=4))
    machines = [draw(_machines(size, f"{number} {size}")) for number, size in enumerate(chosen, 1)]
    return {"title": "Any yard", "machine": machines}


@st.composite
def _machines(draw, size, name):
    row = RULES.machine_classes[size]
    near = st.floats(0.9, 1.1)

    def like(value, dimension):
        return draw(maybe(near.map(lambda factor: Quantity(value * factor, dimension))))

    kinds = {"stand-on": "stand-on loader", "articulated": "articulated loader", "tracked": "tracked loader"}
    kind = next((kind for word, kind in kinds.items() if size.startswith(word)), "skid steer")
    machine = {
        "name": name,
        "kind": kind,
        "size_class": size,
        "mass": like(row.mass, "mass"),
        "width": like(row.width, "length"),
        "height": like(row.height, "length"),
        "clearance": like(row.clearance, "length"),
        "power": like(row.power * 1000, "power"),
        "tipping_load": like(row.tipping_load, "mass"),
        "tipping_share": "35 %" if row.tracks else "50 %",
        "travel_speed": like(row.travel_speed, "speed"),
    }
    if row.tracks:
        machine["tracks"] = {"width": like(row.tracks.width, "length")}
    else:
        machine["tyres"] = {"width": like(row.tyres.width, "length"), "diameter": like(row.tyres.diameter, "length")}
    return machine
