"""The page: one self-contained HTML file, readable without script or network, on a phone, at a desk and on paper."""

from functools import cache

import jinja2
from markupsafe import escape

from pickrig import __version__, quantities
from pickrig.plans.recommendation import Recommendation
from pickrig.report.charts import days_picture, ground_picture
from pickrig.report.language import ENGLISH, Language
from pickrig.report.snow_table import snow_rows
from pickrig.report.terminal import catch_up_sentences, flip_sentence, moved_sentence, outs
from pickrig.report.terms import anchor, linked
from pickrig.report.words import VERDICT_SIGN, VERDICT_WORD, figure


@cache
def environment(language: Language = ENGLISH) -> jinja2.Environment:
    """The templates in a language, with everything that is shown escaped."""
    made = jinja2.Environment(
        loader=jinja2.PackageLoader("pickrig.report"),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=language.shown,
    )
    made.globals |= {"_": language.fill, "lang": language.code, "raw": escape}
    return made


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
