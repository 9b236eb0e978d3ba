"""The short answer on a terminal: plain text, no color, wrapped to the width at hand."""

import textwrap
from collections.abc import Callable, Sequence

from pickrig.facts import Said, Statements, Term
from pickrig.plans.pick.record import Recommendation, Standing
from pickrig.report.figure import figure
from pickrig.report.pick import told
from pickrig.report.plain_text import section, window, wrapped
from pickrig.report.words.voice import ENGLISH, Voice

_CAUTIONS_SHOWN = 4
_ASSUMED_SHOWN = 4
_DAYS_SHOWN = 7
_RIVALS_SHOWN = 3


def as_text(answer: Recommendation, voice: Voice = ENGLISH) -> str:
    """The answer, why, what would change it, every machine in a line, and the first cautions."""
    width = window()
    lines = [*wrapped(voice.say(answer.answer, "line"), width), ""]

    def add(head: str, items: list[str]) -> None:
        lines.extend(section(voice.text(head), [item for item in items if item], width))

    add("find_out", [voice.say(proviso, "line") for proviso in answer.provisos])
    if answer.pick:
        _add_why(answer, answer.pick, voice, add)
    else:
        add("make_usable", _said(told.needed(answer), voice))
    add("change", [voice.say(told.flip(flip, answer)) for flip in answer.flips])
    add("snow", [voice.say(answer.snow_decided), *_said(told.snow(answer), voice)] if answer.snow else [])
    if answer.better_day is not None:
        add("when", [voice.say(answer.better_day), *_said([told.day(d) for d in answer.days[:_DAYS_SHOWN]], voice)])
    add("by_soil", _said(answer.by_soil, voice))
    add("worth", [voice.say(worth.says) for worth in answer.worth])
    lines += [voice.text("every_machine"), *_table(answer, voice, width), ""]
    add("watch_out", [voice.write(caution.says) for caution in answer.cautions[:_CAUTIONS_SHOWN]])
    add("assumed", _said(list(answer.assumed[:_ASSUMED_SHOWN]), voice))
    more = {
        "cautions": max(len(answer.cautions) - _CAUTIONS_SHOWN, 0),
        "assumed": max(len(answer.assumed) - _ASSUMED_SHOWN, 0),
    }
    lines += wrapped(voice.text("on_the_page", **more), width) if any(more.values()) else []
    return "\n".join(lines).rstrip() + "\n"


def _said(statements: Sequence[Said | Statements], voice: Voice) -> list[str]:
    return [voice.say(one, "line") for one in statements]


def _add_why(answer: Recommendation, pick: Standing, voice: Voice, add: Callable[[str, list[str]], None]) -> None:
    """Why the pick, why not the others, how sure, and what it costs."""
    add("why", [*(_reason(pick, lead.check, answer, voice) for lead in answer.reasons), _or_none(answer.price, voice)])
    add("why_others", _said(told.outs(answer), voice))
    if answer.robust is not None:
        beaten = [f"{name}: {voice.text('beaten', other=other)}." for name, other in answer.robust.beaten.items()]
        add("sure", [_or_none(answer.hangs_on, voice), voice.say(answer.robust.says), *beaten])
    add("costs", [voice.say(answer.money_says), *_said([told.cost(cost) for cost in answer.costs], voice)])
    add("weights_changed", _said([told.moved(one, answer) for one in answer.moved], voice))
    add("catch_up", _said([told.catch_up(one) for one in answer.catch_ups[:_RIVALS_SHOWN]], voice))


def _reason(pick: Standing, check: str, answer: Recommendation, voice: Voice) -> str:
    """The question, and the line of what it found."""
    return f"{voice.rule(answer.questions[check].asks)} {voice.say(pick.finding(check).says[0], 'line')}"


def _or_none(said: Said | None, voice: Voice) -> str:
    return voice.say(said) if said is not None else ""


def _table(answer: Recommendation, voice: Voice, width: int) -> list[str]:
    """A line a machine."""
    name_width = min(max(len(s.name) for s in answer.ranking), max(12, width // 4))
    lines = []
    for standing in answer.ranking:
        score = voice.decimal(standing.score, 1) if standing.usable else voice.text("out")
        lines += textwrap.wrap(
            f"  {standing.name[:name_width]:<{name_width}} {score:>5}   {_verdicts(standing, answer, voice)}",
            width,
            subsequent_indent=" " * (name_width + 11),
            break_long_words=True,
        )
    return lines


def _verdicts(standing: Standing, answer: Recommendation, voice: Voice) -> str:
    cells = []
    for finding in standing.findings:
        number = figure(finding, voice)
        short = voice.rule(answer.questions[finding.check].short)
        cells.append(f"{short} {voice.write(Term(finding.verdict))}{f' {number}' if number else ''}")
    return ", ".join(cells)
