"""Measures against their limits, with what is left between them."""

from __future__ import annotations

from typing import NamedTuple

from pneusim.quantities import unit_of
from pneusim.results.restate import restate
from pneusim.results.run import MeasureResult, Run
from pneusim.results.words import amount, measure_words


class Judged(NamedTuple):
    """A measure with a limit, in words: its value, the limit and where it is from, the margin (negative beyond the
    limit), the verdict."""

    name: str
    words: str
    value: str
    limit: str
    margin: str
    met: bool


def judged(run: Run, system: str = "si") -> list[Judged]:
    """All measures of a run that have a limit."""
    return [_one(run, result, system) for result in run.measures if result.limit]


def margin(run: Run, result: MeasureResult) -> float | None:
    """Distance to the nearest of a measure's limits [SI], negative beyond it; None without a value."""
    if result.value is None:
        return None
    own = [expectation for expectation in run.scenario.expectations if expectation.measure == result.name]
    above = [result.value - expectation.low for expectation in own if expectation.low is not None]
    below = [expectation.high - result.value for expectation in own if expectation.high is not None]
    return min([*above, *below], default=None)


def nearest(run: Run) -> MeasureResult | None:
    """The measure that comes nearest to its limit, by its margin over the limit; None if none has a limit."""
    shares = {}
    for result in run.measures:
        left = margin(run, result)
        if left is not None and result.value is not None:
            limits = [e for e in run.scenario.expectations if e.measure == result.name]
            scale = max(abs(bound) for e in limits for bound in (e.low, e.high) if bound is not None)
            shares[result.name] = (left / (scale or 1.0), result)
    return min(shares.values(), key=lambda pair: pair[0])[1] if shares else None


def _one(run: Run, result: MeasureResult, system: str) -> Judged:
    words = measure_words(run, result.name, system)
    limit = restate(result.limit, system) + (f" ({result.source})" if result.source else "")
    if result.value is None:
        return Judged(result.name, words, f"no value: {restate(result.reason, system)}", limit, "", False)
    error = f" ± {amount(result.error, result.dimension, system)}" if result.error is not None else ""
    left = margin(run, result)
    beyond = "" if left is None else _difference(left, result.dimension, system)
    value = f"{amount(result.value, result.dimension, system)}{error}"
    return Judged(result.name, words, value, limit, beyond, bool(result.met))


def _difference(value: float, dimension: str, system: str) -> str:
    """A difference with its sign; of temperatures without the offset of their scale.

    Examples
    --------
    >>> _difference(-0.0204, "time", "si"), _difference(12e3, "pressure", "us")
    ('-0.0204 s', '+1.74 psi')
    """
    unit = unit_of(dimension, system)
    return f"{value / unit.factor:+.3g} {unit.symbol}".rstrip()
