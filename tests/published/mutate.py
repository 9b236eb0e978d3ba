"""Change each number in the physics by a twentieth, up and down, one at a time: does a published value notice?

`python -m tests.published.mutate` prints the numbers nobody notices. A number is a constant of a function, or of the
module; shapes of arrays, axes and places after the point are left alone by the list in unwatched.toml, each with why.
"""

import tomllib
from pathlib import Path

from pickrig.plans.decides.numbers import Constant, changed, constants
from tests.published.case import Case, load

UNWATCHED = Path(__file__).parent / "unwatched.toml"
BY = 0.05


def named(number: Constant) -> str:
    """As unwatched.toml names it."""
    return f"{number.module}.{number.function} #{number.nth} = {number.value:g}"


def unnoticed(number: Constant, cases: list[Case]) -> bool:
    """Whether every case still agrees with the number a twentieth higher, and with it a twentieth lower."""
    return all(_agree(number, step, cases) for step in (BY, -BY))


def _agree(number: Constant, step: float, cases: list[Case]) -> bool:
    with changed(number, number.value * (1 + step) if number.value else step):
        for case in cases:
            try:
                if case.disagreement():
                    return False
            except (ValueError, ZeroDivisionError, TypeError, IndexError, KeyError):
                return False
    return True


def allowed() -> dict[str, str]:
    """The numbers no case notices, and why that is right or who watches them instead."""
    return tomllib.loads(UNWATCHED.read_text(encoding="utf-8"))


def cases_of(module: str, cases: list[Case]) -> list[Case]:
    """The cases that run anything of a module, libraries left out because they are slow."""
    return [
        case
        for case in cases
        if case.basis != "library" and any(name.startswith(f"{module}.") for name in case.functions)
    ]


def main() -> None:
    cases = load()
    for number in constants():
        if unnoticed(number, cases_of(number.module, cases)):
            print(f'"{named(number)}" = ""  # line {number.line}')


if __name__ == "__main__":
    main()
