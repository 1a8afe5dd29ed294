"""The worst case of a limit: searched by differential evolution in the cube of all shares, cases in parallel.

References
----------
Storn and Price, J. Global Optim. 11 (1997) 341-359.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any

import numpy as np
import numpy.typing as npt

from pneusim.circuit.scenario import Expectation
from pneusim.studies.case import Case
from pneusim.studies.outcome import Outcome
from pneusim.studies.sweep.plans import at, axes
from pneusim.studies.sweep.result import WorstCase, by_axis, margin
from pneusim.studies.sweep.study import Study, Worst

Floats = npt.NDArray[np.float64]
Compute = Callable[[Iterable[Case | Outcome]], Sequence[Outcome]]

NO_VALUE = -1e30
"""Margin that counts for a case without a value."""

PER_AXIS, LEAST = 4, 8
"""Members of the population for each axis, and at least."""

NEAR = 1e-3
"""The search ends when the margins of its population differ by less than this share of them."""


def worst_cases(study: Study, worst: Worst, compute: Compute) -> tuple[WorstCase, ...]:
    """The worst case found of every limit.

    Parameters
    ----------
    compute : callable
        Gives the outcomes of cases, in their order.
    """
    return tuple(_Search(study, limit, compute).run(worst) for limit in study.limits)


class _Search:
    """The search for one limit; remembers the worst that it has seen."""

    def __init__(self, study: Study, limit: Expectation, compute: Compute) -> None:
        self.study, self.limit, self.compute = study, limit, compute
        self.count = 0
        self.margin = float("inf")
        self.shares: Floats = np.full(len(axes(study.parameters)), 0.5)
        self.value: float | None = None

    def run(self, worst: Worst) -> WorstCase:
        """Search with as many cases as the study allows."""
        from scipy.optimize import differential_evolution

        size = min(max(PER_AXIS * len(self.shares), LEAST), worst.cases)
        rounds = worst.cases // size - 1
        start = self._start(size, worst.seed)
        if rounds < 1:
            self.margins(start.T)
        else:
            differential_evolution(
                self.margins, [(0.0, 1.0)] * len(self.shares), maxiter=rounds, init=start, seed=worst.seed, tol=NEAR,
                vectorized=True, updating="deferred", polish=False,
            )  # fmt: skip
        values = by_axis(self.study, at(self.study.parameters, self.shares))
        left = None if self.value is None else self.margin
        return WorstCase(self.limit, values, self.value, left, self.count)

    def margins(self, points: Any) -> Floats:
        """Margins of points, shape (axes, n): what is to be as small as possible."""
        first = self.count
        columns = np.atleast_2d(np.asarray(points, float).T)
        cases = (
            self.study.entered(f"worst {first + k}", at(self.study.parameters, shares))
            for k, shares in enumerate(columns, 1)
        )
        outcomes = self.compute(cases)
        self.count += len(columns)
        found = np.array([self._margin(outcome) for outcome in outcomes])
        k = int(np.argmin(found))
        if found[k] < self.margin:
            self.margin, self.shares = float(found[k]), columns[k]
            self.value = outcomes[k].measures.get(self.limit.measure)
        return found

    def _margin(self, outcome: Outcome) -> float:
        value = outcome.measures.get(self.limit.measure)
        return NO_VALUE if value is None else margin(self.limit, value)

    def _start(self, size: int, seed: int) -> Floats:
        """A Latin hypercube whose outer points are moved to corners: most worst cases lie in one."""
        from scipy.stats import qmc

        points = np.asarray(qmc.LatinHypercube(len(self.shares), seed=seed).random(size))
        corners = size // 2
        points[:corners] = np.round(points[:corners])
        return points
