"""The owner's page: one self-contained HTML file, like the page of a pick."""

import io
from datetime import date

from pickrig import __version__
from pickrig.plans.purchase import Purchase
from pickrig.report.buy_table import bar_rows, break_even_sentences, day_rows, missed_sentences, money, option_rows
from pickrig.report.page import environment

_HOURS = (50, 1500)


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
            missed=missed_sentences(answer),
            chart=rent_or_buy(answer),
            months=[date(2025, m, 1).strftime("%b") for m in range(1, 13)],
            money=lambda sum_: money(sum_, answer),
            version=__version__,
        )
    )


def rent_or_buy(answer: Purchase) -> str:
    """Cost of an hour owned and rented against hours a year, as SVG; empty where no machine may be both."""
    own = next(
        (
            o
            for o in answer.options
            if o.how == "own" and o.yearly is not None and answer.break_even and _is_it(o.name, answer)
        ),
        None,
    )
    if own is None or own.yearly is None:
        return ""
    import matplotlib as mpl
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    from matplotlib.figure import Figure

    with mpl.rc_context({"svg.fonttype": "none", "svg.hashsalt": "pickrig", "font.family": "sans-serif"}):
        figure = Figure(figsize=(6.4, 3.4), layout="constrained")
        FigureCanvasSVG(figure)
        axes = figure.add_subplot()
        hours = [*range(_HOURS[0], _HOURS[1] + 1, 25)]
        axes.plot(
            hours, [own.yearly.total / h + own.hourly.total for h in hours], color="#7c2d12", linewidth=2, label="owned"
        )
        for style, one in zip(("-", "--", ":"), answer.break_even, strict=False):
            cost = one.rent + own.hourly.total - own.hourly.repair
            axes.plot(hours, [cost] * len(hours), style, color="#57524a", label=f"rented by the {one.span}")
        axes.set_xlabel("hours a year")
        axes.set_ylabel("$ an hour, without operator")
        axes.set_ylim(0, 1.6 * max(one.rent for one in answer.break_even) + own.hourly.total)
        axes.legend(frameon=False)
        axes.spines[["top", "right"]].set_visible(False)
        out = io.StringIO()
        figure.savefig(out, format="svg", metadata={"Date": None, "Creator": None})
    return out.getvalue()[out.getvalue().index("<svg") :]


def _is_it(name: str, answer: Purchase) -> bool:
    """The machine the break-even hours are of: the best, where it may be owned and rented."""
    both = {o.name for o in answer.options if o.how == "own"} & {o.name for o in answer.options if o.how == "rent"}
    best = answer.best.name if answer.best else ""
    return name == (best if best in both else next((o.name for o in answer.options if o.name in both), ""))
