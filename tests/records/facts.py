"""What an answer comes to, as facts: numbers, names and keys, per machine; of what is said in words only a mark.

A fact is what a user relies on (a value, a limit, a load, hours, money, a caution), and stays what it is however an
answer is worded. The marks of the words show that a sentence has moved, and where.
"""

import datetime as dt
import hashlib
import json
import math
import re
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from pickrig.checks import Case
from pickrig.checks.carrying import carry
from pickrig.checks.case import MissingError
from pickrig.checks.ground.site import draw_site
from pickrig.facts import Ruled, Said
from pickrig.inputs import read_fleet, read_job
from pickrig.inputs.board import read_board
from pickrig.inputs.year import read_year
from pickrig.plans.buy.answer import buy
from pickrig.plans.buy.record import Option, Purchase
from pickrig.plans.day.answer import day
from pickrig.plans.day.record import DayPlan
from pickrig.plans.pick.answer import pick
from pickrig.plans.pick.record import Recommendation, Standing
from pickrig.plans.pick.rig import rig
from pickrig.report.buy.json import as_buy_json
from pickrig.report.buy.page import as_buy_page
from pickrig.report.buy.terminal import as_buy_text
from pickrig.report.day.calendar import as_calendar
from pickrig.report.day.json import as_board_csv, as_board_json
from pickrig.report.day.page import as_board_page
from pickrig.report.day.terminal import as_board_text
from pickrig.report.pick.json import as_dict, as_json
from pickrig.report.pick.page import as_page
from pickrig.report.pick.sheet import as_sheet
from pickrig.report.pick.terminal import as_text
from pickrig.report.pick.told import help_
from pickrig.report.words.voice import ENGLISH, Voice
from pickrig.rulebook import Rules

Facts = dict[str, Any]
DRAWS = 300  # as many as tell one ground from another; what is recorded is the tool, not the ground
BUY_DRAWS = 20
_THEN = dt.datetime(2026, 1, 1, tzinfo=dt.UTC)  # the hour at which a calendar says it was written


def facts_of(kind: str, files: dict[str, Path], rules: Rules, words: bool = False) -> Facts:
    """The facts of a case's answer; with the words themselves in place of their marks where they are wanted."""
    fleet = read_fleet(files["fleet.toml"], rules)
    if kind == "job":
        job = read_job(next(path for name, path in files.items() if name.startswith("job")), rules)
        voice = Voice(units="us" if len(job.title) % 2 else "metric")
        told = of_pick(pick(job, fleet, rules, draws=DRAWS), rules, voice)
        told["loads"] = _loads(job, fleet, rules)
    elif kind == "day":
        told = of_day(day(read_board(files["day.toml"], rules), fleet, rules))
    else:
        told = of_year(buy(read_year(files["year.toml"], rules), fleet, rules, draws=BUY_DRAWS))
    return told if words else _marked(told)


def of_pick(answer: Recommendation, rules: Rules, voice: Voice) -> Facts:
    """A job's answer, machine by machine."""
    robust = answer.robust
    return {
        "pick": answer.pick and answer.pick.name,
        "runner_up": answer.runner_up and answer.runner_up.name,
        "close_call": answer.close_call,
        "weights": dict(answer.weights),
        "machines": {s.name: _standing(s, voice) for s in answer.ranking},
        "robust": robust
        and {
            "in_order": robust.in_order,
            "in_any": robust.in_any,
            "with_ground": robust.with_ground,
            "none_holds": robust.none_holds,
            "intervals": {i.check: [i.weight, i.low, i.high] for i in robust.intervals},
            "beaten": robust.beaten,
        },
        "costs": {c.machine: [c.hours, c.work, c.rubber, c.bogging, c.repair, c.total] for c in answer.costs},
        "behind": {c.machine: c.behind for c in answer.catch_ups},
        "moved": {m.machine: [m.was, m.now, m.points, m.through, m.through_points] for m in answer.moved},
        "leads": {name: [[x.check, x.points, x.shown] for x in leads] for name, leads in answer.why_over.items()},
        "flips": [list(flip.values()) for flip in as_dict(answer, voice)["flips"]],
        "days": [[d.date.isoformat(), d.rain, d.pick, d.chances] for d in answer.days],
        "worth": [[w.test, w.value, w.changes] for w in answer.worth],
        "helps": [[h.machine, h.help.text, h.chance, h.enough] for h in answer.helps],
        "snow": [[v.view, v.pick, v.counted, [_pull(p) for p in v.pulls]] for v in answer.snow],
        "ground": [answer.site.family, answer.site.rain, answer.site.frost],
        "cautions": _keys({key: row.says for key, row in rules.cautions.items()}, [c.says for c in answer.cautions]),
        "walk": _keys({key: row.look for key, row in rules.walkaround.items()}, [w.look for w in answer.walkaround]),
        "fitting": _keys({key: row.says for key, row in rules.fitting.items()}, [one.says for one in answer.fitting]),
        "assumed": _assumed(answer.assumed),
        "said": {
            "answer": [voice.say(said) for said in (answer.answer, answer.weighed, answer.money_says)],
            "price": answer.price and voice.say(answer.price),
            "when": answer.better_day and voice.say(answer.better_day),
            "told": [[voice.label(said), voice.say(said)] for said in answer.told],
            "today": [[voice.label(said), voice.say(said)] for said in answer.today],
            "provisos": [voice.say(proviso) for proviso in answer.provisos],
            "assumed": [voice.say(note) for note in answer.assumed],
            "flips": [voice.say(flip.says) for flip in answer.flips],
            "ways": [[voice.say(way) for way in c.ways] for c in answer.catch_ups],
            "helps": [voice.say(help_(one)) for one in answer.helps],
            "worth": [voice.say(worth.says) for worth in answer.worth],
            "snow": voice.say(answer.snow_decided),
            "sure": robust and voice.say(robust.says),
        },
        "shown": {
            name: {
                "terminal": as_text(answer, reading),
                "page": as_page(answer, reading),
                "sheet": as_sheet(answer, reading),
                "json": _rounded(as_json(answer, reading)),
            }
            for name, reading in _voices(voice).items()
        },
    }  # fmt: skip


