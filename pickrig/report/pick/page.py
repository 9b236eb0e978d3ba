"""The page: one self-contained HTML file, readable without script or network, on a phone, at a desk and on paper."""

from collections.abc import Sequence

from markupsafe import Markup

from pickrig.facts import Quantity, Said, Statements
from pickrig.plans.pick.record import InTheGate, OnTheArms, Recommendation
from pickrig.report.figure import VERDICT_SIGN, figure
from pickrig.report.layout import page
from pickrig.report.pick import told
from pickrig.report.pick.first_screen import first_screen, grounds_of, parted
from pickrig.report.pick.pictures import days_picture, ground_picture
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
        gate=_lengths(answer.scene.gate) if answer.scene else None,
        arms=_masses(answer.scene.arms) if answer.scene else None,
        grounds_of=grounds_of,
        parted=parted,
        ways=ways,
        told=told,
        signs=VERDICT_SIGN,
        figure=lambda finding: figure(finding, voice),
        picture=ground_picture(answer, voice),
        days=days_picture(answer, voice),
        explained=explained,
        linked=lambda ruled: linked(voice.write_html(ruled), terms),
        anchor=lambda term: anchor(voice.rule(term.text)),
    )


def _lengths(gate: InTheGate | None) -> dict[str, Quantity]:
    """What is written into the picture of the gate."""
    if gate is None:
        return {}
    return {"opening": Quantity(gate.opening, "length"), "clearance": Quantity(gate.clearance, "length")}


def _masses(arms: OnTheArms | None) -> dict[str, Quantity]:
    """What is written beside the load."""
    if arms is None:
        return {}
    return {name: Quantity(getattr(arms, name), "mass") for name in ("load", "safe", "tips")}
