"""The owner's answer on a terminal: plain text, wrapped to the width at hand."""

from pickrig.plans.buy.record import Purchase
from pickrig.report.buy.table import bar_sentence, break_even_sentences, missed_sentences, option_rows, pair_sentences
from pickrig.report.plain_text import section, window, wrapped


def as_buy_text(answer: Purchase) -> str:
    """What to do, why, what would change it, and every option in a line."""
    width = window()
    lines = [*wrapped(" ".join([answer.answer, *answer.beside]), width), ""]
    lines += section("Why", answer.reasons, width)
    lines += section("What would change it", answer.changes, width)
    lines += section("Rent or buy", break_even_sentences(answer), width)
    rows = [
        f"{row.name}, {row.how}: leaves {row.net} a year ({row.gain} earned, {row.cost} paid), {row.hours} h, "
        f"{row.an_hour} an hour"
        for row in option_rows(answer)
    ]
    lines += section("Every option", rows, width)
    lines += section("Two together", pair_sentences(answer), width)
    lines += section("What stays undone", missed_sentences(answer), width)
    lines += section("What it hangs on", [bar_sentence(bar, answer) for bar in answer.tornado[:4]], width)
    lines += section("Not counted", [f"{name} {why}" for name, why in answer.out.items()], width)
    lines += section("Assumed", answer.assumed[:4], width)
    return "\n".join(lines).rstrip() + "\n"
