"""How sure fitted values are: deviations, intervals, correlations, and what the data cannot tell apart.

References
----------
Seber and Wild, Nonlinear Regression (1989), chapters 2 and 5 (from memory): linearised covariance s^2 (J^T J)^-1 and
t intervals.  Belsley, Kuh and Welsch, Regression Diagnostics (1980), chapter 3 (from memory): condition numbers of
columns of unit length, 30 and more for strong dependence.  Durbin and Watson, Biometrika 37 (1950) 409-428.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

UNSEEN = 1e-6
"""A parameter whose residuals change by less than this share of the largest change of all has no effect."""

BLURRED = 0.1
"""A direction is not told where the error of the differences is more than this share of what it changes."""

PART = 0.1
"""Component of a direction from which a parameter takes part in it."""


@dataclass(frozen=True)
class Certainty:
    """What the derivatives at the end of a search tell, in shares of the bounds.

    Attributes
    ----------
    deviations : ndarray, shape (n,)
        Standard deviations; infinite where the data cannot tell.
    correlations : ndarray, shape (n, n)
        Nan beside what cannot be told.
    condition : float
        Condition number of the derivatives' columns scaled to unit length.
    noise : float
        Standard deviation of the residuals in their scales.
    freedom : int
        Values less unknowns.
    weak : ndarray, shape (n,)
        The direction that the data tell least of, in columns of unit length.
    """

    deviations: Floats
    correlations: Floats
    condition: float
    noise: float
    freedom: int
    weak: Floats

    def quantile(self, confidence: float) -> float:
        """Half width of an interval in deviations, by Student's t."""
        from scipy.stats import t

        return float(t.ppf(0.5 + 0.5 * confidence, self.freedom))


def certainty(jacobian: Floats, residuals: Floats, blur: float) -> Certainty:
    """Certainty at the least sum of squares.

    Parameters
    ----------
    jacobian : ndarray, shape (m, n)
    residuals : ndarray, shape (m,)
    blur : float
        Relative error of the derivatives; what changes the residuals by no more than it, is not told.

    Examples
    --------
    Of a mean of four values 1, 2, 3, 4 the deviation is s/sqrt(4):

    >>> found = certainty(-np.ones((4, 1)), np.array([-1.5, -0.5, 0.5, 1.5]), 1e-6)
    >>> round(float(found.deviations[0]), 6), round(found.quantile(0.95), 3)
    (0.645497, 3.182)
    """
    m, n = jacobian.shape
    freedom = m - n
    noise = float(np.sqrt(residuals @ residuals / freedom))
    lengths = np.linalg.norm(jacobian, axis=0)
    seen = lengths > UNSEEN * max(float(lengths.max()), 1e-300)
    deviations, correlations = np.full(n, np.inf), np.full((n, n), np.nan)
    weak = np.where(seen, 0.0, 1.0)
    condition = np.inf
    if seen.any():
        _, strengths, directions = np.linalg.svd(jacobian[:, seen] / lengths[seen], full_matrices=False)
        told = strengths > blur / BLURRED * strengths[0]
        untold = (np.abs(directions[~told]) > PART).any(axis=0)
        scaled = directions[told].T / strengths[told]
        own = np.sqrt((scaled**2).sum(axis=1))
        spread = noise * own / lengths[seen]
        deviations[seen] = np.where(untold, np.inf, spread)
        between = (scaled @ scaled.T) / np.outer(own, own)
        between[untold], between[:, untold] = np.nan, np.nan
        correlations[np.ix_(seen, seen)] = between
        if seen.all():
            condition, weak = float(strengths[0] / max(strengths[-1], 1e-300)), directions[-1]
    return Certainty(deviations, correlations, condition, noise, freedom, weak)


def durbin_watson(residuals: Floats) -> float:
    """Sum of squared differences of neighbours over the sum of squares: 2 for independent residuals, 0 for a drift.

    Examples
    --------
    >>> durbin_watson(np.array([1.0, -1.0, 1.0, -1.0]))
    3.0
    """
    total = float(residuals @ residuals)
    return float(np.sum(np.diff(residuals) ** 2)) / total if total > 0.0 else 2.0
