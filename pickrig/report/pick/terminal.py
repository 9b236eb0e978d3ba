"""The short answer on a terminal: plain text, no colour, wrapped to the width at hand."""

import textwrap

from pickrig import quantities
from pickrig.checks import Finding
from pickrig.plans.pick.record import Flip, Moved, Recommendation, Standing
from pickrig.report.pick.table import SnowRow, snow_rows
from pickrig.report.plain_text import section, window, wrapped
from pickrig.report.words import VERDICT_WORD, figure

_CAUTIONS_SHOWN = 4
_ASSUMED_SHOWN = 4
_DAYS_SHOWN = 7
_RIVALS_SHOWN = 3


def as_text(answer: Recommendation) -> str:
    """The answer, why, what would change it, every machine in a line, and the first cautions."""
    width = window()
    lines = [*wrapped(answer.answer, width), ""]
    lines += section("Find out first", answer.provisos, width)
    if answer.pick:
        why = [f"{answer.questions[lead.check].asks} {lead.pick_says}" for lead in answer.reasons]
        lines += section("Why", [*why, *([answer.price] if answer.price else [])], width)
        lines += section("Why not the others", outs(answer), width)
        lines += section("How sure", [answer.robust.says, *_beaten(answer)] if answer.robust else [], width)
        lines += section("What it costs", [answer.money_says, *_costs(answer)] if answer.money_says else [], width)
        lines += section("What your weights changed", [moved_sentence(m, answer) for m in answer.moved], width)
        lines += section("What would make another the pick", catch_up_sentences(answer)[:_RIVALS_SHOWN], width)
    else:
        lines += section("What would make each usable", _needed(answer), width)
    lines += section("What would change it", [flip_sentence(flip) for flip in answer.flips], width)
    if answer.snow:
        lines += section("Wheels or tracks", [answer.snow_decided, *_snow(answer)], width)
    if answer.days:
        lines += section("When", [answer.better_day, *_days(answer)], width)
    lines += section("Worth finding out tonight", [w.says for w in answer.worth], width)
    lines += ["Every machine", *_table(answer, width), ""]
    lines += section("Mind", [says for says, _ in answer.cautions[:_CAUTIONS_SHOWN]], width)
    lines += section("Assumed", list(answer.assumed[:_ASSUMED_SHOWN]), width)
    more = [
        f"{count} more {what}"
        for count, what in (
            (len(answer.cautions) - _CAUTIONS_SHOWN, "cautions"),
            (len(answer.assumed) - _ASSUMED_SHOWN, "assumptions"),
        )
        if count > 0
    ]
    lines += wrapped(f"On the page: {', '.join(more)}.", width) if more else []
    return "\n".join(lines).rstrip() + "\n"


def catch_up_sentences(answer: Recommendation) -> list[str]:
    """For each rival, the nearest single answers that would put it ahead, or that none would."""
    told = []
    for rival in answer.catch_ups:
        if rival.ways:
            told.append(f"{rival.machine}, {rival.behind:.1f} points behind: {'; or '.join(rival.ways[:2])}.")
        else:
            told.append(f"{rival.machine}, {rival.behind:.1f} points behind: no single answer would do it.")
    return told


def moved_sentence(moved: Moved, answer: Recommendation) -> str:
    """One machine under the usual weights and under the job's own."""
    short = answer.questions[moved.through].short
    place = f"place {moved.was} to {moved.now}" if moved.was != moved.now else f"still in place {moved.now}"
    through = f"most of it through {short} ({moved.through_points:+.1f})"
    return f"{moved.machine}: {place}, {moved.points:+.1f} points, {through}."


def _beaten(answer: Recommendation) -> list[str]:
    assert answer.robust is not None
    return [f"{name}: {other} is as good or better on every question." for name, other in answer.robust.beaten.items()]


