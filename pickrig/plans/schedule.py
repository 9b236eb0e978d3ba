"""Which jobs of a year a set of machines can do: a linear programme over machines, kinds of work and months."""

import calendar
from dataclasses import dataclass

import numpy as np

from pickrig.scoring import Array


@dataclass(frozen=True)
class Plan:
    """jobs[machine, work, month] done; margin: $ a year they leave after hours are paid."""

    jobs: Array
    margin: float


def working_hours(week_days: float, day: float) -> Array:
    """Hours in each month's working days, of a year that is no leap year."""
    days = np.array([calendar.monthrange(2025, month)[1] for month in range(1, 13)], float)
    return days * week_days / 7 * day / 3600


def best_plan(hours: Array, shares: Array, margins: Array, wanted: Array, available: Array) -> Plan:
    """The jobs that leave most money.

    hours[machine, work]: of one job, infinite where the machine cannot do it. shares[machine, work, month]: part of
    the month's hours on which it could. margins[machine, work]: $ a job leaves. wanted[work, month]: jobs to be had.
    available[month]: h.

    Maximise sum m x with sum over machines of x <= wanted; h x <= share available for each machine, work and month;
    and sum over works of h x <= available for each machine and month. HiGHS through SciPy.
    """
    from scipy.optimize import linprog
    from scipy.sparse import coo_array

    machines, works = hours.shape
    shape = (machines, works, 12)
    can = np.isfinite(hours) & (margins > 0)
    most = np.where(can[:, :, None], shares * available / np.where(np.isfinite(hours), hours, 1.0)[:, :, None], 0.0)
    most = np.minimum(most, wanted[None, :, :])
    index = np.arange(machines * works * 12).reshape(shape)
    m, w, t = (axis.ravel() for axis in np.indices(shape))
    spent = np.where(can, hours, 0.0)[m, w]
    rows = np.concatenate([w * 12 + t, works * 12 + m * 12 + t])
    matrix = coo_array(
        (np.concatenate([np.ones(index.size), spent]), (rows, np.tile(index.ravel(), 2))),
        shape=(works * 12 + machines * 12, index.size),
    ).tocsr()
    bounds = np.concatenate([wanted.ravel(), np.tile(available, machines)])
    found = linprog(  # type: ignore[call-overload]  # its stubs know no sparse matrix
        -margins[m, w],
        A_ub=matrix,
        b_ub=bounds,
        bounds=np.column_stack([np.zeros(index.size), most.ravel()]),
        method="highs",
    )
    return Plan(np.maximum(found.x, 0.0).reshape(shape), float(-found.fun))
