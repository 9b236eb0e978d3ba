"""The owner's answer as JSON."""

import json
import math
from typing import Any

from pickrig import __version__
from pickrig.plans.buy.record import Option, PavedLine, Purchase
from pickrig.report.words.voice import ENGLISH, Voice


def as_buy_json(answer: Purchase, voice: Voice = ENGLISH) -> str:
    """The whole record as JSON text, dollars and hours; never NaN."""
    return json.dumps(as_buy_dict(answer, voice), ensure_ascii=False, indent=2, allow_nan=False) + "\n"


def as_buy_dict(answer: Purchase, voice: Voice = ENGLISH) -> dict[str, Any]:
    """The whole record as plain data."""
    return {
        "pickrig": __version__,
        "best": {"machine": answer.best.name, "how": answer.best.how} if answer.best else None,
        "answer": voice.say(answer.answer),
        "beside": [voice.say(said) for said in answer.beside],
        "options": [_option(o) for o in answer.options],
        "pairs": [
            {
                "machines": [{"machine": o.name, "how": o.how} for o in p.options],
                "price": p.price,
                "net": p.net,
                "undone": p.undone,
            }
            for p in answer.pairs
        ],
        "workable_days": {
            name: {d.work: {"of": d.of, "middle": d.middle, "worst": d.worst, "best": d.best} for d in days}
            for name, days in answer.days.items()
        },
        "break_even_of": answer.break_even_of,
        "rent_or_buy": [voice.say(said) for said in answer.rent_or_buy],
        "break_even": [{"span": b.span, "rent_an_hour": b.rent, "hours": b.hours} for b in answer.break_even],
        "pavement": _paved(answer.paved),
        "sensitivity": [{"input": b.input, "low": b.low, "high": b.high} for b in answer.tornado],
        "undone": [
            {"work": m.work, "jobs": m.jobs, "of": m.of, "pays": m.pays, "why": voice.say(m.why)} for m in answer.missed
        ],
        "changes": [voice.say(said) for said in answer.changes],
        "assumed": [voice.say(note) for note in answer.assumed],
        "inputs": {"years": list(answer.years), "seed": answer.seed, "draws": answer.draws, "units": voice.units},
    }


def _option(option: Option) -> dict[str, Any]:
    return {
        "machine": option.name,
        "how": option.how,
        "net": option.net,
        "gain": option.gain,
        "cost": option.cost,
        "hours": option.hours,
        "an_hour": option.an_hour if math.isfinite(option.an_hour) else None,
        "worth_now": option.worth_now,
        "net_by_year": list(option.nets),
        "jobs": option.jobs,
    }


def _paved(line: PavedLine | None) -> dict[str, Any] | None:
    if line is None:
        return None
    return {
        "now": line.now,
        "shares": list(line.shares),
        "net": {line.names[0]: list(line.best), line.names[1]: list(line.rival)},
        "crossing": line.crossing,
    }
