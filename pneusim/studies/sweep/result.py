"""The result of a sweep: a row for every case, and what they tell together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from pneusim.circuit.scenario import Expectation
from pneusim.results.units import si_unit
from pneusim.studies.outcome import FAILED, Outcome
from pneusim.studies.sweep.plans import INDICES, axes, problem
from pneusim.studies.sweep.statistics import (
    Correlation,
    Index,
    Summary,
    Yield,
    interval,
    rank_correlations,
    sobol_indices,
    summary,
)
from pneusim.studies.sweep.study import Study

CASE, STATUS, MESSAGE, KEY, KEPT = COLUMNS = ("case", "status", "message", "key", "limits_kept")
"""Columns that the table has beside parameters and measures."""


@dataclass(frozen=True)
class WorstCase:
    """The worst case found of a limit.

    ``values`` are those of the axes [SI]; ``value`` is the measure, None if it has none there, which is the worst of
    all; ``margin`` is what is left to the limit, negative beyond it; ``cases`` were searched.
    """

    limit: Expectation
    values: Mapping[str, Any]
    value: float | None
    margin: float | None
    cases: int


@dataclass(frozen=True, repr=False)
class Sweep:
    """A finished sweep.

    Attributes
    ----------
    study : Study
    nominal : Outcome
        Of the circuit without any change.
    outcomes : tuple of Outcome
        In the order of the plan.
    dimensions : Mapping[str, str]
        Dimension of every measure.
    worst : tuple of WorstCase
        One for every limit, if the study asks for them.
    """

    study: Study
    nominal: Outcome
    outcomes: tuple[Outcome, ...]
    dimensions: Mapping[str, str]
    worst: tuple[WorstCase, ...] = ()

    def __repr__(self) -> str:
        """One line: what was varied, how many cases, how many failed."""
        return (
            f"<Sweep {self.study.title!r}: {len(self.outcomes)} cases, {self.failed} failed, "
            f"{len(self.axes)} axes, {len(self.study.measures)} measures>"
        )

    @property
    def axes(self) -> list[str]:
        """Names of all that was varied."""
        return axes(self.study.parameters)

    @property
    def failed(self) -> int:
        """Number of cases that failed."""
        return sum(outcome.status == FAILED for outcome in self.outcomes)

    @cached_property
    def columns(self) -> dict[str, list[Any]]:
        """Values of every axis, case by case [SI]; of paths moved together that of the first."""
        found: dict[str, list[Any]] = {axis: [] for axis in self.axes}
        for values in self.study.plan.rows(self.study.parameters):
            for axis, value in by_axis(self.study, values).items():
                found[axis].append(value)
        return found

    def values(self, measure: str) -> list[float | None]:
        """A measure, case by case [SI]."""
        return [outcome.measures.get(measure) for outcome in self.outcomes]

    def rows(self) -> list[dict[str, Any]]:
        """A dictionary for each case: number, status, message, key, axes, measures, whether all limits are kept."""
        return [
            {
                CASE: outcome.name, STATUS: outcome.status, MESSAGE: _message(outcome), KEY: outcome.key,
                **{axis: column[k] for axis, column in self.columns.items()},
                **{measure: outcome.measures.get(measure) for measure in self.study.measures},
                **({KEPT: self.kept_all(outcome)} if self.study.limits else {}),
            }
            for k, outcome in enumerate(self.outcomes)
        ]  # fmt: skip

    def to_pandas(self) -> Any:
        """The rows as a DataFrame indexed by case (needs pandas)."""
        import pandas as pd

        return pd.DataFrame(self.rows()).set_index(CASE)

    def unit(self, column: str) -> str:
        """SI unit of an axis or a measure."""
        return si_unit(self.dimension(column))

    def dimension(self, column: str) -> str:
        """Dimension of an axis or a measure."""
        if column in self.dimensions:
            return self.dimensions[column]
        return next((p.dimension for p in self.study.parameters if column in p.axes), "number")

    # ---- what they tell together

    @cached_property
    def summaries(self) -> dict[str, Summary]:
        """Summary of every measure."""
        return {measure: summary(self.values(measure)) for measure in self.study.measures}

    def kept_all(self, outcome: Outcome) -> bool:
        """Whether a case keeps all limits; one that failed keeps none."""
        return all(kept(limit, outcome) for limit in self.study.limits)

    @cached_property
    def yields(self) -> dict[str, Yield]:
        """Yield of every limit by its key, and of all together (``all``)."""
        limits: dict[str, Sequence[bool]] = {
            limit_key(limit): [kept(limit, outcome) for outcome in self.outcomes] for limit in self.study.limits
        }
        if limits:
            limits["all"] = [self.kept_all(outcome) for outcome in self.outcomes]
        return {key: self._yield(sum(found)) for key, found in limits.items()}

    def _yield(self, number: int) -> Yield:
        study, cases = self.study, len(self.outcomes)
        if not study.drawn:
            return Yield(number, cases)
        return Yield(number, cases, *interval(number, cases, study.confidence, study.interval))

    @cached_property
    def correlations(self) -> dict[str, dict[str, Correlation]]:
        """Partial rank correlation of every measure with every axis, if cases are drawn from distributions."""
        if not self.study.drawn:
            return {}
        columns = {axis: self._numbers(axis) for axis in self.axes}
        return {
            measure: rank_correlations(columns, self.values(measure), self.study.confidence)
            for measure in self.study.measures
        }

    @cached_property
    def indices(self) -> dict[str, dict[str, Index]]:
        """Sobol's indices of every measure, if the plan is made for them."""
        study = self.study
        if study.plan.kind != INDICES:
            return {}
        cube = problem(study.parameters)
        return {
            measure: sobol_indices(cube, self.values(measure), study.confidence, study.plan.seed)
            for measure in study.measures
        }

    def _numbers(self, axis: str) -> list[float]:
        """Values of an axis as numbers; words by their place in the list."""
        parameter = next(p for p in self.study.parameters if axis in p.axes)
        column = self.columns[axis]
        return column if parameter.numeric else [float(parameter.values.index(value)) for value in column]

    # ---- pictures

    def plot(self, measure: str = "", kind: str = "", units: str = "si") -> Any:
        """Draw a measure and return the matplotlib Figure.

        Parameters
        ----------
        measure : str
            Name; the first measure by default.
        kind : {"response", "scatter", "tornado", "histogram"}
            The first that the plan allows by default.
        """
        from importlib import import_module  # the layer above, loaded when asked

        draw: Any = import_module("pneusim.show.figures.sweep_pictures").figure
        return draw(self, measure, kind, units)


