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

ALMOST = 1.0 - 1e-12
"""A correlation of 1 has no finite z."""

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


@dataclass(frozen=True)
class Correlation:
    """A partial rank correlation, -1..1, with the ends of its interval."""

    value: float
    low: float
    high: float

    @property
    def told(self) -> bool:
        """Whether it is told from 0."""
        return self.low > 0.0 or self.high < 0.0


def rank_correlations(
    columns: Mapping[str, Sequence[float]], values: Sequence[float | None], confidence: float = 0.95
) -> dict[str, Correlation]:
    """Partial rank correlation of a measure with each column: of what the other columns leave unexplained in both.

    So what is drawn together is told apart, and what other columns do is no noise.  Columns and measures that do not
    vary have none, nor has any if there are no more cases than columns.

    References
    ----------
    Iman and Conover, Commun. Stat. A9 (1980) 1749-1842; variance of a rank correlation's z, (1 + r^2/2)/(n - 3), each
    column held costs one case: Bonett and Wright, Psychometrika 65 (2000) 23-28 (both from memory, to be read).

    Examples
    --------
    >>> a, b = [1, 2, 3, 4, 5, 6], [2, 1, 4, 3, 6, 5]
    >>> found = rank_correlations({"a": a, "b": b, "c": [1] * 6}, [1.0, 4.0, 9.0, 16.0, 25.0, 36.0])
    >>> list(found), found["a"].value, found["a"].told, round(found["b"].value, 6)
    (['a', 'b'], 1.0, True, 0.0)
    """
    from scipy.stats import norm, rankdata

    known = np.array([value is not None for value in values])
    y = rankdata([value for value in values if value is not None])
    ranks = {name: rankdata(np.asarray(column, float)[known]) for name, column in columns.items()}
    ranks = {name: own for name, own in ranks.items() if len(own) and np.ptp(own) > 0.0}
    freedom = len(y) - 2 - len(ranks)
    if freedom < 1 or np.ptp(y) == 0.0:
        return {}
    quantile, found = float(norm.ppf(0.5 + 0.5 * confidence)), {}
    for name, own in ranks.items():
        held = [other for other in ranks.values() if other is not own]
        value = _correlation(_left(own, held), _left(y, held))
        z = math.atanh(min(max(value, -ALMOST), ALMOST))
        half = quantile * math.sqrt((1.0 + 0.5 * value**2) / freedom)
        found[name] = Correlation(value, math.tanh(z - half), math.tanh(z + half))
    return found


def _left(values: Floats, held: Sequence[Floats]) -> Floats:
    """What a regression on other columns leaves of values."""
    others = np.column_stack([np.ones_like(values), *held])
    left: Floats = values - others @ np.linalg.lstsq(others, values, rcond=None)[0]
    return left


def _correlation(a: Floats, b: Floats) -> float:
    """Correlation of values of mean zero; 0 if nothing is left of one of them."""
    lengths = float(np.linalg.norm(a)), float(np.linalg.norm(b))
    if min(lengths) < 1e-9 * len(a):
        return 0.0
    return round(float(a @ b) / (lengths[0] * lengths[1]), 12)


@dataclass(frozen=True)
class Index:
    """Sobol's indices of one axis: its share of the variance alone, and with all that it does together with others."""

    first: float
    first_half_width: float
    total: float
    total_half_width: float

    @property
    def interval(self) -> tuple[float, float]:
        """Ends of the interval of the total index."""
        return self.total - self.total_half_width, self.total + self.total_half_width


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
