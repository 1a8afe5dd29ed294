"""What the cases of a sweep tell together: summaries, yields with intervals, rank correlations, Sobol's indices."""

from __future__ import annotations

import math
import warnings
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from pneusim.studies.sweep.plans import salib

Floats = npt.NDArray[np.float64]

SHARES = (0.05, 0.5, 0.95)
"""Quantiles that a summary gives."""

BOOTSTRAPS = 200
"""Resamples for the intervals of Sobol's indices."""


@dataclass(frozen=True)
class Summary:
    """A measure over all cases: how many have a value, mean, standard deviation, extremes, quantiles of `SHARES`."""

    count: int
    missing: int
    mean: float | None = None
    deviation: float | None = None
    low: float | None = None
    high: float | None = None
    quantiles: tuple[float, ...] = ()

    @property
    def median(self) -> float | None:
        """Half of the cases have less."""
        return self.quantiles[SHARES.index(0.5)] if self.quantiles else None


def summary(values: Sequence[float | None]) -> Summary:
    """Summary of values; None counts as missing.

    Examples
    --------
    >>> summary([1.0, 2.0, None, 3.0])
    Summary(count=3, missing=1, mean=2.0, deviation=1.0, low=1.0, high=3.0, quantiles=(1.1, 2.0, 2.9))
    """
    known = np.array([value for value in values if value is not None])
    if not len(known):
        return Summary(0, len(values))
    deviation = float(known.std(ddof=1)) if len(known) > 1 else None
    quantiles = tuple(float(q) for q in np.quantile(known, SHARES))
    return Summary(
        len(known), len(values) - len(known), float(known.mean()), deviation, float(known.min()), float(known.max()),
        quantiles,
    )  # fmt: skip


@dataclass(frozen=True)
class Yield:
    """How many of all cases keep a limit, as a share with its interval (None where cases are not drawn at random)."""

    kept: int
    cases: int
    low: float | None = None
    high: float | None = None

    @property
    def share(self) -> float:
        """Share of the cases that keep it, 0..1."""
        return self.kept / self.cases if self.cases else math.nan


def interval(kept: int, cases: int, confidence: float = 0.95, method: str = "wilson") -> tuple[float, float]:
    """Interval of a share of which a sample has shown ``kept`` of ``cases``.

    Parameters
    ----------
    method : {"wilson", "exact"}
        Wilson's score interval, or that of Clopper and Pearson, which covers at least the confidence.

    References
    ----------
    Wilson, J. Am. Stat. Assoc. 22 (1927) 209-212; Clopper and Pearson, Biometrika 26 (1934) 404-413.

    Examples
    --------
    >>> [round(end, 4) for end in interval(8, 10)]
    [0.4902, 0.9433]
    """
    from scipy.stats import binomtest

    found = binomtest(kept, cases).proportion_ci(confidence, method)
    return float(found.low), float(found.high)


def rank_correlations(columns: Mapping[str, Sequence[float]], values: Sequence[float | None]) -> dict[str, float]:
    """Spearman's rank correlation of a measure with each column; columns and measures that do not vary have none.

    Examples
    --------
    >>> rank_correlations({"a": [1, 2, 3, 4], "b": [4, 3, 2, 1], "c": [1, 1, 1, 1]}, [1.0, 4.0, 9.0, None])
    {'a': 1.0, 'b': -1.0}
    """
    from scipy.stats import spearmanr

    known = np.array([value is not None for value in values])
    y = np.array([value for value in values if value is not None])
    found = {}
    for name, column in columns.items():
        x = np.asarray(column, float)[known]
        if len(y) > 2 and np.ptp(x) > 0.0 and np.ptp(y) > 0.0:
            found[name] = float(spearmanr(x, y).statistic)
    return found


@dataclass(frozen=True)
class Index:
    """Sobol's indices of one axis: its share of the variance alone, and with all that it does together with others."""

    first: float
    first_half_width: float
    total: float
    total_half_width: float


def sobol_indices(
    problem: Mapping[str, Any], values: Sequence[float | None], confidence: float = 0.95, seed: int = 0
) -> dict[str, Index]:
    """Sobol's first-order and total indices of a measure, with the half widths of their bootstrap intervals.

    Empty if a case has no value, or all have the same.

    References
    ----------
    Sobol, Math. Comput. Simul. 55 (2001) 271-280; Saltelli et al., Comput. Phys. Commun. 181 (2010) 259-270.

    Raises
    ------
    UsageError
        Without SALib.
    """
    analyse = salib("analyze.sobol").analyze
    if any(value is None for value in values):
        return {}
    y = np.array(values, np.float64)
    if np.ptp(y) == 0.0:
        return {}
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        found = analyse(
            dict(problem), y, calc_second_order=False, num_resamples=BOOTSTRAPS, conf_level=confidence, seed=seed
        )
    columns = [found[name] for name in ("S1", "S1_conf", "ST", "ST_conf")]
    return {name: Index(*(float(column[k]) for column in columns)) for k, name in enumerate(problem["names"])}
