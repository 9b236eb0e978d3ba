"""The page: one self-contained HTML file, readable without script or network, on a phone, at a desk and on paper."""

from markupsafe import escape

from pickrig import __version__, quantities
from pickrig.plans.pick.record import Recommendation
from pickrig.report.language import ENGLISH, Language
from pickrig.report.layout import environment
from pickrig.report.pick.pictures import days_picture, ground_picture
from pickrig.report.pick.table import snow_rows
from pickrig.report.pick.terminal import catch_up_sentences, flip_sentence, moved_sentence, outs
from pickrig.report.terms import anchor, linked
from pickrig.report.words import VERDICT_SIGN, VERDICT_WORD, figure


def as_page(answer: Recommendation, language: Language = ENGLISH) -> str:
    """The whole page as HTML text."""
    terms = [language.say(term) for term, _ in answer.glossary]
    return (
        environment(language)
        .get_template("page.html")
        .render(
            a=answer,
            words=VERDICT_WORD,
            signs=VERDICT_SIGN,
            figure=lambda finding: figure(finding, answer.units),
            flip_sentence=flip_sentence,
            outs=outs(answer),
            catch_ups=catch_up_sentences(answer),
            moved=[moved_sentence(one, answer) for one in answer.moved],
            money=lambda sum_: quantities.show(sum_, "money", answer.units),
            picture=ground_picture(answer),
            days=days_picture(answer),
            snow=snow_rows(answer),
            linked=lambda text: linked(language.say(text), terms),
            anchor=lambda term: escape(anchor(language.say(term))),
            version=__version__,
        )
    )
