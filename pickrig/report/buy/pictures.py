"""The owner's charts, as SVG with its text as text, in the page's own colours."""

import io
from typing import Any

from pickrig.facts import Term
from pickrig.plans.buy.record import Purchase
from pickrig.report.words.figures import money
from pickrig.report.words.voice import Voice

_ACCENT, _QUIET = "#7c2d12", "#57524a"
_SIZE = (4.8, 3.2)  # in: text of 10 points stays legible on a telephone


def rent_or_buy(answer: Purchase, voice: Voice) -> str:
    """Cost of an hour owned and rented against hours a year; empty where no machine may be both."""
    own = next((o for o in answer.options if o.how == "own" and o.name == answer.break_even_of), None)
    if own is None or not answer.owned_curve:
        return ""
    hours, owned = zip(*answer.owned_curve, strict=True)
    rented = {one.span: one.rent + own.hourly.total - own.hourly.repair for one in answer.break_even}

    def draw(axes: Any) -> None:
        axes.plot(hours, owned, color=_ACCENT, linewidth=2, label=voice.text("chart_owned"))
        for style, (span, cost) in zip(("-", "--", ":"), rented.items(), strict=False):
            axes.plot(
                hours, [cost] * len(hours), style, color=_QUIET, label=voice.text("chart_rented", span=Term(span))
            )
        axes.set_xlabel(voice.text("chart_hours"))
        axes.set_ylabel(voice.text("chart_an_hour", currency=voice.currency))
        axes.set_ylim(0, 1.6 * max(rented.values()))

    return _drawn(draw)


def by_pavement(answer: Purchase, voice: Voice) -> str:
    """What best and rival leave against the part of the hours on pavement; empty where the year has only one ground."""
    line = answer.paved
    if line is None:
        return ""
    percent = [100 * share for share in line.shares]

    def draw(axes: Any) -> None:
        axes.plot(percent, line.best, color=_ACCENT, linewidth=2, label=line.names[0])
        axes.plot(percent, line.rival, "--", color=_QUIET, linewidth=2, label=line.names[1])
        axes.axvline(100 * line.now, color=_QUIET, linewidth=0.8)
        axes.annotate(f" {voice.text('chart_now')}", (100 * line.now, axes.get_ylim()[0]), va="bottom", color=_QUIET)
        axes.set_xlabel(voice.text("chart_paved"))
        axes.set_ylabel(voice.text("chart_margin", currency=voice.currency))
        axes.yaxis.set_major_formatter(lambda dollars, _: money(dollars, voice))

    return _drawn(draw)


def _drawn(draw: Any) -> str:
    import matplotlib as mpl
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    from matplotlib.figure import Figure

    with mpl.rc_context({"svg.fonttype": "none", "svg.hashsalt": "pickrig", "font.family": "sans-serif"}):
        figure = Figure(figsize=_SIZE, layout="constrained")
        FigureCanvasSVG(figure)
        axes = figure.add_subplot()
        draw(axes)
        axes.legend(frameon=False)
        axes.spines[["top", "right"]].set_visible(False)
        out = io.StringIO()
        figure.savefig(out, format="svg", transparent=True, metadata={"Date": None, "Creator": None})
    drawn = out.getvalue()[out.getvalue().index("<svg") :]
    for ink, own in ((_ACCENT, "var(--accent)"), (_QUIET, "var(--quiet)"), ("#000000", "currentColor")):
        drawn = drawn.replace(ink, own)
    return drawn
