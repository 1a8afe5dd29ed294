"""Plans: which values the parameters of a sweep have in each case."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Any

import numpy as np
import numpy.typing as npt

from pneusim.errors import UsageError
from pneusim.studies.sweep.parameter import Parameter

GRID, LIST, LATIN, SOBOL, INDICES = "grid", "list", "latin_hypercube", "sobol", "indices"
KINDS = (GRID, LIST, LATIN, SOBOL, INDICES)
RANDOM = (LATIN, SOBOL)
"""Plans that draw from the distributions so that a share of the cases estimates a probability, with an interval.

The points of ``indices`` repeat coordinates of each other, and no interval for independent cases holds for them.
"""

MOST_CASES = 1_000_000

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Plan:
    """How cases are chosen.

    Attributes
    ----------
    kind : str
        ``grid`` (every combination), ``list`` (the values of all parameters side by side), ``latin_hypercube``,
        ``sobol`` (scrambled Sobol points), or ``indices`` (the points that Sobol's indices of sensitivity need).
    cases : int
        Of a random plan; of ``indices`` its base, see `size`.
    seed : int
    """

    kind: str
    cases: int = 0
    seed: int = 0

    def size(self, parameters: Sequence[Parameter]) -> int:
        """Number of cases: for ``indices`` that is base x (axes + 2)."""
        if self.kind == GRID:
            return math.prod(parameter.points() for parameter in parameters)
        if self.kind == LIST:
            return max(len(parameter.values) for parameter in parameters)
        return self.cases * (len(axes(parameters)) + 2) if self.kind == INDICES else self.cases

    def rows(self, parameters: Sequence[Parameter]) -> Iterator[dict[str, Any]]:
        """Values of all paths, case by case."""
        if self.kind == GRID:
            for numbers in product(*(range(parameter.points()) for parameter in parameters)):
                yield _joined(parameter.point(n) for parameter, n in zip(parameters, numbers))
        elif self.kind == LIST:
            for n in range(self.size(parameters)):
                yield _joined(parameter.point(n if len(parameter.values) > 1 else 0) for parameter in parameters)
        else:
            yield from (at(parameters, shares) for shares in self.shares(parameters))

    def shares(self, parameters: Sequence[Parameter]) -> Floats:
        """Points of a random plan in the unit cube, shape (cases, axes).

        Raises
        ------
        UsageError
            For ``indices`` without SALib.
        """
        from scipy.stats import qmc

        count = len(axes(parameters))
        if self.kind == LATIN:
            return np.asarray(qmc.LatinHypercube(count, seed=self.seed).random(self.cases))
        if self.kind == SOBOL:
            return np.asarray(qmc.Sobol(count, seed=self.seed).random(self.cases))
        sample = salib("sample.sobol").sample
        found = sample(problem(parameters), self.cases, calc_second_order=False, seed=self.seed)
        return np.asarray(found, np.float64)


def axes(parameters: Sequence[Parameter]) -> list[str]:
    """Names of all that is drawn."""
    return [axis for parameter in parameters for axis in parameter.axes]


def at(parameters: Sequence[Parameter], shares: Sequence[float] | Floats) -> dict[str, Any]:
    """Values of all paths for a point of the unit cube."""
    first, found = 0, dict[str, Any]()
    for parameter in parameters:
        count = len(parameter.axes)
        found |= parameter.at(list(shares[first : first + count]))
        first += count
    return found


def problem(parameters: Sequence[Parameter]) -> dict[str, Any]:
    """The unit cube, as SALib wants it described."""
    names = axes(parameters)
    return {"num_vars": len(names), "names": names, "bounds": [[0.0, 1.0]] * len(names)}


def salib(module: str) -> Any:
    """A module of SALib.

    Raises
    ------
    UsageError
        If it is not installed.
    """
    from importlib import import_module

    try:
        return import_module(f"SALib.{module}")
    except ImportError:
        raise UsageError("Sobol's indices need SALib; install 'pneusim[sensitivity]'") from None


def _joined(parts: Iterator[dict[str, Any]]) -> dict[str, Any]:
    return {path: value for part in parts for path, value in part.items()}
