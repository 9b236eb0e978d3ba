"""The hand-over sheet: one sheet of paper for whoever takes the machine out."""

from pickrig import __version__
from pickrig.plans.recommendation import Recommendation
from pickrig.report.language import ENGLISH, Language
from pickrig.report.page import environment
from pickrig.report.words import VERDICT_WORD

_REASONS = 2


def as_sheet(answer: Recommendation, language: Language = ENGLISH) -> str:
    """The sheet as HTML text; where nothing is sent, a sheet that says so."""
    return (
        environment(language)
        .get_template("sheet.html")
        .render(
            a=answer,
            attachment=answer.attachment,
            reasons=answer.reasons[:_REASONS],
            cautions=answer.cautions,
            words=VERDICT_WORD,
            version=__version__,
        )
    )
