"""The owner's page: one self-contained HTML file, like the page of a pick."""

from datetime import date

from pickrig import __version__
from pickrig.plans.buy.record import Purchase
from pickrig.report.buy.pictures import by_pavement, rent_or_buy
from pickrig.report.buy.table import (
    bar_rows,
    break_even_sentences,
    day_rows,
    missed_sentences,
    money,
    option_rows,
    pair_sentences,
)
from pickrig.report.layout import environment


def as_buy_page(answer: Purchase) -> str:
    """The whole page as HTML text."""
    return (
        environment()
        .get_template("buy.html")
        .render(
            a=answer,
            options=option_rows(answer),
            days=day_rows(answer),
            bars=bar_rows(answer),
            break_even=break_even_sentences(answer),
            pairs=pair_sentences(answer),
            missed=missed_sentences(answer),
            chart=rent_or_buy(answer),
            pavement=by_pavement(answer),
            months=[date(2025, m, 1).strftime("%b") for m in range(1, 13)],
            money=lambda sum_: money(sum_, answer),
            version=__version__,
        )
    )
