"""Every benchmark in turn: `python -m tests.benchmarks`; some: `python -m tests.benchmarks start pairs`."""

import importlib
import sys

ALL = ("start", "pairs", "ground", "scoring", "buy", "day", "growth")


def main(names: list[str]) -> None:
    for name in names or ALL:
        print(f"\n## {name}\n", flush=True)
        try:
            importlib.import_module(f"tests.benchmarks.{name}").main()
        except ModuleNotFoundError as missing:
            print(f"left out: {missing}; pip install -e '.[bench]'")


if __name__ == "__main__":
    main(sys.argv[1:])