def _voices(voice: Voice) -> dict[str, Voice]:
    return {"en": voice, "es": Voice("es", voice.units)}


def _standing(standing: Standing, voice: Voice) -> Facts:
    return {
        "usable": standing.usable,
        "score": standing.score,
        "first_share": standing.first_share,
        "parts": list(standing.parts),
        "checks": {
            f.check: {
                "verdict": f.verdict,
                "numbers": [f.value, f.limit, f.margin, f.chance, f.seconds],
                "unit": f.unit,
                "demands": [["loaded" if d.loaded else "empty", d.strength, d.chance] for d in f.demands],
                "depends_on": list(f.depends_on),
                "says": [voice.say(f.says), voice.say(f.remedy), f.provided and voice.say(f.provided)],
                "working": [voice.say(f.told.working), voice.say(f.told.beside)],
                "sources": voice.say(f.told.sources),
            }
            for f in standing.findings
        },
    }


def _pull(pull: Any) -> list[Any]:
    return [pull.machine, pull.gear, pull.traction, pull.pull, pull.full, pull.seconds]


def _loads(job: Any, fleet: Any, rules: Rules) -> Facts:
    """What each machine carries: on the level, on the slope, safely, a trip, and in how many."""
    truck, trailer = rig(job, fleet)
    site = draw_site(job, rules, 10)
    told: Facts = {}
    for machine in fleet.machines:
        case = Case(job, machine, site, rules, truck=truck, trailer=trailer)
        try:
            loading = carry(case)
        except MissingError:
            told[machine.name] = None
            continue
        told[machine.name] = [
            loading.mass, loading.rear_share, loading.level, loading.tipping, loading.safe, loading.payload,
            loading.trips, loading.taken,
        ]  # fmt: skip
    return told


def of_day(plan: DayPlan) -> Facts:
    """A board, line by line."""
    return {
        "by_money": plan.by_money,
        "total": plan.total,
        "gap": plan.gap,
        "lines": [
            {
                "call": line.call.name,
                "date": line.date.isoformat(),
                "machine": line.machine,
                "tool": line.tool,
                "rig": [line.truck, line.trailer, line.there],
                "clock": [moment.isoformat() for moment in (line.start, line.end, line.back) if moment],
                "hands": [line.operator, line.onto],
                "bill": [line.bill.hours, line.bill.work, line.bill.rubber, line.bill.bogging, line.bill.repair],
                "leaves": line.margin,
                "chance": line.chance,
                "score": line.standing.score,
                "minds": [[f.check, f.verdict] for f in line.watch],
                "said": {
                    "limits": [ENGLISH.say(said) for said in line.limits],
                    "cautions": [caution.says.text for caution in line.cautions],
                    "why": ENGLISH.say(line.why),
                },
            }
            for line in plan.lines
        ],
        "drives": [
            [run.what, run.truck, run.driver, run.machine, run.origin, run.to, run.leaves.isoformat()]
            for run in plan.runs
        ],
        "left": [[one.call.name, one.hired, one.costs] for one in plan.left],
        "idle": [one.machine for one in plan.idle],
        "said": {
            "answer": ENGLISH.say(plan.answer),
            "left": [ENGLISH.say(one.why) for one in plan.left],
            "idle": [ENGLISH.say(one.why) for one in plan.idle],
            "warnings": [ENGLISH.say(warning) for warning in plan.warnings],
            "if_dry": [ENGLISH.say(said) for said in plan.if_dry],
            "assumed": [ENGLISH.say(note) for note in plan.assumed],
        },
        "shown": {
            name: {
                "terminal": as_board_text(plan, voice),
                "page": as_board_page(plan, voice),
                "json": _rounded(as_board_json(plan, voice)),
                # other versions of the library fold otherwise
                "calendar": as_calendar(plan, voice, now=_THEN).replace("\r\n ", ""),
            }
            for name, voice in _voices(ENGLISH).items()
        }
        | {"csv": as_board_csv(plan)},
    }  # fmt: skip


