"""The result of a fit: values with intervals, residuals, and what to beware of."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
import numpy.typing as npt

from pneusim.circuit.circuit import Circuit
from pneusim.circuit.scenario import Scenario
from pneusim.studies.fit.certainty import Certainty, durbin_watson
from pneusim.studies.fit.problem import Fit, Trace
from pneusim.studies.fit.search import Ended
from pneusim.studies.fit.unknown import Unknown

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Estimate:
    """A fitted value [SI].

    Attributes
    ----------
    unknown : Unknown
    value : float
    low, high : float or None
        Ends of its confidence interval; None where the data cannot tell, or the value lies on a bound.  They may lie
        outside the bounds.
    deviation : float or None
        Standard deviation.
    """

    unknown: Unknown
    value: float
    low: float | None
    high: float | None
    deviation: float | None

    @property
    def name(self) -> str:
        """What the fit file calls it."""
        return self.unknown.name

    @property
    def bound(self) -> str:
        """Which bound it lies on, ``lower`` or ``upper``; "" if none."""
        return self.unknown.bound_at(self.value)


@dataclass(frozen=True)
class Comparison:
    """A measured column beside what the fitted circuit shows, and what the first guess showed [SI]."""

    trace: Trace
    fitted: Floats
    guessed: Floats | None

    @property
    def residuals(self) -> Floats:
        """Measured less fitted."""
        return self.trace.values - self.fitted

    @property
    def spread(self) -> float:
        """Root mean square of the residuals."""
        return float(np.sqrt(np.mean(self.residuals**2)))

    @property
    def durbin_watson(self) -> float:
        """Of the residuals: 2 if they are independent, towards 0 where they hang together."""
        return durbin_watson(self.residuals)


@dataclass(frozen=True, repr=False)
class Fitted:
    """A finished fit.

    Attributes
    ----------
    fit : Fit
    ends : tuple of Ended
        Of all searches, the best first.
    shares : ndarray
        The fitted values as shares of their bounds.
    certainty : Certainty
    comparisons : tuple of Comparison
        One for each measured column.
    """

    fit: Fit
    ends: tuple[Ended, ...]
    shares: Floats
    certainty: Certainty
    comparisons: tuple[Comparison, ...]

    def __repr__(self) -> str:
        """One line: what was fitted to how much."""
        names = ", ".join(f"{e.name} {e.value:.4g}" for e in self.estimates)
        return f"<Fitted {self.fit.title!r}: {names}; {self.fit.size} values, {len(self.warnings)} warnings>"

    def __getitem__(self, name: str) -> Estimate:
        """The estimate of a name; KeyError if there is none."""
        for estimate in self.estimates:
            if estimate.name == name:
                return estimate
        raise KeyError(name)

    @cached_property
    def estimates(self) -> tuple[Estimate, ...]:
        """The fitted values, in the order of the fit file, the offset last."""
        width = self.certainty.quantile(self.fit.confidence)
        return tuple(
            _estimate(unknown, float(share), float(deviation), width)
            for unknown, share, deviation in zip(self.fit.unknowns, self.shares, self.certainty.deviations)
        )

    @property
    def changes(self) -> dict[str, Any]:
        """Fitted value of every path [SI]."""
        return self.fit.changes(self.shares)

    @cached_property
    def warnings(self) -> tuple[str, ...]:
        """What to beware of, in sentences."""
        from pneusim.studies.fit.warnings import warnings_of

        return tuple(warnings_of(self))

    def circuit(self) -> tuple[Circuit, Scenario]:
        """The circuit and the scenario with the fitted values."""
        return self.fit.with_changes(self.changes)

    def plot(self, column: str = "", units: str = "si") -> Any:
        """Draw a measured column beside the fitted channel, with the residuals below; the first column by default."""
        from importlib import import_module

        return import_module("pneusim.show.figures.fit").figure(self, column, units)


def _estimate(unknown: Unknown, share: float, deviation: float, width: float) -> Estimate:
    value = unknown.value(share)
    if not np.isfinite(deviation) or unknown.bound_at(value):
        return Estimate(unknown, value, None, None, None)
    low, high = unknown.value(share - width * deviation), unknown.value(share + width * deviation)
    return Estimate(unknown, value, low, high, unknown.slope(share) * deviation)
