"""Draw the jobs, days and years whose answers are recorded: over every key there is, in either system of units.

They are drawn once and kept as files are (`drawn.json`), so that what is asked never moves with a library. A new key is
drawn by adding it here and running `python -m tests.records draw`; old cases stay as they are.
"""

import datetime as dt
import math
from collections.abc import Callable
from pathlib import Path
from random import Random
from typing import Any

import tomlkit

from pickrig.errors import InputError
from pickrig.inputs import read_fleet, read_job
from pickrig.inputs.board import read_board
from pickrig.inputs.year import read_year
from pickrig.plans.buy.answer import buy
from pickrig.plans.day.answer import day
from pickrig.plans.pick.rig import rig
from pickrig.rulebook import Rules, load_rules

Table = dict[str, Any]
Case = dict[str, Any]  # kind, and the texts of its files as tables: job or day or year, jobs, fleet; csv as text

_UNITS = {
    "length": (("in", 0.0254), ("ft", 0.3048), ("m", 1.0), ("mm", 1e-3)),
    "distance": (("ft", 0.3048), ("m", 1.0)),
    "mass": (("lb", 0.45359237), ("kg", 1.0)),
    "share": (("%", 0.01),),
    "pressure": (("psi", 6894.757), ("kPa", 1e3)),
    "power": (("hp", 745.7), ("kW", 1e3)),
    "flow": (("gpm", 6.309e-5), ("L/min", 1e-3 / 60)),
    "volume": (("yd3", 0.7646), ("m3", 1.0)),
    "area": (("ft2", 0.0929), ("m2", 1.0)),
    "force": (("lbf", 4.448), ("N", 1.0)),
    "speed": (("mph", 0.447), ("km/h", 1 / 3.6)),
    "time": (("h", 3600.0), ("min", 60.0)),
    "density": (("lb/ft3", 16.018), ("kg/m3", 1.0)),
    "temperature": (("C", 1.0),),
    "angle": (("deg", 1.0),),
    "money": (("$", 1.0),),
}


