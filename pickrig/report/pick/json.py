"""The Recommendation as JSON, for other tools. The schema is shipped beside this file."""

import datetime as dt
import json
import math
from typing import Any

from pickrig import __version__, quantities
from pickrig.checks import Finding
from pickrig.plans.pick.record import Recommendation, SnowPull, Standing
from pickrig.quantities import System


def as_json(answer: Recommendation) -> str:
    """The whole record as JSON text. Quantities are in the reader's units, named beside them; never NaN."""
    return json.dumps(as_dict(answer), ensure_ascii=False, indent=2, allow_nan=False) + "\n"


def as_dict(answer: Recommendation) -> dict[str, Any]:
    """The whole record as plain data."""
    return {
        "pickrig": __version__,
        "pick": answer.pick.name if answer.pick else None,
        "runner_up": answer.runner_up.name if answer.runner_up else None,
        "answer": answer.answer,
        "close_call": answer.close_call,
        "weights": answer.weights,
        "ranking": [_standing(s, answer) for s in answer.ranking],
        "robustness": _robustness(answer),
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
        "catch_up": [{"machine": c.machine, "behind": c.behind, "ways": list(c.ways)} for c in answer.catch_ups],
        "moved": [
            {"machine": m.machine, "was": m.was, "now": m.now, "points": m.points, "through": m.through}
            for m in answer.moved
        ],
        "flips": [
            {
                "input": f.input,
                "from": f.from_value,
                "to": f.to_value,
                "unit": f.unit,
                "then_pick": f.then_pick,
                "by": f.by,
            }
            for f in answer.flips
        ],
        "days": [
            {"date": d.date.isoformat(), "rain_m": d.rain, "pick": d.pick, "chances": d.chances} for d in answer.days
        ],
        "worth_finding_out": [
            {"test": w.test, "value": w.value, "changes": w.changes, "says": w.says} for w in answer.worth
        ],
        "helps": [
            {"machine": h.machine, "help": h.help, "amount": h.amount, "chance": h.chance, "enough": h.enough}
            for h in answer.helps
        ],
        "snow": [
            {
                "view": v.view,
                "counted": v.counted,
                "pick": v.pick,
                "machines": {p.machine: _snow_pull(p, answer.units) for p in v.pulls},
            }
            for v in answer.snow
        ],
        "provisos": list(answer.provisos),
        "cautions": [says for says, _ in answer.cautions],
        "assumed": list(answer.assumed),
        "inputs": {
            "job": _finite(answer.job.model_dump(mode="python")),
            "machines": [s.machine.name for s in sorted(answer.ranking, key=lambda s: s.name)],
            "units": answer.units,
            "seed": answer.seed,
            "draws": answer.draws,
        },
    }


def _robustness(answer: Recommendation) -> dict[str, Any] | None:
    robust = answer.robust
    if robust is None:
        return None
    return {
        "says": robust.says,
        "in_order": robust.in_order,
        "in_any": robust.in_any,
        "with_ground": robust.with_ground,
        "none_holds": robust.none_holds,
        "intervals": {i.check: {"weight": i.weight, "low": i.low, "high": i.high} for i in robust.intervals},
        "beaten": robust.beaten,
    }


def _standing(standing: Standing, answer: Recommendation) -> dict[str, Any]:
    return {
        "machine": standing.name,
        "usable": standing.usable,
        "score": standing.score,
        "first_share": standing.first_share,
        "contributions": dict(zip(answer.weights, standing.parts, strict=True)),
        "findings": [_finding(f, answer.units) for f in standing.findings],
    }


def _finding(finding: Finding, units: System) -> dict[str, Any]:
    return {
        "check": finding.check,
        "verdict": finding.verdict,
        "value": _number(finding.value, finding.unit, units),
        "limit": _number(finding.limit, finding.unit, units),
        "unit": quantities.unit_of(finding.unit, units)[0],
        "margin": finding.margin,
        "chance": finding.chance,
        "says": finding.says,
        "working": "\n".join(finding.working),
        "beside": list(finding.beside),
        "sources": list(finding.sources),
        "depends_on": list(finding.depends_on),
        "remedy": finding.remedy,
    }


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
    if isinstance(value, dt.date):
        return value.isoformat()
    return "open" if isinstance(value, float) and math.isinf(value) else value
