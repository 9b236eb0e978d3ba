"""Which of our numbers the verdicts hang on, as text."""

from collections import Counter
from typing import get_args

from pickrig.plans.decides.sweep import Weight
from pickrig.rulebook.tables import Status


def as_decides(weights: list[Weight]) -> str:
    """Each number with its share of the changed verdicts and its status, then the sum by status."""
    total = sum(one.changes for one in weights)
    rows = [f"{100 * one.changes / total:5.1f} %  {one.status:<16} {' / '.join(map(str, one.path))}" for one in weights]
    return "\n".join([*rows, "", summary(weights)])


def summary(weights: list[Weight]) -> str:
    """A Markdown table of the shares by status."""
    total, by_status = sum(one.changes for one in weights), Counter[str]()
    for one in weights:
        by_status[one.status] += one.changes
    count = Counter(one.status for one in weights)
    rows = [
        f"| {status} | {count[status]} | {100 * by_status[status] / total:.0f}% |"
        for status in get_args(Status)
        if by_status[status]
    ]
    return "\n".join(["| what the rules say of it | numbers | share of verdict changes |", "|---|--:|--:|", *rows])
