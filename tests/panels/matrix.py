"""Every soil by every wetness by every machine of the fleet, beside what an engineer expected (matrix.toml).

.venv/bin/python -m tests.panels.matrix     write matrix.md anew
"""

import tempfile
import tomllib
from pathlib import Path
from typing import Any

from pickrig.checks.ground.site import draw_site
from pickrig.inputs import read_fleet, read_job
from pickrig.plans.pick.ranking import rank, weigh
from pickrig.plans.pick.record import Standing
from pickrig.rulebook import Rules, load_rules
from tests.panels.panel import EXAMPLES, HERE

MATRIX = HERE / "matrix.md"
WETNESS = {word: f'wetness = "{word}"' for word in ("dry", "moist", "wet")} | {"water": "standing_water = true"}
LETTER = {"go": "g", "caution": "c", "no-go": "n", "unknown": "?"}
ASKED = ("Wide-track 68", "Wheeled 60")  # of whom the engineer was asked
_DRAWS = 2000


def expected() -> dict[str, dict[str, Any]]:
    """By soil and wetness: the verdicts he would not laugh at, for each of `ASKED`, and remarks."""
    return tomllib.loads((HERE / "matrix.toml").read_text(encoding="utf-8"))


def standings(soil: str, wetness: str, folder: Path, rules: Rules) -> list[Standing]:
    """A day's work on this ground, by every machine."""
    path = folder / "job.toml"
    path.write_text(
        'title = "a day on this soil"\n[task]\nkind = "move loose material"\nload = "1,200 lb"\nsplit = true\n'
        f'[access]\ngate = "open"\n[ground]\nsoil = "{soil}"\n{WETNESS[wetness]}\n',
        encoding="utf-8",
    )
    job, fleet = read_job(path, rules), read_fleet(EXAMPLES / "fleet.toml", rules)
    return rank(job, fleet, rules, draw_site(job, rules, _DRAWS), weigh(job, rules))


def verdict(standing: Standing) -> str:
    """The worse of what holds and what grips: nobody cares which of the two stops him."""
    return max((standing.finding(check).verdict for check in ("floats", "grips")), key="go caution no-go".find)


def table(rules: Rules) -> str:
    """Chance that the ground holds, in 20, and the letter of the worse of holding and gripping."""
    with tempfile.TemporaryDirectory() as folder:
        found = {
            (soil, wetness): {s.name: s for s in standings(soil, wetness, Path(folder), rules)}
            for soil in expected()
            for wetness in WETNESS
        }
    machines = sorted(next(iter(found.values())))
    lines = [f"| soil | wetness | {' | '.join(machines)} | remark |", "|---|---|" + "---|" * (len(machines) + 1)]
    for (soil, wetness), by_name in found.items():
        cells = [_cell(by_name[name]) for name in machines]
        remark = expected()[soil].get(f"{wetness}_remark", "")
        lines.append(f"| {rules.soils[soil].name} | {wetness} | {' | '.join(cells)} | {remark} |")
    return "\n".join(lines) + "\n"


def _cell(standing: Standing) -> str:
    floats = standing.finding("floats")
    chance = "-" if floats.chance is None else f"{20 * floats.chance:.0f}"
    return f"{chance} {verdict(standing)}"


def page(rules: Rules) -> str:
    """matrix.md."""
    return (
        "# Soils, wetness, machines\n\n"
        "A day's work of moving loose material, 1,200 lb a trip: how often in 20 the ground holds, and the worse of\n"
        "holding and gripping. Made by `python -m tests.panels.matrix`; matrix.toml has what was expected first.\n\n"
        + table(rules)
    )


def main() -> None:
    """Write the page."""
    MATRIX.write_text(page(load_rules()), encoding="utf-8")


if __name__ == "__main__":
    main()
