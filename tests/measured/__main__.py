"""The measured fields against our balance: the table, and a picture of each field.

.venv/bin/python -m tests.measured                     write table.md anew; `python -m tests.published.page` takes it in
.venv/bin/python -m tests.measured pictures FOLDER     one picture a field: both layers with their band, and the rain
"""

import sys
from pathlib import Path

import numpy as np

from tests.measured.fields import compared, fields, frost_days, modelled

TABLE = Path(__file__).parent / "table.md"
_HEAD = (
    "| texture | field-years | RMSE 0-6 in | 6-12 in | bias 0-6 in | 6-12 in | r 0-6 in | 6-12 in "
    "| in the band 0-6 in | 6-12 in | second half: ours | site's mean | rain index |"
)
_FORMATS = [*["{:.3f}"] * 2, *["{:+.3f}"] * 2, *["{:.2f}"] * 2, *["{:.0%}"] * 2, *["{:.3f}"] * 3]


def table() -> str:
    """By texture, then all: each field-year counts once; m3/m3."""
    rows: dict[str, list[tuple[float, ...]]] = {}
    for field in fields():
        upper, lower = (compared(field, layer) for layer in ("upper", "lower"))
        pairs = [
            value
            for name in ("rmse", "bias", "correlation", "band")
            for value in (getattr(upper, name), getattr(lower, name))
        ]
        halves = [(getattr(upper, name) + getattr(lower, name)) / 2 for name in ("half", "mean", "index")]
        rows.setdefault(field.texture, []).append((*pairs, *halves))
        rows.setdefault("all", []).append((*pairs, *halves))
    everything = rows.pop("all")
    lines = [_HEAD, "|---|" + "--:|" * 12]
    for name, values in [*rows.items(), ("**all**", everything)]:
        mean = np.mean(values, axis=0)
        shown = [_FORMATS[at].format(value) for at, value in enumerate(mean)]
        lines.append(f"| {name} | {len(values)} | {' | '.join(shown)} |")
    lines += ["", surveyed_line()]
    hits, ghosts, frozen = frost_days()
    lines += [
        "",
        f"Frost: the soil at 5 cm was at or below freezing on {frozen:,} days; on {hits:,} of them half of our draws "
        f"have 2 in of frost or more. On {ghosts:,} days they have it and the soil was over 1 degC.",
    ]
    return "\n".join(lines) + "\n"


def surveyed() -> dict[str, tuple[float, float]]:
    """RMSE of upper and lower layer over all field-years: the "group" alone known, the "texture" told by a survey."""
    told = {}
    for name, by_survey in (("group", False), ("texture", True)):
        upper, lower = (
            np.mean([compared(field, layer, by_survey).rmse for field in fields()]) for layer in ("upper", "lower")
        )
        told[name] = float(upper), float(lower)
    return told


def surveyed_line() -> str:
    """What it helps to know more of the soil than its group."""
    (a, b), (c, d) = surveyed().values()
    return (
        f"With the texture of each place told as a survey tells it, in place of its group's own, RMSE is {c:.3f} and "
        f"{d:.3f} against {a:.3f} and {b:.3f}. The textures are of the soil mapped there, from general knowledge; no "
        "survey's own densities or water limits were to be had."
    )


def pictures(folder: Path) -> None:
    """One SVG a field."""
    import matplotlib

    matplotlib.use("svg")
    import matplotlib.pyplot as plt

    folder.mkdir(parents=True, exist_ok=True)
    for field in fields():
        dates = [day.date for day in field.days]
        figure, axes = plt.subplots(3, 1, figsize=(9, 7), sharex=True, height_ratios=[1, 2, 2])
        axes[0].bar(dates, 1000 * field.rain, color="#3b6ea5", width=1)
        axes[0].set_ylabel("rain, mm")
        for axis, layer, where in ((axes[1], "upper", "0-6 in"), (axes[2], "lower", "6-12 in")):
            low, middle, high = modelled(field.name)[layer].T
            found = compared(field, layer)
            axis.fill_between(dates, low, high, color="#d9cbb0", label="8 draws in 10")
            axis.plot(dates, middle, color="#7c2d12", label="half of the draws")
            axis.plot(dates, getattr(field, layer), color="black", linewidth=1, label="measured")
            axis.set_ylabel(f"{where}, m3/m3")
            axis.set_title(f"RMSE {found.rmse:.3f}, bias {found.bias:+.3f}, in the band {found.band:.0%}", fontsize=9)
        axes[1].legend(fontsize=8)
        figure.suptitle(f"{field.name}: {field.texture}, taken as {field.soil}")
        figure.savefig(folder / f"{field.name.replace(':', '-')}.svg")
        plt.close(figure)


def main(arguments: list[str]) -> None:
    if arguments[:1] == ["pictures"]:
        pictures(Path(arguments[1]))
    else:
        TABLE.write_text(table(), encoding="utf-8")
        print(TABLE.read_text(encoding="utf-8"))


if __name__ == "__main__":
    main(sys.argv[1:])
