"""A parameter of a sweep: what it changes, over which values, and how it is spread."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

UNIFORM, NORMAL = "uniform", "normal"
DISTRIBUTIONS = (UNIFORM, NORMAL)
SIGMAS = 3.0
"""Standard deviations in the half width of a tolerance whose deviation is not given: common practice, no source."""


@dataclass(frozen=True)
class Spread:
    """How a value is spread between two bounds [SI].

    Attributes
    ----------
    low, high : float
    kind : str
        ``uniform``, or ``normal``: cut off at the bounds.
    mean, sigma : float
        Of the normal distribution before it is cut off.
    """

    low: float
    high: float
    kind: str = UNIFORM
    mean: float = 0.0
    sigma: float = 1.0

    def quantile(self, share: float) -> float:
        """Value below which a share 0..1 of all values lies.

        Examples
        --------
        >>> Spread(2.0, 4.0).quantile(0.25)
        2.5
        >>> Spread(-1.0, 1.0, "normal", 0.0, 1.0).quantile(0.5)
        0.0
        """
        if self.low == self.high:
            return self.low
        if self.kind == UNIFORM:
            return self.low + share * (self.high - self.low)
        from scipy.stats import truncnorm

        a, b = (self.low - self.mean) / self.sigma, (self.high - self.mean) / self.sigma
        return float(min(max(truncnorm.ppf(share, a, b, self.mean, self.sigma), self.low), self.high))


@dataclass(frozen=True)
class Parameter:
    """A parameter of a sweep.

    Attributes
    ----------
    name : str
    paths : tuple of str
        What it changes.
    dimension : str
        Of ``pneusim.quantities``, or ``flag``, ``word`` or ``name``.
    nominal : tuple
        The value in the circuit for each path [SI]; None where there is none.
    values : tuple
        A list of values [SI], for all paths; or
    spreads : tuple of Spread
        one for each path.
    steps : int
        Points that a grid takes of a spread.
    correlation : float
        Between the paths, 0..1: 1 moves them together, 0 draws each on its own, values between tie them by normal
        scores (a Gaussian copula).
    """

    name: str
    paths: tuple[str, ...]
    dimension: str
    nominal: tuple[Any, ...]
    values: tuple[Any, ...] = ()
    spreads: tuple[Spread, ...] = ()
    steps: int = 3
    correlation: float = 1.0

    @property
    def axes(self) -> tuple[str, ...]:
        """Names of what is drawn: the parameter, or each of its paths where they are not moved together."""
        return (self.name,) if self.correlation >= 1.0 else self.paths

    @property
    def numeric(self) -> bool:
        """Whether its values are numbers."""
        return self.dimension not in ("flag", "word", "name")

    def points(self) -> int:
        """Points that a grid takes of it."""
        return len(self.values) or self.steps

    def at(self, shares: Sequence[float]) -> dict[str, Any]:
        """Value of every path for a share 0..1 of each axis."""
        told = self._tied(np.asarray(shares, float))
        drawn = told if len(told) == len(self.paths) else np.repeat(told, len(self.paths))
        return {path: self._value(k, float(share)) for k, (path, share) in enumerate(zip(self.paths, drawn))}

    def point(self, number: int) -> dict[str, Any]:
        """Value of every path at a point of a grid."""
        if self.values:
            return dict.fromkeys(self.paths, self.values[number])
        share = number / (self.steps - 1) if self.steps > 1 else 0.5
        return {
            path: spread.low + share * (spread.high - spread.low) for path, spread in zip(self.paths, self.spreads)
        }

    def _value(self, path: int, share: float) -> Any:
        if self.values:
            return self.values[min(int(share * len(self.values)), len(self.values) - 1)]
        return self.spreads[path].quantile(share)

    def _tied(self, shares: Floats) -> Floats:
        """Shares of which any two have the correlation of the parameter (of their normal scores)."""
        if self.correlation in (0.0, 1.0) or len(shares) < 2:
            return shares
        from scipy.stats import norm

        matrix = np.full((len(shares), len(shares)), self.correlation)
        np.fill_diagonal(matrix, 1.0)
        scores = np.linalg.cholesky(matrix) @ norm.ppf(np.clip(shares, 1e-12, 1.0 - 1e-12))
        tied: Floats = norm.cdf(scores)
        return tied
