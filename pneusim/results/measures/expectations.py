"""What the scenario expects of its measures: the limit in words, and whether it was met."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from difflib import get_close_matches

from pneusim.circuit.scenario import Expectation
from pneusim.quantities import express
from pneusim.results.run import MeasureResult


def judge(results: Sequence[MeasureResult], expectations: Sequence[Expectation]) -> list[MeasureResult]:
    """Results with the expectations written in; an unknown measure gets its own."""
    judged = {result.name: result for result in results}
    for expectation in expectations:
        result = judged.get(expectation.measure) or _unknown(expectation.measure, list(judged))
        words = limit_in_words(expectation, result.dimension)
        met = _met(expectation, result.value)
        source = expectation.source
        if result.limit:
            words, met = f"{result.limit} and {words}", bool(result.met) and met
            source = "; ".join(dict.fromkeys(filter(None, (result.source, source))))
        judged[result.name] = replace(result, limit=words, met=met, source=source)
    return list(judged.values())


def limit_in_words(expectation: Expectation, dimension: str, system: str = "si") -> str:
    """``at most 0.45 s``, ``at least 350 kPa``, ``between 0.1 s and 0.2 s``."""
    low = None if expectation.low is None else express(expectation.low, dimension, system)
    high = None if expectation.high is None else express(expectation.high, dimension, system)
    if low and high:
        return f"between {low} and {high}"
    return f"at most {high}" if high else f"at least {low}"


def _met(expectation: Expectation, value: float | None) -> bool:
    if value is None:
        return False
    above = expectation.low is None or value >= expectation.low
    below = expectation.high is None or value <= expectation.high
    return above and below


def _unknown(name: str, known: list[str]) -> MeasureResult:
    near = ", ".join(get_close_matches(name, known, n=3, cutoff=0.5)) or "none is near"
    return MeasureResult(name, None, "number", f"this run has no measure of that name; nearest: {near}")
