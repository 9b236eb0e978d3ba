"""Which of our numbers the verdicts hang on, kept: the sweep takes minutes, and its table stands in examples/trust.md.

`python -m tests.panels.decides` runs it anew and writes decides.md; put its summary into examples/trust.md.
"""

import hashlib
import json
from pathlib import Path

import pickrig.physics
from pickrig.inputs import read_fleet
from pickrig.plans.decides.sweep import sweep
from pickrig.report.decides import as_decides
from pickrig.rulebook import load_rules, read_tables

PAGE = Path(__file__).with_name("decides.md")
FLEET = Path(__file__).parents[2] / "examples" / "fleet.toml"
_HEAD = "# What the verdicts on the ground hang on\n\nMade by `python -m tests.panels.decides` from rules and physics "


def fingerprint() -> str:
    """Of every number that could have moved since: the tables, and the source of the physics."""
    tables = {name: table for name, table in read_tables().items() if name != "sources"}
    physics = [path.read_text(encoding="utf-8") for path in sorted(Path(pickrig.physics.__path__[0]).glob("*.py"))]
    said = json.dumps([_numbers(tables), physics], sort_keys=True)
    return hashlib.sha256(said.encode()).hexdigest()[:12]


def _numbers(node: object) -> object:
    """The numbers and statuses of a table, without its words."""
    if isinstance(node, dict):
        return {key: _numbers(value) for key, value in node.items() if key not in ("says", "note", "where", "source")}
    return [_numbers(item) for item in node] if isinstance(node, list) else str(node)


def main() -> None:
    rules = load_rules()
    told = as_decides(sweep(rules, read_fleet(FLEET, rules), print))
    PAGE.write_text(f"{_HEAD}{fingerprint()}.\n\n```text\n{told}\n```\n", encoding="utf-8")


if __name__ == "__main__":
    main()
