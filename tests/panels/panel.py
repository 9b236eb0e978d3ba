"""Jobs as data with the answer an experienced operator would give; see jobs.toml."""

import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import tomlkit

from pickrig.checks.ground.site import draw_site
from pickrig.inputs import read_fleet, read_job
from pickrig.plans.pick.answer import DRAWS
from pickrig.plans.pick.ranking import rank, weigh
from pickrig.plans.pick.record import Standing
from pickrig.rulebook import Rules

HERE = Path(__file__).parent
EXAMPLES = HERE.parents[1] / "examples"
_PANEL = ("sends", "out", "why", "tool", "fleet", "name")


@dataclass(frozen=True)
class Asked:
    """A job of the panel, and what the operator says."""

    name: str
    sends: tuple[str, ...]
    why: str
    job: dict[str, Any]
    out: tuple[str, ...] = ()
    tool: str = ""
    fleet: str = "fleet.toml"

    def ranking(self, folder: Path, rules: Rules) -> list[Standing]:
        """How the tool ranks the machines, the job written to a file in `folder` and read as a user's would be."""
        path = folder / "job.toml"
        path.write_text(tomlkit.dumps({"title": self.name, **self.job}), encoding="utf-8")
        job, fleet = read_job(path, rules), read_fleet(EXAMPLES / self.fleet, rules)
        return rank(job, fleet, rules, draw_site(job, rules, DRAWS, seed=0), weigh(job, rules))


def load() -> list[Asked]:
    """The whole panel."""
    rows = tomllib.loads((HERE / "jobs.toml").read_text(encoding="utf-8"))["job"]
    return [
        Asked(
            job={key: value for key, value in row.items() if key not in _PANEL},
            **{key: tuple(row[key]) if isinstance(row[key], list) else row[key] for key in _PANEL if key in row},
        )
        for row in rows
    ]