def _costs(answer: Recommendation) -> list[str]:
    """A line a machine, cheapest first."""

    def show(sum_: float) -> str:
        return quantities.show(sum_, "money", answer.units)

    return [
        f"{c.machine}: {show(c.total)} = {c.hours:.1f} h {show(c.work)} + rubber {show(c.rubber)} + chance of bogging "
        f"{show(c.bogging)} + chance of a repair {show(c.repair)}"
        for c in answer.costs
    ]


def flip_sentence(flip: Flip) -> str:
    """One flip as a sentence."""
    then = f"{flip.then_pick} leads" if flip.then_pick else "none of them is fit"
    how = f"by {flip.by}"
    if flip.input == "passes":
        return f"For {flip.at} in place of {flip.now}: {then} ({how})."
    if flip.input == "under the snow":
        return f"With {flip.at} under the snow (now {flip.now}): {then} ({how})."
    if not flip.unit:
        return f"With the ground {flip.at} (now {flip.now}): {then} ({how})."
    way = "below" if float(flip.to_value) < float(flip.from_value) else "above"
    return f"With {flip.input} {way} {flip.at} (now {flip.now}): {then} ({how})."


def _snow(answer: Recommendation) -> list[str]:
    """A line a machine: its pull by each view, what a full box takes, and the time."""
    return [f"{row.machine}: pulls {_pulls(row)}; a full box takes {row.full}; {row.time}" for row in snow_rows(answer)]


def _pulls(row: SnowRow) -> str:
    if len(set(row.pulls)) == 1:
        return row.pulls[0]
    return f"{', '.join(row.pulls)} (force, pavement, trade's word)"


def _days(answer: Recommendation) -> list[str]:
    """A line a day: rain, and the chance of the machine picked then."""
    lines = []
    for day in answer.days[:_DAYS_SHOWN]:
        rain = quantities.show(day.rain, "rain", answer.units)
        chance = day.chances.get(day.pick) if day.pick else None
        holds = f", holds {100 * chance:.0f} %" if chance is not None else ""
        lines.append(f"{day.date:%a %d %b}: {rain} of rain; {day.pick or 'none fit'}{holds}")
    return lines


def _needed(answer: Recommendation) -> list[str]:
    """What stands in each machine's way; a reason that holds for all of them, once."""
    if answer.site.instead:
        return [answer.site.instead]
    return [
        f"{s.name}: {' '.join(dict.fromkeys(f.remedy or f.says for f in s.findings if _stands_in_the_way(f, s)))}"
        for s in answer.ranking
    ]


def _stands_in_the_way(finding: Finding, standing: Standing) -> bool:
    if any(f.check == finding.follows and f.verdict == "no-go" for f in standing.findings):
        return False
    return finding.verdict == "no-go" or finding in standing.open_questions


def outs(answer: Recommendation) -> list[str]:
    """For each machine that is knocked out, by what."""
    return [
        f"{s.name}: {' '.join(dict.fromkeys(f.says for f in s.findings if _stands_in_the_way(f, s)))}"
        for s in answer.ranking
        if not s.usable
    ]


def _table(answer: Recommendation, width: int) -> list[str]:
    """A line a machine; in a narrow window, the verdicts alone."""
    name_width = min(max(len(s.name) for s in answer.ranking), max(12, width // 4))
    lines = []
    for standing in answer.ranking:
        score = f"{standing.score:5.1f}" if standing.usable else "  out"
        lines += textwrap.wrap(
            f"  {standing.name[:name_width]:<{name_width}} {score}   {_verdicts(standing, answer)}",
            width,
            subsequent_indent=" " * (name_width + 11),
            break_long_words=True,
        )
    return lines


def _verdicts(standing: Standing, answer: Recommendation) -> str:
    cells = []
    for finding in standing.findings:
        number = figure(finding, answer.units)
        short = answer.questions[finding.check].short
        cells.append(f"{short} {VERDICT_WORD[finding.verdict]}{f' {number}' if number else ''}")
    return ", ".join(cells)