def by_axis(study: Study, values: Mapping[str, Any]) -> dict[str, Any]:
    """Values of axes of values of paths."""
    return {
        axis: values[path] for parameter in study.parameters for axis, path in zip(parameter.axes, parameter.paths)
    }


def _message(outcome: Outcome) -> str:
    """Why a case failed, or why a measure of it has no value."""
    reasons = outcome.extra.get("reasons", {})
    return outcome.message or "; ".join(f"{name}: {reason}" for name, reason in reasons.items())


def kept(limit: Expectation, outcome: Outcome) -> bool:
    """Whether a case keeps a limit; without a value it does not."""
    value = outcome.measures.get(limit.measure)
    left = None if value is None else margin(limit, value)
    return left is not None and left >= 0.0


def margin(limit: Expectation, value: float) -> float:
    """What is left from a value to a limit [SI], negative beyond it."""
    low = float("inf") if limit.low is None else value - limit.low
    high = float("inf") if limit.high is None else limit.high - value
    return min(low, high)


def limit_key(limit: Expectation) -> str:
    """A limit as the key of a yield: ``response_time <= 0.6`` [SI]."""
    low = "" if limit.low is None else f"{limit.low!r} <= "
    high = "" if limit.high is None else f" <= {limit.high!r}"
    return f"{low}{limit.measure}{high}"
