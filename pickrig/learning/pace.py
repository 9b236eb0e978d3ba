"""Ratios of what was measured to what was expected, log-normal, with normal offsets: pace of work, wear of rubber.

Linear in the logarithm, so exact: b = C X'ln t/s^2, C = (X'X/s^2 + diag(1/t^2))^-1. Without jobs every offset is
nought. Knows only numbers.
"""

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def fit_ratios(rows: Array, ratios: Array, errors: Array, weights: Array, priors: Array) -> tuple[Array, Array]:
    """Offsets of the logarithm and their covariance.

    rows[job, offset]: 1 where a job has an offset. ratios: measured over expected. errors: spread of each one's
    logarithm. weights: of each job, less for old ones. priors: spread of each offset.
    """
    informs = weights / errors**2
    covariance = np.linalg.inv(rows.T @ (informs[:, None] * rows) + np.diag(priors**-2.0))
    return np.asarray(covariance @ (rows.T @ (informs * np.log(ratios)))), np.asarray(covariance)
