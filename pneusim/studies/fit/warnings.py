"""What to beware of in a fit, in sentences."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np

from pneusim.quantities import STANDARD_ATMOSPHERE, express
from pneusim.reading.faults import listed
from pneusim.studies.fit.certainty import PART

if TYPE_CHECKING:
    from pneusim.studies.fit.result import Comparison, Fitted

TIED = 0.95
"""Correlation from which two parameters are named as hard to tell apart."""

STRONG = 30.0
"""Condition number of strong dependence (Belsley, Kuh and Welsch 1980, from memory)."""

DRAWN_TOGETHER = 0.3
"""Correlation of neighbouring residuals, 1 - DW/2, from which they count as dependent."""

FAR = 20.0
"""A column so many times larger or smaller than what the circuit shows has another unit, most likely."""

NEAR = 0.1
"""A difference of pressures that is one atmosphere but for this share is no chance, most likely."""

LARGER = 1.5
"""Residuals so many times the noise given are not noise alone."""

AS_GOOD, ELSEWHERE = 1.01, 0.05
"""Sum of squares within which another end fits as well, and how far away it is another [share of the bounds]."""


def warnings_of(fitted: Fitted) -> Iterator[str]:
    """All warnings, the gravest first."""
    for comparison in fitted.comparisons:
        yield from _misread(comparison)
    yield from _untold(fitted)
    yield from _tied(fitted)
    yield from _at_bounds(fitted)
    yield from _searches(fitted)
    for comparison in fitted.comparisons:
        yield from _residuals(comparison)


def _misread(comparison: Comparison) -> Iterator[str]:
    """Columns whose unit is most likely another than the file says, by what the circuit shows with the start values."""
    trace, shown = comparison.trace, comparison.guessed
    if shown is None:
        return
    measured, computed = (float(np.sqrt(np.mean(values**2))) for values in (trace.values, shown))
    if measured > FAR * computed > 0.0 or 0.0 < FAR * measured < computed:
        times = measured / computed
        yield f"{trace.column} is {times:.3g} times what the circuit shows with the start values: is its unit right?"
    elif trace.dimension == "pressure":
        apart = float(np.median(trace.values - shown))
        if abs(abs(apart) / STANDARD_ATMOSPHERE - 1.0) < NEAR:
            way, word = ("above", "without") if apart > 0.0 else ("below", "with")
            yield (
                f"{trace.column} lies about one atmosphere {way} what the circuit shows with the start values: is it "
                f"right {word} 'abs'?"
            )


def _untold(fitted: Fitted) -> Iterator[str]:
    names = [one.name for one in fitted.estimates if one.deviation is None and not one.bound]
    if len(names) == 1:
        yield f"the data say nothing about {names[0]}: it hardly moves what was measured; fix it, or measure elsewhere"
    elif names:
        yield (
            f"the data cannot tell {_and(names)} apart: other values of them together give the same curves; fix all "
            f"but one, or measure what only one of them moves"
        )


def _tied(fitted: Fitted) -> Iterator[str]:
    names = [estimate.name for estimate in fitted.estimates]
    table, named = fitted.certainty.correlations, set[str]()
    for i, k in combinations(range(len(names)), 2):
        if abs(table[i, k]) > TIED:
            named |= {names[i], names[k]}
            together = "both larger or both smaller" if table[i, k] > 0.0 else "one larger with the other smaller"
            yield (
                f"{names[i]} and {names[k]} can hardly be told apart by these data (correlation {table[i, k]:+.3f}): "
                f"{together} fit nearly as well; each interval holds only if the other value goes along"
            )
    if fitted.certainty.condition > STRONG and np.isfinite(fitted.certainty.deviations).all():
        group = [name for name, part in zip(names, fitted.certainty.weak) if abs(part) > PART]
        if not set(group) <= named:
            condition = fitted.certainty.condition
            yield f"{_and(group)} together are hardly told by these data (condition number {condition:.0f})"


def _at_bounds(fitted: Fitted) -> Iterator[str]:
    for estimate in fitted.estimates:
        if word := estimate.bound:
            bound = estimate.unknown.low if word == "lower" else estimate.unknown.high
            shown = express(bound, estimate.unknown.dimension)
            yield f"{estimate.name} lies on its {word} bound, {shown}: it has no interval, the best may be beyond it"


def _searches(fitted: Fitted) -> Iterator[str]:
    best, *others = fitted.ends
    if not best.converged:
        yield "the best search was cut off before it came to rest; give better starts or narrower bounds"
    rivals = [end for end in others if end.cost < AS_GOOD * best.cost]
    told_of = np.isfinite(fitted.certainty.deviations)
    away = [end for end in rivals if (np.abs(end.shares - best.shares)[told_of] > ELSEWHERE).any()]
    if away:
        found = fitted.fit.values(away[0].shares)
        told = listed(f"{u.name} {express(found[u.name], u.dimension)}" for u in fitted.fit.unknowns)
        yield f"another answer fits as well: {told}"
    failed = [end for end in fitted.ends if end.failure]
    if failed:
        yield f"{len(failed)} of {len(fitted.ends)} searches failed; the first: {failed[0].failure}"


def _residuals(comparison: Comparison) -> Iterator[str]:
    trace, watson = comparison.trace, comparison.durbin_watson
    if trace.noise and comparison.spread > LARGER * trace.noise:
        times = comparison.spread / trace.noise
        yield f"the residuals of {trace.column} are {times:.1f} times the noise given: the circuit does not follow it"
    if 1.0 - 0.5 * watson > DRAWN_TOGETHER:
        yield (
            f"neighbouring residuals of {trace.column} hang together (Durbin-Watson {watson:.2f}, independent ones 2): "
            f"something in the circuit or the measurement is not as assumed, and the intervals are too narrow"
        )


def _and(names: list[str]) -> str:
    return " and ".join([", ".join(names[:-1]), names[-1]]) if len(names) > 1 else "".join(names)
