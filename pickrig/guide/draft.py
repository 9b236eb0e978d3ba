"""Answers given so far, kept beside the work until a job file holds them."""

import json
from contextlib import suppress
from pathlib import Path

from pickrig.files import read_json, write_whole
from pickrig.guide.questions import Answers

NAME = ".pickrig-start.json"


def keep_draft(path: Path, answers: Answers) -> None:
    """Write the answers whole. Raises OutputError."""
    write_whole(path, json.dumps(answers, ensure_ascii=False, indent=1) + "\n")


def read_draft(path: Path) -> Answers:
    """The answers kept, or none where there are none that can be read."""
    read = read_json(path)
    if not isinstance(read, dict):
        return {}
    return {key: value for key, value in read.items() if isinstance(key, str) and isinstance(value, str)}


def drop_draft(path: Path) -> None:
    """The job file holds them now."""
    with suppress(OSError):
        path.unlink()
