"""Wheels against tracks in snow as a table: one line a machine, one column a view."""

from dataclasses import dataclass

from pickrig import quantities
from pickrig.plans.pick.record import Recommendation


@dataclass(frozen=True)
class SnowRow:
    machine: str
    pulls: tuple[str, ...]  # by view, in their order
    full: str
    time: str
    keeps: bool  # whether the pull that counts keeps a full box moving


def snow_rows(answer: Recommendation) -> tuple[SnowRow, ...]:
    """The rows in the order of the answer; empty without snow."""
    if not answer.snow:
        return ()
    counted = next(view for view in answer.snow if view.counted)
    by_view = [{pull.machine: pull for pull in view.pulls} for view in answer.snow]
    rows = []
    for pull in counted.pulls:
        shown = tuple(quantities.show(view[pull.machine].pull, "force", answer.units) for view in by_view)
        time = quantities.duration(pull.seconds) if pull.seconds is not None else "never"
        full = quantities.show(pull.full, "force", answer.units)
        rows.append(SnowRow(pull.machine, shown, full, time, pull.pull >= pull.full))
    return tuple(rows)
