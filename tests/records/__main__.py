"""Recorded answers: what moved, machine by machine; and recording them anew, on purpose.

.venv/bin/python -m tests.records                what has moved since they were recorded
.venv/bin/python -m tests.records renew          record today's answers; read `git diff tests/records` before commit
.venv/bin/python -m tests.records show CASE      all that one case's answer says, to hold against another version's
.venv/bin/python -m tests.records draw           draw the cases that are missing, old ones stay
"""

import sys
import tempfile
from pathlib import Path

from tests.records import cases
from tests.records.draw import draw_case


def main(arguments: list[str]) -> int:
    """Do what is asked; 1 where something moved."""
    how = arguments[0] if arguments else "compare"
    if how == "draw":
        drawn = cases.drawn()
        for name, kind, seed in cases.WANTED:
            if name not in drawn:
                with tempfile.TemporaryDirectory() as folder:
                    drawn[name] = draw_case(kind, seed, Path(folder))
        cases.keep_drawn(drawn)
        return 0
    if how == "show":
        print(cases.words_of(arguments[1]))
        return 0
    moved = 0
    facts = {}
    for name in cases.drawn():
        facts[name] = cases.facts(name)
        for line in [] if how == "renew" else cases.moved(cases.recorded().get(name, {}), facts[name]):
            moved += 1
            print(f"{name}: {line}")
    if how == "renew":
        cases.keep_recorded(facts)
        return 0
    print(f"{moved} facts of {len(facts)} cases moved")
    return 1 if moved else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
