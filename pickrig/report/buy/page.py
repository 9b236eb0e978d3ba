"""The owner's page: one self-contained HTML file, like the page of a pick."""

from pickrig.plans.buy.record import Purchase
from pickrig.report.buy import told
from pickrig.report.buy.pictures import by_pavement, option_bars, rent_or_buy
from pickrig.report.layout import page
from pickrig.report.words.figures import month
from pickrig.report.words.voice import ENGLISH, Voice


def as_buy_page(answer: Purchase, voice: Voice = ENGLISH) -> str:
    """The whole page as HTML text."""
    return page(
        "buy.html",
        voice,
        a=answer,
        told=told,
        bars=option_bars(answer),
        currency=voice.currency,
        chart=rent_or_buy(answer, voice),
        pavement=by_pavement(answer, voice),
        months=[month(number, voice) for number in range(1, 13)],
    )