def of_year(answer: Purchase) -> Facts:
    """An owner's year, option by option."""
    paved = answer.paved
    return {
        "best": answer.best and [answer.best.name, answer.best.how],
        "options": {f"{o.name}, {o.how}": _option(o) for o in answer.options},
        "pairs": [[[[o.name, o.how] for o in p.options], p.price, p.net, p.undone] for p in answer.pairs],
        "days": {name: [[d.work, d.of, d.middle, d.worst, d.best] for d in days] for name, days in answer.days.items()},
        "owned_curve": answer.owned_curve,
        "months": answer.months,
        "paved": paved and [paved.now, paved.crossing, paved.ahead, paved.an_hour, paved.best, paved.rival],
        "tornado": [[b.input, b.low, b.high] for b in answer.tornado],
        "break_even": [[b.span, b.rent, b.hours] for b in answer.break_even],
        "missed": [[m.work, m.jobs, m.of, m.pays] for m in answer.missed],
        "years": answer.years,
        "said": {
            "answer": [ENGLISH.say(x) for x in (answer.answer, answer.beside, answer.reasons, answer.changes)],
            "missed": [ENGLISH.say(m.why) for m in answer.missed],
            "assumed": [ENGLISH.say(note) for note in answer.assumed],
        },
        "shown": {
            name: {
                "terminal": as_buy_text(answer, voice),
                "page": _without_pictures(as_buy_page(answer, voice)),
                "json": _rounded(as_buy_json(answer, voice)),
            }
            for name, voice in _voices(ENGLISH).items()
        },
    }


def _option(option: Option) -> list[Any]:
    hourly, yearly = option.hourly, option.yearly
    return [
        option.gains, option.costs, option.hours, option.jobs, option.an_hour, option.worth_now,
        sorted(vars(hourly).items()), yearly and sorted(vars(yearly).items()),
    ]  # fmt: skip


def _keys(rows: dict[str, str], said: Iterable[Ruled]) -> list[str]:
    """The rows of the rules that were said, in the order in which they were; what no row says stands as "own"."""
    by_text = {text: key for key, text in rows.items()}
    return [by_text.get(ruled.text, "own") for ruled in said]


def _assumed(notes: Iterable[Said]) -> list[str]:
    """The keys of a file that the notes speak of, and how many speak of none."""
    keys = [[value.name for name, value in note.values if name == "key"] for note in notes]
    return [key for found in keys for key in found] + [f"{sum(not found for found in keys)} more"]


def _without_pictures(page: str) -> str:
    """A page without the SVG that the plotting library of the day writes; the facts behind it are recorded. Babel
    writes Spanish September "sept" up to 2.18 and "sep" from 2.19 on."""
    return re.sub(r"<svg.*?</svg>", "", page, flags=re.S).replace(">sept<", ">sep<").replace('"sept"', '"sep"')


def _rounded(record: str) -> Any:
    """A JSON record with eight digits of each number, more than any processor disputes."""
    return json.loads(record, parse_float=lambda text: f"{float(text):.8g}")


_WORDS = ("says", "working", "sources", "said", "shown")


def _marked(node: Any) -> Any:
    """The same, with a mark in place of every piece of words."""
    if not isinstance(node, dict):
        return node
    marked = {}
    for key, item in node.items():
        if key in ("said", "shown"):
            marked[key] = {name: mark(words) for name, words in item.items()}
        elif key in _WORDS:
            marked[key] = mark(item)
        else:
            marked[key] = [_marked(one) for one in item] if isinstance(item, list) else _marked(item)
    return marked


def mark(words: Any) -> str:
    """Six hexadecimal digits of what was said."""
    return hashlib.sha256(repr(words).encode()).hexdigest()[:6]


def plain(node: Any) -> Any:
    """As JSON keeps it: twelve digits of a number, a word for what has no end."""
    if isinstance(node, dict):
        return {str(key): plain(item) for key, item in node.items()}
    if isinstance(node, list | tuple):
        return [plain(item) for item in node]
    if isinstance(node, bool) or node is None or isinstance(node, str | int):
        return node
    number = float(node)
    return float(f"{number:.12g}") if math.isfinite(number) else str(number)
