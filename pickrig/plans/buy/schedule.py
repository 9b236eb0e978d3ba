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


def best_plan(hours: Array, shares: Array, margins: Array, wanted: Array, available: Array) -> Plan:
    """The jobs that leave most money.

    hours[machine, work]: of one job, infinite where the machine cannot do it. shares[machine, work, period]: part of
    the period's hours on which it could. margins[machine, work]: $ a job leaves. wanted[work, period]: jobs to be had.
    available[period]: h. A period is a month, or any other length; none borrows from another.

    Maximise sum m x with sum over machines of x <= wanted, and, for each machine and period, with its works in the
    order of their shares, the hours on the first k of them within the k-th share of the period: what is dry enough for
    one work is so for every work with a larger share, so the days are the same days and count once. HiGHS through
    SciPy.
    """
    from scipy.optimize import linprog
    from scipy.sparse import coo_array

    machines, works, periods = shares.shape
    can = np.isfinite(hours) & (margins > 0)
    each = np.where(can, hours, 1.0)
    most = np.minimum(shares * available / each[:, :, None], wanted) * can[:, :, None]
    m, w, t = np.nonzero(most > 0)  # only what could be done at all is a variable
    jobs = np.zeros(shares.shape)
    if len(m) == 0:
        return Plan(jobs, np.zeros(periods))
    column = np.arange(len(m))
    larger = _rank(shares)[m, w, t][:, None] <= np.arange(works)  # k from the work's own rank on
    of, k = np.nonzero(larger)
    rows = np.concatenate([w * periods + t, ((works + m * works)[of] + k) * periods + t[of]])
    matrix = coo_array(
        (np.concatenate([np.ones(len(m)), each[m, w][of]]), (rows, np.concatenate([column, of]))),
        shape=((works + machines * works) * periods, len(m)),
    ).tocsr()
    days = np.sort(shares, axis=1) * available
    found = linprog(  # type: ignore[call-overload]  # its stubs know no sparse matrix
        -margins[m, w],
        A_ub=matrix,
        b_ub=np.concatenate([wanted.ravel(), days.ravel()]),
        bounds=np.column_stack([np.zeros(len(m)), most[m, w, t]]),
        method="highs",
    )
    jobs[m, w, t] = np.maximum(found.x, 0.0)
    return Plan(jobs, np.einsum("mw,mwt->t", np.where(can, margins, 0.0), jobs))


def _rank(shares: Array) -> NDArray[np.int_]:
    """Place of each work among a machine's works of a period, the least workable first."""
    return np.argsort(np.argsort(shares, axis=1, kind="stable"), axis=1, kind="stable")
