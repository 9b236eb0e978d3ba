"""Draw other examples than the fixed ones, and keep what fails.

    .venv/bin/python -m tests.explore MINUTES [what pytest takes, such as -k grips]

It runs the property and fuzz tests with new examples again and again until the minutes are over or a test fails. What
fails lies in tests/properties/finds/ from then on, and every ordinary run tries it again: commit it with the mending.
"""

import subprocess
import sys
import time
from pathlib import Path

HERE = Path(__file__).parent
PLACES = [str(HERE / "properties"), str(HERE / "fuzz")]


def main(minutes: float, more: list[str]) -> int:
    """Explore until the time is over; pytest's own status of the run that failed, else 0."""
    end = time.monotonic() + 60 * minutes
    while time.monotonic() < end:
        command = [sys.executable, "-m", "pytest", *PLACES, "--hypothesis-profile=exploring", *more]
        status = subprocess.run(command, check=False).returncode
        if status:
            return status
    return 0


if __name__ == "__main__":
    sys.exit(main(float(sys.argv[1]) if len(sys.argv) > 1 else 10, sys.argv[2:]))
