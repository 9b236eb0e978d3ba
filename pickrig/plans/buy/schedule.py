"""Which jobs of a year a set of machines can do: a linear programme over machines, kinds of work and months."""

import calendar
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pickrig.scoring import Array


@dataclass(frozen=True)
class Plan:
    """jobs[machine, work, period] done; margins[period]: $ they leave after their hours are paid."""

    jobs: Array
    margins: Array


def working_hours(week_days: float, day: float) -> Array:
    """Hours in each month's working days, of a year that is no leap year. day: s."""
    days = np.array([calendar.monthrange(2025, month)[1] for month in range(1, 13)], float)
    return days * week_days / 7 * day / 3600


def best_plan(
    hours: Array, shares: Array, reach: Array, margins: Array, wanted: Array, available: Array, people: Array
) -> Plan:
    """The jobs that leave most money.

    hours[machine, work]: of one job, infinite where the machine cannot do it. shares[machine, work, period]: part of
    the period's hours on which it could. reach[machine, work, period]: part of the jobs whose lots carry it for long
    enough some time in the period. margins[machine, work]: $ a job leaves. wanted[work, period]: jobs to be had.
    available[period]: h of one machine; people[period]: h of all who run them. A period is a month, or any other
    length; none borrows from another.

    Maximise sum m x with, for each work and period and its machines in the order of their reach, the jobs of the first
    k of them within the k-th reach of what is wanted: a lot that carries one machine carries every one that reaches
    farther, so the lots are the same lots and count once. And, for each machine and period, with its works in the order
    of their shares, the hours on the first k of them within the k-th share of the period: the same of its days. And all
    hours of a period within those of the people. HiGHS through SciPy.
    """
    from scipy.optimize import linprog
    from scipy.sparse import coo_array

    machines, works, periods = shares.shape
    can = np.isfinite(hours) & (margins > 0)
    each = np.where(can, hours, 1.0)
    most = np.minimum(shares * available / each[:, :, None], reach * wanted) * can[:, :, None]
    m, w, t = np.nonzero(most > 0)  # only what could be done at all is a variable
    jobs = np.zeros(shares.shape)
    if len(m) == 0:
        return Plan(jobs, np.zeros(periods))
    column = np.arange(len(m))
    farther = _rank(reach, 0)[m, w, t][:, None] <= np.arange(machines)  # k from the machine's own rank on
    by, n = np.nonzero(farther)
    larger = _rank(shares, 1)[m, w, t][:, None] <= np.arange(works)  # k from the work's own rank on
    of, k = np.nonzero(larger)
    first = machines * works
    rows = np.concatenate(
        [
            (n * works + w[by]) * periods + t[by],
            (first + m[of] * works + k) * periods + t[of],
            2 * first * periods + t,
        ],
    )
    matrix = coo_array(
        (
            np.concatenate([np.ones(len(by)), each[m, w][of], each[m, w]]),
            (rows, np.concatenate([column[by], of, column])),
        ),
        shape=(2 * first * periods + periods, len(m)),
    ).tocsr()
    lots = np.sort(reach, axis=0) * wanted
    days = np.sort(shares, axis=1) * available
    found = linprog(  # type: ignore[call-overload]  # its stubs know no sparse matrix
        -margins[m, w],
        A_ub=matrix,
        b_ub=np.concatenate([lots.ravel(), days.ravel(), people]),
        bounds=np.column_stack([np.zeros(len(m)), most[m, w, t]]),
        method="highs",
    )
    jobs[m, w, t] = np.maximum(found.x, 0.0)
    return Plan(jobs, np.einsum("mw,mwt->t", np.where(can, margins, 0.0), jobs))


def _rank(shares: Array, axis: int) -> NDArray[np.int_]:
    """Place of each along an axis, the least first."""
    return np.argsort(np.argsort(shares, axis=axis, kind="stable"), axis=axis, kind="stable")
