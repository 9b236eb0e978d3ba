"""The page: one self-contained HTML file, readable without script or network, on a phone, at a desk and on paper."""

from collections.abc import Sequence

from markupsafe import Markup

from pickrig.facts import Said, Statements
from pickrig.plans.pick.record import Recommendation
from pickrig.report.figure import VERDICT_SIGN
from pickrig.report.layout import page
from pickrig.report.log.told import kept_says, rows_of
from pickrig.report.pick import told
from pickrig.report.pick.first_screen import first_screen, grounds_of, lengths, masses, parted
from pickrig.report.pick.pictures import days_picture, ground_picture
from pickrig.report.pictures.machine import machine_picture
from pickrig.report.pictures.route import route_picture
from pickrig.report.terms import anchor, linked
from pickrig.report.words.voice import ENGLISH, Voice


def as_page(answer: Recommendation, voice: Voice = ENGLISH, ways: Sequence[tuple[str, str]] = ()) -> str:
    """The whole page as HTML text. ways: links on from it, each with its text."""
    terms = [voice.rule(term.text) for term, _ in answer.glossary]

    def explained(said: Said | Statements) -> Markup:
        return linked(voice.html(said), terms)

    return page(
        "page.html",
        voice,
        a=answer,
        first=first_screen(answer) if answer.pick else None,
        gate=lengths(answer.scene.gate) if answer.scene else None,
        arms=masses(answer.scene.arms) if answer.scene else None,
        grounds_of=grounds_of,
        parted=parted,
        ways=ways,
        route=route_picture(answer.scene.way) if answer.scene else None,
        machine=machine_picture(answer),
        told=told,
        signs=VERDICT_SIGN,
        picture=ground_picture(answer, voice),
        days=days_picture(answer, voice),
        log_rows=rows_of(answer.by_log.offsets, answer.by_log.soils) if answer.by_log else [],
        kept=[kept_says(one) for one in answer.by_log.kept] if answer.by_log else [],
        explained=explained,
        linked=lambda ruled: linked(voice.write_html(ruled), terms),
        anchor=lambda term: anchor(voice.rule(term.text)),
    )
