"""Write README.md of this folder from the cases: what is checked, against what, how close, and what is not.

`python -m tests.published.page`
"""

import tomllib
from collections import Counter
from pathlib import Path

import numpy as np

from pickrig.plans.decides.numbers import constants
from tests.published.case import BASES, Case, load
from tests.published.mutate import allowed

HERE = Path(__file__).parent
PAGE = HERE / "README.md"
INDEPENDENT = ("printed", "measured", "library")
_TITLES = {
    "trafficability": "Cone index: what a machine needs, what the ground has",
    "mechanics": "Contact, sinkage, thrust, turning, tipping, fit",
    "bearing": "Bearing capacity, dynamic cone, frost, slabs",
    "snow": "Snow, grip and resistance",
    "wetness": "Water in the ground",
    "cost_and_work": "Money, work, road, hydraulics",
    "scoring": "Weights, values, robustness",
}


def independent(cases: list[Case]) -> set[str]:
    """The functions a number from outside agrees with: printed, measured, or from an independent library."""
    return {name for case in cases if _from_outside(case) for name in case.functions}


def _from_outside(case: Case) -> bool:
    return case.basis in INDEPENDENT and case.read != "from memory"


def unchecked() -> dict[str, str]:
    """The functions without such a number, and why."""
    return tomllib.loads((HERE / "unchecked.toml").read_text(encoding="utf-8"))["function"]


def left_out() -> list[dict[str, str]]:
    """Published values that we do not reproduce, and why."""
    return tomllib.loads((HERE / "unchecked.toml").read_text(encoding="utf-8"))["left_out"]


def page() -> str:
    """The whole page, in Markdown."""
    cases = load()
    parts = [_head(cases), _not_checked(), _constants(), _measured()]
    parts += [_table(title, [case for case in cases if case.file == file]) for file, title in _TITLES.items()]
    return "\n\n".join(parts) + "\n"


def _measured() -> str:
    """Our water and frost against measured fields; `python -m tests.measured` makes the table."""
    table = (Path(__file__).parents[1] / "measured" / "table.md").read_text(encoding="utf-8").strip()
    lines = [
        "## Water and frost on measured fields",
        "",
        "Moisture of the two layers under grass, April to October, against probes of public networks"
        " (`tests/measured/data/`): texture assigned by the soil mapped there, never by the probe; m3/m3, the mean over"
        " field-years of each one's figure. The site's mean and a rain index are fitted on the first half of a field's"
        " days and held against the second half; ours is fitted to no field. Nine figures of `rules/wetness.toml` were"
        " set on all fields together, so this is no proof on fields not seen. Made by `python -m tests.measured`;"
        " `pictures FOLDER` draws each field.",
        "",
        table,
        "",
        "Still wrong: silty clay loam and clay below 6 in, where the probes read high and the subsoil is finer than the"
        " name says; the band there holds the probe on half of the days.",
    ]
    return "\n".join(lines)


def _head(cases: list[Case]) -> str:
    counts = Counter(case.basis for case in cases)
    lines = [
        "# What is checked, against what, and how close",
        "",
        "Written by `python -m tests.published.page` from the rows of `cases/`; a test fails when it is out of date.",
        "",
        f"{len(cases)} cases. A number counts as independent where it comes from outside this code:",
        "",
        "| where the number comes from | cases | independent |",
        "|---|--:|---|",
    ]
    for basis, says in BASES.items():
        lines.append(f"| {says} | {counts[basis]} | {'yes' if basis in INDEPENDENT else 'no'} |")
    lines += [
        "",
        "A recomputed number shows that the code is the published equation. It does not show that the equation is right"
        " for a compact loader: `rules/method.md` says what is known of that.",
        "",
        "The handbook named below is a notebook of publications, tables and worked examples kept apart from this code.",
    ]
    return "\n".join(lines)


def _not_checked() -> str:
    lines = ["## Functions with no independent check", ""]
    by_reason: dict[str, list[str]] = {}
    for name, why in unchecked().items():
        by_reason.setdefault(why, []).append(f"`{name}`")
    lines += [f"- {', '.join(names)}: {why}" for why, names in by_reason.items()]
    lines += ["", "## Published values we do not reproduce", ""]
    lines += [f"- {row['value']}: {row['why']}" for row in left_out()]
    return "\n".join(lines)


def _constants() -> str:
    every = len(constants())
    return (
        "## Numbers in the code that a case watches\n\n"
        f"Of {every} numbers in `pickrig/physics/`, {every - len(allowed())} make a case below fail "
        "when they move by a twentieth, be it printed, recomputed, remembered or by hand; the others are guards and "
        "defaults, listed with why in `unwatched.toml`. The "
        "published numbers of `rules/` are entered a second time in `tables.toml`."
    )


def _table(title: str, cases: list[Case]) -> str:
    lines = [
        f"## {title}",
        "",
        "| function | case | source | number is | expected | ours | off by | allowed |",
        "|---|---|---|---|---|---|--:|--:|",
    ]
    lines += [_row(case) for case in cases]
    return "\n".join(lines)


def _row(case: Case) -> str:
    with np.errstate(all="ignore"):
        got, wanted = case.got(), case.wanted()
        off = np.max(np.where(got == wanted, 0.0, np.abs(got - wanted)))
        scale = np.max(np.abs(wanted)) if np.all(np.isfinite(wanted)) else 1.0
    names = ", ".join(f"`{name}`" for name in ([case.of] if "recipe" not in case.of else case.also))
    share = f"{off / scale:.2%}" if scale else f"{off:.1g}"
    number = f"{case.basis}{'' if case.basis in ('library', 'by hand', 'fitted') else f', {case.read}'}"
    unit = f" {case.unit}" if case.unit else ""
    return (
        f"| {names} | {case.name} | {case.source} | {number} | {_short(wanted)}{unit} | {_short(got)} | {share} | "
        f"{case.within}{'' if case.within.endswith('%') else unit} |"
    )


def _short(values: object) -> str:
    flat = np.atleast_1d(np.asarray(values, float)).ravel()
    shown = [f"{value:.5g}" for value in flat[:4]]
    return ", ".join(shown) + (f" … ({len(flat)})" if len(flat) > 4 else "")


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
