"""The short answer on a terminal, and what it leaves out: plain text, no color, within the width at hand."""

import textwrap
from collections.abc import Callable, Sequence

from pickrig.checks import Finding
from pickrig.errors import InputError
from pickrig.facts import Quantity, Ruled, Said, Statements, Term
from pickrig.plans.pick.record import Recommendation, Standing
from pickrig.report.figure import VERDICT_SIGN, figure
from pickrig.report.pick import told
from pickrig.report.pick.first_screen import first_screen, parted
from pickrig.report.plain_text import section, window, wrapped
from pickrig.report.words.voice import ENGLISH, Voice

_MOST = 13  # lines; the fourteenth says where the page is
_ROWS = 6
_LABEL = 8
_DAYS_SHOWN = 7
_RIVALS_SHOWN = 3


def as_text(answer: Recommendation, voice: Voice = ENGLISH) -> str:
    """The short answer: who goes and how surely, a line for each question, what to do, who is next, who is out."""
    width = window()
    lines = _picked(answer, voice, width) if answer.pick else _none_picked(answer, voice, width)
    return "\n".join(lines[:_MOST])


def _picked(answer: Recommendation, voice: Voice, width: int) -> list[str]:
    pick, first = answer.pick, first_screen(answer)
    assert pick is not None
    cost = next((one for one in answer.costs if one.machine == pick.name), None)
    spent = f" ({voice.text('row_cost', cost=Quantity(cost.total, 'money'))})" if cost else ""
    before, rain, stop = (
        " ".join(voice.say(said, "line") for said in part) for part in (first.before, first.rain[:1], first.stop)
    )
    rows = [(_short(answer, f.check, voice), _cell(f, voice)) for f in first.questions[:_ROWS]]
    timed = _short(answer, "produces", voice) if "produces" in answer.questions else ""
    rows = [(label, told + spent if label == timed else told) for label, told in rows]
    rows += [
        (voice.text("row_first"), before),
        (voice.text("row_rain"), rain),
        (voice.text("row_stop"), stop),
        (voice.text("log_row"), "".join(voice.say(said, "line") for said in first.log)),
        (voice.text("row_next"), _next(answer, voice)),
        (voice.text("row_out"), _outs(answer, voice, width - _LABEL - 1)),
        (voice.text("row_if"), "".join(voice.say(told.flip(one, answer)) for one in answer.flips[:1])),
        (voice.text("row_tonight"), _tonight(answer, voice)),
    ]
    head = f"{voice.text('with_tool', machine=pick.name, tool=Ruled(answer.attachment))}. "
    lines = [head + voice.text(f"tier_{answer.tier.name}") + "."]
    lines += [f"{label:<{_LABEL}} {told}" for label, told in rows if told]
    taken = f"{voice.text('row_taken'):<{_LABEL}} {voice.text('taken', count=len(answer.assumed))}"
    return [_cut(line, width) for line in (*lines[: _MOST - 1], taken)]


def _tonight(answer: Recommendation, voice: Voice) -> str:
    """The test that saves most, where one saves anything."""
    best = max(answer.worth, key=lambda one: one.value, default=None)
    return voice.say(best.says, "line") if best is not None and best.value >= 1 else ""


def _next(answer: Recommendation, voice: Voice) -> str:
    rival = answer.runner_up
    if rival is None:
        return ""
    why = voice.text("row_as_good") if answer.close_call else voice.say(parted(answer, rival), "tag")
    return f"{rival.name}; {why}"


def _none_picked(answer: Recommendation, voice: Voice, width: int) -> list[str]:
    """What is said, and what would make each machine usable."""
    moved = answer.by_log.says[:1] if answer.by_log is not None else ()
    lines = [*wrapped(voice.say((*answer.answer, *moved), "line"), width), f"{voice.text('make_usable')}:"]
    needed = told.needed(answer)
    shown = needed[: _MOST - len(lines) - 2]
    lines += [_cut(f"  {voice.say(one, 'line')}", width) for one in shown]
    more = len(needed) - len(shown)
    lines += [f"  {voice.text('more_machines', count=more)}"] if more > 0 else []
    return [*lines, _cut(voice.text("taken", count=len(answer.assumed)), width)]


def _short(answer: Recommendation, check: str, voice: Voice) -> str:
    return voice.rule(answer.questions[check].short).capitalize()


def _cell(finding: Finding, voice: Voice) -> str:
    sign = "" if finding.verdict == "go" else f"{VERDICT_SIGN[finding.verdict]} "
    timed = finding.says[0].key in ("snow.time", "produces.given")  # beside the time there is
    return sign + voice.say(finding.says[0], "line" if timed else "tag")


def _outs(answer: Recommendation, voice: Voice, width: int) -> str:
    """Who is ruled out and on what, as many as the line holds."""
    outs = [s for s in answer.ranking if not s.usable]
    names = [f"{s.name} ({voice.write(parted(answer, s).value('question'))})" for s in outs]
    for count in range(len(names), 0, -1):
        rest = f", +{len(names) - count}" if count < len(names) else ""
        if len(text := ", ".join(names[:count]) + rest) <= width:
            return text
    return f"{len(names)}" if names else ""


def _cut(text: str, width: int) -> str:
    """Never more than the line; what is lost is on the page."""
    if len(text) <= width:
        return text
    kept = text[: width - 2]
    whole = kept.rsplit(" ", 1)[0]
    return f"{whole if len(whole) > _LABEL + 1 else kept} …"  # a word longer than the line is cut, not lost


def as_why(answer: Recommendation, voice: Voice = ENGLISH, asked: str = "all") -> str:
    """What the short answer leaves out, in sections; one question alone where its name is given. Raises InputError for
    a name that is none."""
    names = {voice.rule(question.short): check for check, question in answer.questions.items()}
    if asked != "all":
        check = names.get(asked, asked)
        if check not in answer.questions:
            raise InputError(Said("fault.no_section", name=asked, names=tuple(f'"{name}"' for name in names)))
        return _one_question(answer, check, voice)
    return _everything(answer, voice)


def _one_question(answer: Recommendation, check: str, voice: Voice) -> str:
    """What each machine answers to it, and how the first one's figure comes about."""
    width = window()
    lines = wrapped(voice.rule(answer.questions[check].asks), width)
    for standing in answer.ranking:
        finding = standing.finding(check)
        verdict = voice.write(Term(finding.verdict))
        told_of = f"{standing.name}: {verdict}. {voice.say(finding.says)} {voice.say(finding.remedy)}".strip()
        lines += wrapped(told_of, width, "  - ", "    ")
    finding = (answer.pick or answer.ranking[0]).finding(check)
    lines += ["", *section(voice.text("working"), [voice.say(step) for step in finding.told.working], width)]
    return "\n".join(lines).rstrip() + "\n"


def _everything(answer: Recommendation, voice: Voice) -> str:
    """Why, what would change it, the snow, the days and soils, every machine in a line, the cautions, what was taken
    for granted."""
    width = window()
    lines: list[str] = []

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
    add("watch_out", [voice.write(caution.says) for caution in answer.cautions])
    add("assumed", _said(list(answer.assumed), voice))
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
