"""`python -m pickrig` is the same as `pickrig`."""

from pickrig.cli import main

if __name__ == "__main__":
    main()