class Draw:
    """Random values as a user writes them."""

    def __init__(self, seed: int, rules: Rules) -> None:
        self.random, self.rules = Random(seed), rules

    def quantity(self, dimension: str, low: float, high: float) -> str:
        unit, size = self.random.choice(_UNITS[dimension])
        number = float(f"{self.random.uniform(low, high) / size:.4g}")
        return f"${number:.0f}" if unit == "$" else f"{number:g} {unit}"

    def one(self, *choices: Any) -> Any:
        return self.random.choice(choices)

    def often(self, share: float) -> bool:
        return self.random.random() < share

    def some(self, table: Table, share: float = 0.5) -> Table:
        """Some of a table's keys; what is callable is called."""
        return {key: value() for key, value in table.items() if self.often(share)}

    # --- a job

    def task(self, snow: bool) -> Table:
        rules = self.rules
        if snow:
            boxes = [name for name, row in rules.attachments.items() if row["compact"].box or row["compact"].clears]
            told = {"kind": "clear snow"}
            return told | self.some(
                {
                    "attachment": lambda: self.one(*boxes),
                    "attachment_width": lambda: self.quantity("length", 1, 3),
                    "down_force": lambda: self.quantity("force", 100, 5000),
                }
            )
        kind = self.one(*(name for name, work in rules.work.items() if not work.clears_snow))
        told = {"kind": kind}
        told |= self.some(
            {
                "attachment": lambda: self.one(*rules.attachments),
                "attachment_width": lambda: self.quantity("length", 0.8, 2.5),
                "split": lambda: self.one(True, False),
                "set_height": lambda: self.quantity("length", 0.3, 3),
                "passes": lambda: self.one("all day", "once"),
                "turning": lambda: self.one("wide", "ordinary", "on the spot", "on boards"),
                "push": lambda: self.quantity("force", 200, 15_000),
                "down_force": lambda: self.quantity("force", 200, 8000),
                "material": lambda: self.one(*rules.cycles.materials),
                "truck_side": lambda: self.quantity("length", 1, 3),
                "truck_reach": lambda: self.quantity("length", 0.3, 1),
                "haul": lambda: self.quantity("distance", 5, 150),
                "day": lambda: self.quantity("time", 3 * 3600, 10 * 3600),
                "start": lambda: self.one("6:00", "7:30", "9:00"),
                "end": lambda: self.one("9:30", "12:00", "3:30 PM"),
            },
            0.35,
        )
        told |= self._load() | self._amount()
        if "bucketful" in told:
            told.pop("pieces", None)
            told["attachment"] = "bucket"
        return told

    def _load(self) -> Table:
        how = self.one("load", "load", "goods", "bucketful", None)
        if how == "bucketful":
            return {"bucketful": True}
        if how == "load":
            return {"load": self.quantity("mass", 100, 1500)}
        if how is None:
            return {}
        goods, row = self.one(*self.rules.goods.items())
        return {"goods": goods} | ({"goods_volume": self.quantity("volume", 0.1, 0.6)} if row.density else {})

    def _amount(self) -> Table:
        return self.one(
            {"pieces": self.random.randint(2, 40)},
            {"volume": self.quantity("volume", 4, 120)},
            {"area": self.quantity("area", 40, 4000)},
            {"run": self.quantity("distance", 20, 200), "run_per_hour": self.quantity("distance", 8, 40)},
            {"holes": self.random.randint(5, 60), "holes_per_hour": self.random.randint(4, 20)},
            {},
        )

    def ground(self, snow: bool, weather: bool) -> Table:
        rules = self.rules
        soil = self.one(*rules.soils)
        family = rules.soils[soil].family
        told: Table = {"soil": soil}
        if not weather and not snow:
            told |= self.one(
                {"wetness": self.one("dry", "moist", "wet")},
                {"wetness": "wet", "standing_water": True},
                {"moisture": self.one("22 %", ["18 %", "24 %", "30 %"])},
                {},
            )
        if weather:
            told |= self.some(
                {"drainage": lambda: self.one(*rules.drainage), "cover": lambda: self.one(*rules.covers)}, 0.7
            )
        if family == "fine" and not snow:
            told |= self.some(self._tests(), 0.18)
            if self.often(0.1):
                told.pop("soil")
                told["ribbon"] = self.one(*(*rules.field_tests["ribbon"].results, *rules.field_tests["ribbon"].groups))
        if family == "sand" and self.often(0.4):
            told["rebar"] = self.one(*rules.field_tests["rebar"].grip)
        told |= self.some(
            {
                "frost": lambda: self.quantity("length", 0.02, 0.5),
                "route": lambda: self.quantity("distance", 10, 120),
                "grade": lambda: self.one(self.quantity("share", 0.02, 0.3), f"{self.random.randint(2, 15)} deg"),
                "grade_across": lambda: self.quantity("share", 0.02, 0.15),
                "loaded": lambda: self.one("both ways", "uphill", "downhill"),
                "temperature": lambda: self.quantity("temperature", -15, 38 if not snow else 0),
                "new_asphalt": lambda: True,
                "slab": lambda: self.quantity("length", 0.07, 0.2),
                "sticky": lambda: self.one(True, False),
                "wet_on_top": lambda: self.one(True, False),
            },
            0.2,
        )
        if not snow and self.often(0.5):
            told["travel"] = self._travel()
        return told

    def _tests(self) -> Table:
        tests = self.rules.field_tests
        worded = {name: (lambda name=name: self.one(*tests[name].results)) for name in ("thumb", "boot", "heel")}
        return {
            **worded,
            "pocket": lambda: self.one("0.6 tsf", "1.5 tsf", "80 kPa"),
            "dcp": lambda: self.quantity("length", 0.015, 0.09),
            "cone": lambda: self.quantity("pressure", 2e5, 2e6),
        }

    def _travel(self) -> Table:
        names = self.random.sample(sorted(self.rules.surfaces), self.random.randint(1, 3))
        shares = {1: [100], 2: [70, 30], 3: [50, 30, 20]}[len(names)]
        return {name: f"{share} %" for name, share in zip(names, shares, strict=True)}

    def snow(self) -> Table:
        rules = self.rules
        size = self.one(
            {"area": self.quantity("area", 400, 6000)},
            {"length": self.quantity("distance", 15, 120), "breadth": self.quantity("distance", 10, 100)},
            {"area": self.quantity("area", 400, 6000), "length": self.quantity("distance", 15, 120)},
        )
        told = {"depth": self.quantity("length", 0.03, 0.6)} | size
        told |= self.some(
            {
                "kind": lambda: self.one(*rules.snow.kinds),
                "density": lambda: self.quantity("density", 60, 400),
                "under": lambda: self.one(*rules.snow.under, "unknown"),
                "stack": lambda: self.one("one end", "both ends"),
                "window": lambda: self.quantity("time", 1800, 8 * 3600),
                "windrow": lambda: self.one("one side", "both sides"),
                "grip": lambda: self.one("practice", "reach", "force"),
            }
        )
        told |= self.some(
            {
                "beyond": lambda: self.quantity("distance", 3, 40),
                "dock": lambda: self.quantity("distance", 3, 40),
                "machines": lambda: self.random.randint(1, 3),
            },
            0.8,
        )
        if "windrow" in told:
            told.pop("beyond", None)
        return told

    def weather(self, day: dt.date) -> tuple[Table, dict[str, str]]:
        """The [weather] of a job, and the CSV it may name."""
        before, after = self.random.randint(3, 12), self.random.randint(0, 4)
        days = [day + dt.timedelta(d) for d in range(-before, after + 1)]
        told: Table = {"job_day": day}
        told |= self.some({"latitude": lambda: f"{self.one(-38, 35, 44, 58)} deg"}, 0.7)
        if self.often(0.3):
            told["today"] = day - dt.timedelta(self.random.randint(1, 3))
        rains = [0.0 if self.often(0.5) else round(self.random.uniform(0, 30), 1) for _ in days]
        lows = [round(self.random.uniform(-12, 14), 1) for _ in days]
        if self.often(0.6):
            rows = [{"date": d, "rain": f"{r} mm"} for d, r in zip(days, rains, strict=True)]
            if self.often(0.6):
                rows = [row | {"tmin": f"{t} C", "tmax": f"{t + 9} C"} for row, t in zip(rows, lows, strict=True)]
            if self.often(0.5):
                rows = [row | {"chance": self.quantity("share", 0.1, 0.9)} for row in rows]
            return told | {"days": rows}, {}
        told |= {"file": "weather.csv", "rain_unit": "mm", "temperature_unit": "C", "date_order": "day first"}
        lines = [f"{d:%d/%m/%Y},{r},{t},{t + 9}" for d, r, t in zip(days, rains, lows, strict=True)]
        return told, {"weather.csv": "\n".join(["date,rain,tmin,tmax", *lines]) + "\n"}

    def forecast(self, day: dt.date) -> tuple[Table, dict[str, str]]:
        """Days behind and a forecast with chances, in a service's table."""
        days = [day + dt.timedelta(d) for d in range(-8, 4)]
        rows = [(d, round(self.random.uniform(0, 20), 1), self.random.randint(0, 10) * 10) for d in days]
        place = "latitude,longitude,elevation,utc_offset_seconds,timezone,timezone_abbreviation"
        head = f"{place}\n44.1,-93.2,300,-18000,x,x\n\n"
        names = "time,precipitation_sum (mm),precipitation_probability_max (%)\n"
        told = {"job_day": day, "today": day - dt.timedelta(2), "forecast": "forecast.csv"}
        told |= self.some({"zone": lambda: "America/Chicago", "station": lambda: "0"}, 0.5)
        return told, {"forecast.csv": head + names + "\n".join(f"{d},{r},{c}" for d, r, c in rows) + "\n"}

    def place(self, job: Table) -> dict[str, str]:
        """What a soil survey maps there, or a site that says so; the files beside the job."""
        groups = self.random.sample(["CL", "ML", "SM", "SC", "CH"], 2)
        rows = [
            f"A {group},{share},0,20,{sand},{clay},2.5,1.4,27,14,9,{group},poorly drained"
            for group, share, sand, clay in zip(groups, (60, 30), *self._textures(), strict=True)
        ]
        head = (
            "compname,comppct_r,hzdept_r,hzdepb_r,sandtotal_r,claytotal_r,om_r,dbthirdbar_r,wthirdbar_r,wfifteenbar_r,"
        )
        soil = {"soil.csv": head + "ksat_r,unifiedcl,drainagecl\n" + "\n".join(rows) + "\n"}
        job["ground"].pop("soil", None)
        if self.often(0.5):
            job["ground"]["survey"] = "soil.csv"
        else:
            job["site"] = "place.toml"
            soil["place.toml"] = (
                'name = "Place"\nposition = "44.1, -93.2"\n[ground]\nsurvey = "soil.csv"\n[access]\ngate = "80 in"\n'
            )
        if self.often(0.7):
            job["ground"]["land"] = self.one("natural", "built on", "filled")
        return soil

    def _textures(self) -> tuple[list[int], list[int]]:
        """Sand and clay of two soils, per cent."""
        return [self.random.randint(10, 50) for _ in range(2)], [self.random.randint(8, 40) for _ in range(2)]

    def job(self, title: str) -> tuple[Table, dict[str, str]]:
        """A job file, and what lies beside it."""
        snow, weather, files = self.often(0.35), self.often(0.35), {}
        job: Table = {"title": title}
        job |= self.some({"note": lambda: "Drawn.", "country": lambda: self.one("US", "UK", "EU")}, 0.5)
        job["task"] = self.task(snow)
        job["ground"] = self.ground(snow, weather)
        if snow:
            job["snow"] = self.snow()
            tool = job["task"].get("attachment")
            if tool and self.rules.attachments[tool]["compact"].clears:
                job["snow"].pop("beyond", None)
        if weather and not snow:
            told = self.forecast if self.often(0.5) else self.weather
            job["weather"], files = told(dt.date(2026, self.random.randint(1, 12), 15))
        if not snow and self.often(0.5):
            files = files | self.place(job)
        opening = {
            "gate": lambda: self.one("open", self.quantity("length", 0.9, 3.5)),
            "headroom": lambda: self.one("open", self.quantity("length", 1.3, 3)),
            "passage": lambda: self.quantity("length", 1.2, 3.5),
            "bend": lambda: [self.quantity("length", 1.8, 5), self.quantity("length", 1.8, 5)],
        }
        job["access"] = self.some(opening, 0.7)
        ways = ("aisle", "turn_round", "turn_round", "back_out")
        if self.often(0.6):
            way = self.one(*ways)
            job["access"][way] = True if way == "back_out" else self.one("open", self.quantity("length", 2, 6))
        job["hazards"] = self.some(
            {
                "septic": lambda: self.one("none", "none", "kept off", "on the route"),
                "services": lambda: self.one("none", "marked", "marked", "unmarked"),
                "services_depth": lambda: self.quantity("length", 0.3, 1.5),
                "trench": lambda: self.one("none", "none", "protected", "unprotected"),
                "power_lines": lambda: self.one("none", "none", "clear", "near"),
                "indoors": lambda: self.one(True, False),
                "edges": lambda: True,
                "people": lambda: True,
                "roots": lambda: True,
                "irrigation": lambda: True,
                "debris": lambda: True,
            },
            0.18,
        )
        job["driver"] = self.some(
            {
                "licence": lambda: self.one("none", "B", "A", "CE", "class D"),
                "weeks": lambda: self.random.randint(0, 60),
            },
            0.15,
        )
        costs = ("recovery", "lost_half_day", "machine_hour", "repair")
        job["costs"] = self.some({key: lambda: self.quantity("money", 50, 900) for key in costs}, 0.35)
        if self.often(0.2):
            names = self.random.sample(sorted(self.rules.questions), 4)
            job["weights"] = self.one({"ranking": names}, {"points": dict(zip(names, (100, 60, 20, 5), strict=True))})
        if not snow and self.often(0.3):
            job["stretch"] = [self.stretch() for _ in range(self.random.randint(1, 3))]
        if self.often(0.35):
            job["haul"] = {"truck": self.one("Truck 1", "Truck 2"), "trailer": self.one("Trailer 1", "Trailer 2")}
            job["haul"] |= self.some({"extras": lambda: self.quantity("mass", 50, 400), "tool_apart": lambda: True})
        return {key: value for key, value in job.items() if value != {}}, files

    def stretch(self) -> Table:
        """A stretch of the way in."""
        what = self.one({"soil": self.one(*self.rules.soils, "unknown")}, {"surface": self.one(*self.rules.surfaces)})
        water = self.one({}, {"wetness": self.one("dry", "moist", "wet")}, {"standing_water": True})
        return (
            what
            | water
            | self.some(
                {
                    "name": lambda: "Drawn",
                    "length": lambda: self.quantity("distance", 5, 150),
                    "grade": lambda: self.quantity("share", 0.01, 0.2),
                    "grade_across": lambda: self.quantity("share", 0.01, 0.1),
                    "loaded": lambda: self.one("uphill", "downhill"),
                    "width": lambda: self.quantity("length", 1.2, 4),
                    "boards": lambda: True,
                },
                0.4,
            )
        )

    # --- a fleet

    def fleet(self, machines: int, deals: bool) -> Table:
        rows = [self.machine(f"Machine {n}", deals) for n in range(1, machines + 1)]
        told = {"title": "Drawn", "machine": rows} | self.some({"note": lambda: "Drawn."})
        told["truck"] = [self.truck(f"Truck {n}") for n in (1, 2)]
        told["trailer"] = [self.trailer(f"Trailer {n}") for n in (1, 2)]
        return told

    def people(self) -> list[Table]:
        """Four, of whom two at least run everything and drive anything."""
        return [self.person(n) for n in range(4)]

    def person(self, number: int) -> Table:
        everything: Table = {"licence": self.one("A", "C1E")} if number < 2 else {}
        return (
            {"name": f"Person {number}"}
            | everything
            | self.some(
                {
                    "note": lambda: "Drawn.",
                    "hours": lambda: self.quantity("time", 6 * 3600, 11 * 3600),
                    **({"runs": lambda: ["Machine 1", "skid steer"], "licence": lambda: "none"} if number > 1 else {}),
                }
            )
        )

    def machine(self, name: str, deals: bool) -> Table:
        size, row = self.one(*self.rules.machine_classes.items())
        kinds = {"stand-on": "stand-on loader", "articulated": "articulated loader", "tracked": "tracked loader"}
        kind = next((kind for word, kind in kinds.items() if size.startswith(word)), "skid steer")
        near = self._near
        told: Table = {"name": name, "kind": kind, "size_class": size}
        told |= self.some(
            {
                "note": lambda: "Drawn.",
                "mass": lambda: near(row.mass, "mass"),
                "width": lambda: near(row.width, "length"),
                "height": lambda: near(row.height, "length"),
                "length": lambda: near(row.length, "length"),
                "clearance": lambda: near(row.clearance, "length"),
                "power": lambda: near(1e3 * row.power, "power"),
                "tipping_load": lambda: near(row.tipping_load, "mass"),
                "tipping_share": lambda: self.one("35 %", "50 %"),
                "lift_height": lambda: near(row.lift_height, "length"),
                "rear_share": lambda: near(row.rear_share, "share"),
                "coupler_reach_low": lambda: near(row.coupler_reach_low, "length"),
                "coupler_reach_high": lambda: near(row.coupler_reach_high, "length"),
                "rear_overhang": lambda: near(row.rear_overhang, "length"),
                "centre_height": lambda: near(row.centre_height, "length"),
                "gauge": lambda: near(row.gauge, "length"),
                "travel_speed": lambda: near(row.travel_speed, "speed"),
                "tool_widths": lambda: {self.one(*self.rules.attachments): self.quantity("length", 0.9, 2.4)},
                "creep_speed": lambda: self.quantity("speed", 0.01, 0.3),
                "dump_reach": lambda: near(row.dump_reach, "length"),
                "dump_height": lambda: near(0.75 * row.lift_height, "length"),
                "bucket_capacity": lambda: near(row.bucket_capacity, "volume"),
                "rated_bucket": lambda: self.quantity("mass", 90, 220),
                "lift_limit": lambda: near(0.4 * row.tipping_load, "mass"),
                "max_grade": lambda: self.quantity("share", 0.2, 0.5),
                "max_grade_across": lambda: self.quantity("share", 0.1, 0.3),
                "drive_pull": lambda: self.quantity("force", 1e4, 4e4),
                "hour_cost": lambda: self.quantity("money", 60, 140),
                "hydrostatic": lambda: self.one(True, False),
                "coupler": lambda: self.one("universal", "stand-on", "its own"),
                "arms": lambda: self.one("radial", "vertical"),
            },
            0.4,
        )
        if kind == "articulated loader":
            told |= self.some({"outer_radius": lambda: near(row.outer_radius, "length")})
            told |= self.some({"inner_radius": lambda: near(row.inner_radius, "length")})
        gear = {"set_price": lambda: self.quantity("money", 900, 5000)}
        gear["change_hours"] = lambda: f"{self.random.randint(400, 2000)} h"
        if row.tracks:
            told["tracks"] = self.some(
                {
                    "width": lambda: near(row.tracks.width, "length"),
                    "contact_length": lambda: near(row.tracks.contact_length, "length"),
                    "road_wheels": lambda: 2 * self.random.randint(4, 6),
                    "lug_pitch": lambda: self.quantity("length", 0.07, 0.1),
                    "lug_height": lambda: self.quantity("length", 0.02, 0.035),
                    "tread": lambda: self.one("block", "winter"),
                    "tread_state": lambda: self.one("new", "half", "bald"),
                    **gear,
                }
            )
        else:
            told["tyres"] = self.some(
                {
                    "kind": lambda: self.one("pneumatic", "foam-filled", "solid"),
                    "diameter": lambda: near(row.tyres.diameter, "length"),
                    "width": lambda: near(row.tyres.width, "length"),
                    "section_height": lambda: self.quantity("length", 0.15, 0.25),
                    "inflation": lambda: self.quantity("pressure", 1.5e5, 4e5),
                    "wheelbase": lambda: near(row.tyres.wheelbase, "length"),
                    "chains": lambda: self.one(True, False),
                    "tread": lambda: self.one("plain", "snow"),
                    "tread_state": lambda: self.one("new", "half", "bald"),
                    "rated_load": lambda: self.quantity("mass", 900, 2500),
                    "plies": lambda: self.one(8, 10, 14),
                    **gear,
                }
            )
        told["auxiliary"] = self.some(
            {
                "flow": lambda: near(row.auxiliary.flow, "flow"),
                "high_flow": lambda: near(1.6 * row.auxiliary.flow, "flow"),
                "pressure": lambda: near(row.auxiliary.pressure, "pressure"),
                "case_drain": lambda: self.one(True, False),
                "free_return": lambda: self.one(True, False),
                "pins": lambda: self.one(7, 14),
            }
        )
        if row.tyres and self.often(0.15):
            told["over_tyres"] = {"mass": self.quantity("mass", 200, 600), "width": self.quantity("length", 0.3, 0.45)}
            told["over_tyres"] |= self.some(
                {
                    "contact_length": lambda: self.quantity("length", 0.9, 1.3),
                    "set_price": lambda: self.quantity("money", 2000, 5000),
                }
            )
        if self.often(0.15):
            told["counterweight"] = {
                "mass": self.quantity("mass", 50, 200),
                "behind": self.quantity("length", 0.2, 0.6),
            }
        if self.often(0.15):
            told["tilt"] = {"bore": "65 mm", "rod": "40 mm", "pressure": "20 MPa"} | self.some({"count": lambda: 2})
        if deals:
            told["deal"] = self.deal()
        return told

    def _near(self, value: float, dimension: str) -> str:
        return self.quantity(dimension, 0.92 * value, 1.08 * value)

    def deal(self) -> Table:
        bought = {"price": f"${self.random.randint(20, 60)},000"}
        bought |= self.some(
            {
                "list_price": lambda: f"${self.random.randint(61, 80)},000",
                "age": lambda: self.one(0.0, 2.0, 5.5),
                "meter": lambda: f"{self.random.randint(0, 3000)} h",
                "resale": lambda: self.quantity("share", 0.2, 0.6),
                "life": lambda: f"{self.random.randint(4000, 9000)} h",
            }
        )
        rented = {"rent_day": "$220", "rent_week": "$800", "rent_month": "$2,100"}
        rented |= self.some({"rent_move": lambda: "$140"})
        return self.one(bought, rented, bought | rented)

    def truck(self, name: str) -> Table:
        told = {"name": name, "mass": self.quantity("mass", 2800, 3800), "gvwr": self.quantity("mass", 5000, 6500)}
        return told | self.some(
            {
                "note": lambda: "Drawn.",
                "gcwr": lambda: self.quantity("mass", 11_000, 14_000),
                "tow_rating": lambda: self.quantity("mass", 5000, 7500),
                "hitch_rating": lambda: self.quantity("mass", 500, 1000),
            }
        )

    def trailer(self, name: str) -> Table:
        told = {"name": name, "mass": self.quantity("mass", 900, 1500), "gvwr": self.quantity("mass", 3200, 7000)}
        return told | self.some(
            {
                "note": lambda: "Drawn.",
                "axle_rating": lambda: self.quantity("mass", 3000, 6500),
                "hitch": lambda: self.one("ball", "pintle", "gooseneck"),
                "axles_at": lambda: self.quantity("length", 3.5, 4.5),
                "centre_at": lambda: self.quantity("length", 3.3, 4.2),
                "deck_from": lambda: self.quantity("length", 1.2, 1.6),
                "deck_length": lambda: self.quantity("length", 4, 6),
                "deck_height": lambda: self.quantity("length", 0.5, 0.8),
                "ramp_length": lambda: self.quantity("length", 1.2, 2.5),
                "tie_down": lambda: self.one(*self.rules.transport.tie_downs.limits),
                "tie_downs": lambda: self.random.randint(2, 6),
            },
            0.7,
        )

    # --- days and years

    def day(self, jobs: list[str]) -> Table:
        told: Table = {"title": "Drawn", "date": dt.date(2026, 4, 21)}
        told |= self.some(
            {
                "note": lambda: "Drawn.",
                "start": lambda: dt.time(6, 30),
                "day": lambda: self.quantity("time", 7 * 3600, 11 * 3600),
                "off": lambda: self.one(["Wednesday"], ["Saturday", "Sunday"], []),
                "out": lambda: self.one(["Machine 1"], ["Truck 2"], []),
                "move": lambda: self.quantity("time", 900, 4500),
                "move_hour": lambda: self.quantity("money", 50, 130),
                "rigs": lambda: self.one("shuttle", "stay"),
                "attachments": lambda: {"bucket": 2, "pallet forks": 1},
            }
        )
        paid = self.often(0.8)
        told["job"] = [self.call(job, number, paid) for number, job in enumerate(jobs, 1)]
        return told

    def call(self, job: str, number: int, paid: bool) -> Table:
        told: Table = {"job": job, "name": f"Call {number}"}
        told |= {"pays": self.quantity("money", 300, 1600)} if paid else {}
        told |= self.some(
            {
                "must": lambda: self.one(True, False),
                "priority": lambda: self.one(0.5, 1.0, 3.0),
                "there": lambda: [f"Machine {number}"],
                "postpone": lambda: self.quantity("money", 0, 300),
                "earliest": lambda: dt.date(2026, 4, 22),
                "latest": lambda: dt.date(2026, 4, self.random.randint(22, 29)),
                "move": lambda: self.quantity("time", 600, 5000),
            },
            0.3,
        )
        return told | self.one({}, {}, {"hire": self.quantity("money", 500, 1300)}, {"keep": "Machine 2"})

    def year(self, jobs: list[str]) -> Table:
        told: Table = {"title": "Drawn", "weather": "record.csv", "rate": self.quantity("share", 0.03, 0.12)}
        told |= {"fuel_gallon": "$4.2", "operator_hour": "$36", "insurance": self.quantity("share", 0.01, 0.04)}
        told |= self.some(
            {
                "note": lambda: "Drawn.",
                "latitude": lambda: f"{self.one(-38, 44)} deg",
                "written": lambda: {
                    "rain_unit": "mm",
                    "temperature_unit": "C",
                    "date_order": "day first",
                    "zone": "UTC-5",
                    "station": "0",
                },
                "keep_years": lambda: self.random.randint(2, 9),
                "storage": lambda: "$600",
                "budget": lambda: f"${self.random.randint(30, 90)},000",
                "day": lambda: self.quantity("time", 7 * 3600, 9 * 3600),
                "have": lambda: ["Machine 1"],
                "operators": lambda: self.random.randint(1, 2),
                "loan": lambda: {"rate": "7 %", "months": self.one(36, 60), "down": "10 %", "trade_in": "$2,000"},
            }
        )
        told["work"] = [
            {
                "job": job,
                "jobs": self.random.randint(5, 60),
                "months": sorted(self.random.sample(range(1, 13), self.random.randint(2, 9))),
                "pays": self.quantity("money", 400, 2000),
            }
            | self.some(
                {
                    "name": lambda job=job: f"Work {job}",
                    "times": lambda: self.one(0.5, 2.0, 6.0),
                    "hours": lambda: "7 h",
                }
            )
            for job in jobs
        ]
        return told


