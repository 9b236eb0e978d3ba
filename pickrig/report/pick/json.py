"""The Recommendation as JSON, for other tools. The schema is shipped beside this file."""

import datetime as dt
import json
import math
from typing import Any

from pickrig import __version__, quantities
from pickrig.checks import Finding
from pickrig.facts import Quantity, Ruled
from pickrig.plans.pick.record import ByLog, Flip, Recommendation, SnowPull, Standing
from pickrig.quantities import System
from pickrig.report.pick import told
from pickrig.report.words.voice import ENGLISH, Voice


def as_json(answer: Recommendation, voice: Voice = ENGLISH) -> str:
    """The whole record as JSON text. Quantities are in the reader's units, named beside them; never NaN."""
    return json.dumps(as_dict(answer, voice), ensure_ascii=False, indent=2, allow_nan=False) + "\n"


def as_dict(answer: Recommendation, voice: Voice = ENGLISH) -> dict[str, Any]:
    """The whole record as plain data; its sentences in the voice's language, its quantities in its units."""
    return {
        "pickrig": __version__,
        "pick": answer.pick.name if answer.pick else None,
        "runner_up": answer.runner_up.name if answer.runner_up else None,
        "tier": answer.tier.name,
        "answer": voice.say(answer.answer, "line"),
        "close_call": answer.close_call,
        "weights": answer.weights,
        "ranking": [_standing(s, answer, voice) for s in answer.ranking],
        "hangs_on": voice.say(answer.hangs_on) if answer.hangs_on else None,
        "robustness": _robustness(answer, voice),
        "costs": [
            {
                "machine": c.machine,
                "hours": c.hours,
                "work": c.work,
                "rubber": c.rubber,
                "bogging": c.bogging,
                "repair": c.repair,
                "total": c.total,
            }
            for c in answer.costs
        ],
        "catch_up": [
            {"machine": c.machine, "behind": c.behind, "ways": [voice.say(way) for way in c.ways]}
            for c in answer.catch_ups
        ],
        "moved": [
            {"machine": m.machine, "was": m.was, "now": m.now, "points": m.points, "through": m.through}
            for m in answer.moved
        ],
        "flips": [_flip(flip, voice) for flip in answer.flips],
        "if_rain": [voice.say(said) for said in answer.if_rain],
        "days": [
            {"date": d.date.isoformat(), "rain_m": d.rain, "pick": d.pick, "chances": d.chances} for d in answer.days
        ],
        "worth_finding_out": [
            {"test": w.test, "value": w.value, "changes": w.changes, "says": voice.say(w.says)} for w in answer.worth
        ],
        "by_soil": [voice.say(one) for one in answer.by_soil],
        "helps": [
            {
                "machine": h.machine,
                "help": voice.write(h.help),
                "area_m2": h.area,
                "thickness_m": h.thickness,
                "mass_kg": h.mass,
                "chance": h.chance,
                "enough": h.enough,
                "says": voice.say(told.help_(h)),
            }
            for h in answer.helps
        ],
        "snow": [
            {
                "view": v.view,
                "counted": v.counted,
                "pick": v.pick,
                "machines": {p.machine: _snow_pull(p, voice.units) for p in v.pulls},
            }
            for v in answer.snow
        ],
        "provisos": [voice.say(proviso) for proviso in answer.provisos],
        "cautions": [voice.write(caution.says) for caution in answer.cautions],
        "assumed": [voice.say(note) for note in answer.assumed],
        **({"by_log": _by_log(answer.by_log, voice)} if answer.by_log is not None else {}),
        "inputs": {
            "job": _finite(answer.job.model_dump(mode="python")),
            "machines": [s.machine.name for s in sorted(answer.ranking, key=lambda s: s.name)],
            "units": voice.units,
            "seed": answer.seed,
            "draws": answer.draws,
        },
    }


def _by_log(by_log: ByLog, voice: Voice) -> dict[str, Any]:
    return {
        "says": [voice.say(said) for said in (*by_log.says, *by_log.teaches, *by_log.selection)],
        "without": {name: {"chance": one.chance, "margin": one.margin} for name, one in by_log.before.items()},
        "offsets": [
            {"of": o.of, "name": o.name, "logarithm": o.middle, "spread": o.spread, "jobs": o.jobs}
            for o in by_log.offsets
        ],
        "kept": [{"word": k.word, "jobs": k.jobs, "said": k.said, "held": k.held} for k in by_log.kept],
    }


def _robustness(answer: Recommendation, voice: Voice) -> dict[str, Any] | None:
    robust = answer.robust
    if robust is None:
        return None
    return {
        "says": voice.say(robust.says),
        "in_order": robust.in_order,
        "in_any": robust.in_any,
        "with_ground": robust.with_ground,
        "none_holds": robust.none_holds,
        "intervals": {i.check: {"weight": i.weight, "low": i.low, "high": i.high} for i in robust.intervals},
        "beaten": robust.beaten,
    }


def _standing(standing: Standing, answer: Recommendation, voice: Voice) -> dict[str, Any]:
    return {
        "machine": standing.name,
        "usable": standing.usable,
        "score": standing.score,
        "first_share": standing.first_share,
        "contributions": dict(zip(answer.weights, standing.parts, strict=True)),
        "findings": [_finding(f, voice) for f in standing.findings],
    }


def _finding(finding: Finding, voice: Voice) -> dict[str, Any]:
    return {
        "check": finding.check,
        "verdict": finding.verdict,
        "value": _number(finding.value, finding.unit, voice.units),
        "limit": _number(finding.limit, finding.unit, voice.units),
        "unit": quantities.unit_of(finding.unit, voice.units)[0],
        "margin": finding.margin,
        "chance": finding.chance,
        "tag": voice.say(finding.says[0], "tag"),
        "says": voice.say(finding.says),
        "working": "\n".join(voice.say(line) for line in finding.told.working),
        "beside": [voice.say(line) for line in finding.told.beside],
        "sources": [voice.say(cited) for cited in finding.told.sources],
        "depends_on": list(finding.depends_on),
        "remedy": voice.say(finding.remedy),
    }


def _flip(flip: Flip, voice: Voice) -> dict[str, Any]:
    """Ends of a quantity as numbers with their unit, of a word as the word."""
    ends = {"from": flip.now, "to": flip.at}
    shown: dict[str, Any] = {
        name: quantities.number(end.value, end.dimension, voice.units)
        if isinstance(end, Quantity)
        else end.text
        if isinstance(end, Ruled)
        else end
        for name, end in ends.items()
    }
    unit = quantities.unit_of(flip.at.dimension, voice.units)[0] if isinstance(flip.at, Quantity) else ""
    return {"input": flip.input, **shown, "unit": unit, "then_pick": flip.then_pick, "by": flip.by}


def _snow_pull(pull: SnowPull, units: System) -> dict[str, Any]:
    return {
        "traction": pull.traction,
        "pull": quantities.number(pull.pull, "force", units),
        "full_box": quantities.number(pull.full, "force", units),
        "unit": quantities.unit_of("force", units)[0],
        "hours": None if pull.seconds is None else pull.seconds / 3600,
    }


def _number(value: float | None, unit: str, units: System) -> float | None:
    return None if value is None or math.isinf(value) else quantities.number(value, unit, units)


def _finite(value: Any) -> Any:
    """JSON has no infinity: an open way in becomes the word the file used."""
    if isinstance(value, dict):
        return {key: _finite(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_finite(item) for item in value]
    if isinstance(value, dt.date | dt.time):
        return value.isoformat()
    return "open" if isinstance(value, float) and math.isinf(value) else value
