"""A fit as data: a circuit and its scenario, measured traces, the unknowns, and how they are searched."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import numpy.typing as npt

from pneusim.circuit.circuit import Circuit
from pneusim.circuit.scenario import Scenario
from pneusim.studies.case import canonical
from pneusim.studies.fit.unknown import Unknown
from pneusim.studies.sweep.targets import changed

Floats = npt.NDArray[np.float64]

RTOL = 1e-5
"""Relative tolerance of the runs.  Derivatives are differences of runs, so these must be alike to many digits."""

STARTS = 4
CONFIDENCE = 0.95
OFFSET = "offset"


@dataclass(frozen=True)
class Trace:
    """A measured column and the channel that it is held against.

    Attributes
    ----------
    column, channel : str
    dimension : str
    times, values : ndarray, shape (n,)
        On the clock of the file [s], and SI, pressures gauge.
    noise : float or None
        Standard deviation of the measurement [SI]; None = it is told from the residuals.
    """

    column: str
    channel: str
    dimension: str
    times: Floats
    values: Floats
    noise: float | None = None


@dataclass(frozen=True)
class Fit:
    """What is to be fitted.

    Attributes
    ----------
    name, title : str
    circuit : Circuit
        With the variant's changes.
    scenario : Scenario
    traces : tuple of Trace
    unknowns : tuple of Unknown
        Parameters; the offset is the last one if it is looked for.
    offset : float
        What the clock of the file shows when that of the run shows 0 [s], if it is not looked for.
    starts, seed : int
        How many searches there are: the first from the starts given, the others from points of a Latin hypercube.
    confidence : float
        Of the intervals, 0..1.
    rtol : float
    variant : str
        Name of the variant, "" for none.
    left_out : int
        Rows of the file outside the run or the window.
    """

    name: str
    circuit: Circuit
    scenario: Scenario
    traces: tuple[Trace, ...]
    unknowns: tuple[Unknown, ...]
    offset: float = 0.0
    starts: int = STARTS
    seed: int = 0
    confidence: float = CONFIDENCE
    rtol: float = RTOL
    title: str = ""
    variant: str = ""
    left_out: int = 0
    source: str = field(default="", compare=False)

    @property
    def parameters(self) -> tuple[Unknown, ...]:
        """The unknowns without the offset."""
        return tuple(unknown for unknown in self.unknowns if unknown.paths)

    @property
    def size(self) -> int:
        """Number of measured values."""
        return sum(len(trace.values) for trace in self.traces)

    def values(self, shares: Floats) -> dict[str, float]:
        """Value of every unknown [SI]."""
        return {u.name: u.value(float(share)) for u, share in zip(self.unknowns, shares)}

    def changes(self, shares: Floats) -> dict[str, Any]:
        """Value of every path [SI]."""
        return {path: u.value(float(share)) for u, share in zip(self.unknowns, shares) for path in u.paths}

    def offset_at(self, shares: Floats) -> float:
        """The offset [s]."""
        return self.values(shares).get(OFFSET, self.offset)

    def with_changes(self, changes: Mapping[str, Any]) -> tuple[Circuit, Scenario]:
        """Circuit and scenario with changes [SI].

        Raises
        ------
        UsageError
            If values do not go together.
        """
        return changed(self.circuit, self.scenario, changes)

    def digest(self) -> str:
        """Hash of what a search depends on beside circuit, scenario and tolerance."""
        return hashlib.sha256(canonical((self.traces, self.unknowns, self.offset)).encode()).hexdigest()