def record_csv() -> str:
    """A year of invented weather, the same for every drawn year."""
    random, lines = Random(7), ["date,rain (mm),tmin (C),tmax (C)"]
    for number in range(365):
        warm = 10 - 12 * math.cos(2 * math.pi * (number - 20) / 365)
        low = round(warm - 5 + random.uniform(-4, 4), 1)
        rain = 0.0 if random.random() < 0.65 else round(random.expovariate(1 / 7), 1)
        lines.append(f"{dt.date(2025, 1, 1) + dt.timedelta(number)},{rain},{low},{low + 9}")
    return "\n".join(lines) + "\n"


def write(case: Case, folder: Path) -> dict[str, Path]:
    """The files of a case in a folder; where each lies."""
    for name, text in case.get("csv", {}).items():
        (folder / name).write_text(text, encoding="utf-8")
    if case["kind"] == "year":
        (folder / "record.csv").write_text(record_csv(), encoding="utf-8")
    tables = {"fleet.toml": case["fleet"], **case["jobs"]}
    tables |= {f"{case['kind']}.toml": case[case["kind"]]} if case["kind"] != "job" else {}
    for name, table in tables.items():
        (folder / name).write_text(tomlkit.dumps(_dated(table)), encoding="utf-8")
    return {name: folder / name for name in tables}


