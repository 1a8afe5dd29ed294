"""Samples of values over the steps of a run, dense enough for linear interpolation."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from pneusim.engine.machine import Machine
from pneusim.engine.rosenbrock import dense
from pneusim.engine.segments import Steps
from pneusim.engine.tape import Floats

PROBES = (0.25, 0.5, 0.75)
MOST_PARTS = 64


@dataclass
class Sampler:
    """Collects chosen values at accepted steps and at points of the dense output between them.

    Parameters
    ----------
    machine : Machine
    places : ndarray of int, shape (k,)
        Places of the values wanted.
    tolerance : ndarray, shape (k,)
        Largest error of linear interpolation wanted, in each value's unit; inf = no matter.
    """

    machine: Machine
    places: npt.NDArray[np.int64]
    tolerance: Floats
    times: list[float] = field(default_factory=list)
    rows: list[Floats] = field(default_factory=list)

    def now(self) -> None:
        """Sample the machine as it stands (once more after a patch: the limit from the right)."""
        row = self.machine.observe()[self.places]
        if self.times and self.times[-1] == self.machine.time and np.array_equal(self.rows[-1], row):
            return
        self._add(self.machine.time, row)

    def take(self, steps: Steps) -> None:
        """Sample the steps of one advance, with the numbers under which they were made."""
        if not len(steps.vectors):
            return
        left = self._row(steps.times[0], steps.states[0])
        if not (self.times and self.times[-1] == steps.times[0] and np.array_equal(self.rows[-1], left)):
            self._add(float(steps.times[0]), left)
        for k in range(len(steps.vectors)):
            left = self._step(steps, k, left)

    def _step(self, steps: Steps, k: int, left: Floats) -> Floats:
        t0, t1 = float(steps.times[k]), float(steps.times[k + 1])
        right = self._row(t1, steps.states[k + 1])
        probes = [self._row_at(steps, k, theta) for theta in PROBES]
        miss = max(
            float(np.max(np.abs(row - (1.0 - theta) * left - theta * right) / self.tolerance))
            for theta, row in zip(PROBES, probes, strict=True)
        )
        # The error of linear interpolation falls with the square of the number of parts.
        parts = min(int(np.ceil(np.sqrt(miss) * 1.2)), MOST_PARTS)
        for j in range(1, parts):
            self._add(t0 + (t1 - t0) * j / parts, self._row_at(steps, k, j / parts))
        self._add(t1, right)
        return right

    def _row(self, t: float, state: Floats) -> Floats:
        m = self.machine
        m.kernel.observe(t, state, m.program.integers, m.floats, m.values)
        return m.values[self.places]

    def _row_at(self, steps: Steps, k: int, theta: float) -> Floats:
        state = np.empty_like(steps.states[k])
        dense(steps.states[k], steps.states[k + 1], steps.vectors[k], theta, state)
        return self._row(float(steps.times[k] + theta * (steps.times[k + 1] - steps.times[k])), state)

    def _add(self, t: float, row: Floats) -> None:
        self.times.append(t)
        self.rows.append(row)
