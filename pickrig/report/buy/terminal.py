"""The owner's answer on a terminal: plain text, wrapped to the width at hand."""

from collections.abc import Sequence

from pickrig.facts import Said, Statements
from pickrig.plans.buy.record import Purchase
from pickrig.report.buy import told
from pickrig.report.plain_text import section, window, wrapped
from pickrig.report.words.voice import ENGLISH, Voice


def as_buy_text(answer: Purchase, voice: Voice = ENGLISH) -> str:
    """What to do, why, what would change it, and every option in a line."""
    width = window()
    lines = [*wrapped(voice.say((answer.answer, *answer.beside)), width), ""]
    sections: dict[str, Sequence[Said | Statements]] = {
        "buy_why": answer.reasons,
        "buy_change": answer.changes,
        "buy_rent_short": [*answer.rent_or_buy, *(told.break_even(one) for one in answer.break_even)],
        "buy_options": [told.option(one) for one in answer.options],
        "buy_two": [told.pair(two) for two in answer.pairs],
        "buy_undone": [told.missed(one) for one in answer.missed],
        "buy_hangs": [told.bar(bar) for bar in answer.tornado[:4]],
        "buy_not_counted": [told.not_counted(name) for name in answer.out],
        "buy_assumed": answer.assumed[:4],
    }
    for head, statements in sections.items():
        lines += section(voice.text(head), [voice.say(said) for said in statements], width)
    return "\n".join(lines).rstrip() + "\n"