def _dated(node: Any) -> Any:
    """Dates and times from the texts that JSON has for them."""
    if isinstance(node, dict):
        return {key: _dated(item) for key, item in node.items()}
    if isinstance(node, list):
        return [_dated(item) for item in node]
    for kind in (dt.date, dt.time):
        try:
            return kind.fromisoformat(node) if isinstance(node, str) and node[:1].isdigit() else node
        except ValueError:
            continue
    return node


def _reads(case: Case, folder: Path, rules: Rules) -> bool:
    """Whether a user could have written it."""
    files = write(case, folder)
    try:
        fleet = read_fleet(files["fleet.toml"], rules)
        for name in case["jobs"]:
            rig(read_job(files[name], rules), fleet)
        if case["kind"] == "day":
            day(read_board(files["day.toml"], rules), fleet, rules)  # a machine that is kept has to be able to do it
        if case["kind"] == "year":
            buy(read_year(files["year.toml"], rules), fleet, rules, draws=5)  # and there has to be something to be had
    except InputError:
        return False
    return True


def draw_case(kind: str, seed: int, folder: Path) -> Case:
    """One case: its fleet, each of its jobs and the whole drawn again until they read well."""
    rules = load_rules()
    draw = Draw(seed, rules)
    case: Case = {"kind": "job", "jobs": {}, "csv": {}}

    def until_it_reads(make: Callable[[], Case]) -> Case:
        for _ in range(1000):
            made = make()
            if _reads(made, folder, rules):
                return made
        raise RuntimeError(f"{kind} {seed}: a thousand draws and none reads well")

    machines = {"job": draw.random.randint(2, 4), "day": 3, "year": 2}[kind]
    case = until_it_reads(lambda: case | {"fleet": draw.fleet(machines, kind == "year")})
    if kind == "day":
        case = until_it_reads(lambda: case | {"fleet": case["fleet"] | {"person": draw.people()}})
    for number in range({"job": 1, "day": draw.random.randint(2, 3), "year": draw.random.randint(1, 2)}[kind]):
        case = until_it_reads(lambda case=case, number=number: _with_job(case, draw, f"job{number}.toml"))
    if kind == "job":
        return case
    whole = draw.day if kind == "day" else draw.year
    return until_it_reads(lambda: case | {"kind": kind, kind: whole(list(case["jobs"]))})


def _with_job(case: Case, draw: Draw, name: str) -> Case:
    job, csv = draw.job(f"Drawn {name}")
    return case | {"jobs": case["jobs"] | {name: job}, "csv": case["csv"] | csv}
