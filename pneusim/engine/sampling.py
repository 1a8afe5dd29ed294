"""Samples of values over the steps of a run, dense enough for linear interpolation."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import numpy.typing as npt
from numba import njit
from numba import types as numba_types

from pneusim.engine.handed import handed
from pneusim.engine.machine import Machine
from pneusim.engine.part import part
from pneusim.engine.rosenbrock import OBS_TYPE, dense
from pneusim.engine.segments import Steps
from pneusim.engine.tape import Floats, Ints

MOST_PARTS = 64
MARGIN = 1.2

types: Any = numba_types
_floats, _ints, _matrix = types.float64[::1], types.int64[::1], types.float64[:, ::1]
_DENSE = types.FunctionType(types.void(_floats, _floats, _matrix, types.float64, _floats))
_CALLS = (types.FunctionType(OBS_TYPE), _DENSE)
_MODEL = types.Tuple((_ints, _floats, _floats, _ints))
_STEPS = types.Tuple((_floats, _matrix, types.float64[:, :, ::1]))
# Called functions are passed in, typed: numba's cache does not notice edits in other files.
_OPTIONS: Any = dict(cache=True, nogil=True, error_model="numpy")


@njit(types.void(*_CALLS, _MODEL, _STEPS, types.int64, types.float64, _floats, _floats), **_OPTIONS)
def _row(observe, dense, model, steps, k, theta, state, row):  # type: ignore[no-untyped-def]
    """Chosen values at a share of step k."""
    integers, floats, values, places = model
    times, states, vectors = steps
    dense(states[k], states[k + 1], vectors[k], theta, state)
    observe(times[k] + theta * (times[k + 1] - times[k]), state, integers, floats, values)
    for i in range(len(places)):
        row[i] = values[places[i]]


@njit(types.void(*_CALLS, _MODEL, _STEPS, _floats, _ints), **_OPTIONS)
def _parts(observe, dense, model, steps, tolerance, parts):  # type: ignore[no-untyped-def]
    """Number of equal parts of every step so that linear interpolation within a part errs little enough."""
    width = len(tolerance)
    state = np.empty(steps[1].shape[1])
    rows = np.empty((5, width))
    _row(observe, dense, model, steps, 0, 0.0, state, rows[4])
    for k in range(len(parts)):
        rows[0] = rows[4]  # a step begins where the one before has ended
        for quarter in range(1, 5):
            _row(observe, dense, model, steps, k, 0.25 * quarter, state, rows[quarter])
        bend = 0.0
        for i in range(width):
            for j in range(1, 4):
                bend = max(bend, abs(rows[j - 1, i] - 2.0 * rows[j, i] + rows[j + 1, i]) / tolerance[i])
        # Linear interpolation over h/n errs by (h/n)^2 |y''|/8; a second difference of quarters is (h/4)^2 y''.
        parts[k] = min(max(math.ceil(math.sqrt(2.0 * bend) * MARGIN), 1), MOST_PARTS)


@njit(types.void(*_CALLS, _MODEL, _STEPS, _ints, _floats, _matrix), **_OPTIONS)
def _fill(observe, dense, model, steps, parts, times, rows):  # type: ignore[no-untyped-def]
    """Samples at the start of the first step and at the end of every part."""
    state = np.empty(steps[1].shape[1])
    _row(observe, dense, model, steps, 0, 0.0, state, rows[0])
    times[0] = steps[0][0]
    n = 1
    for k in range(len(parts)):
        for j in range(1, parts[k] + 1):
            theta = j / parts[k]
            _row(observe, dense, model, steps, k, theta, state, rows[n])
            times[n] = steps[0][k] + theta * (steps[0][k + 1] - steps[0][k]) if theta < 1.0 else steps[0][k + 1]
            n += 1


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
    kept : ndarray of int, optional
        Which of the values are kept; all of them decide where samples are taken, so that those kept are the same
        whatever else is.
    """

    machine: Machine
    places: npt.NDArray[np.int64]
    tolerance: Floats
    kept: npt.NDArray[np.int64] | None = None
    _times: list[Floats] = field(default_factory=list)
    _rows: list[Floats] = field(default_factory=list)

    def __post_init__(self) -> None:
        self._chosen = self.places if self.kept is None else self.places[self.kept]
        self._integers = part(self.machine.program, self._chosen.tolist())
        self.refine(1.0)

    def refine(self, share: Floats | float) -> None:
        """Allow only a share of the tolerance from now on, one for all values or one for each."""
        self.tolerance = self.tolerance * share
        matters = np.isfinite(self.tolerance)
        self._decisive, self._allowed = self.places[matters], self.tolerance[matters]
        self._integers_of_decisive = part(self.machine.program, self._decisive.tolist())

    def now(self) -> None:
        """Sample the machine as it stands."""
        self._add(np.array([self.machine.time]), self.machine.observe()[self._chosen][np.newaxis])

    def take(self, steps: Steps) -> None:
        """Sample the steps of one advance, with the numbers under which they were made."""
        count = len(steps.vectors)
        if not count:
            return
        m = self.machine
        calls = (handed(m.kernel.observe), handed(dense))
        record = (steps.times, steps.states, steps.vectors)
        parts: Ints = np.zeros(count, np.int64)
        decisive = self._integers_of_decisive, m.floats, m.values, self._decisive
        _parts(*calls, decisive, record, self._allowed, parts)
        size = int(parts.sum()) + 1
        times, rows = np.empty(size), np.empty((size, len(self._chosen)))
        _fill(*calls, (self._integers, m.floats, m.values, self._chosen), record, parts, times, rows)
        self._add(times, rows)

    def _add(self, times: Floats, rows: Floats) -> None:
        """Append; a first sample that only repeats the last one is dropped."""
        if self._times and self._times[-1][-1] == times[0] and np.array_equal(self._rows[-1][-1], rows[0]):
            times, rows = times[1:], rows[1:]
        if len(times):
            self._times.append(times)
            self._rows.append(rows)

    def samples(self) -> tuple[Floats, Floats]:
        """Times, shape (n,), and the values that are kept, shape (n, k)."""
        if not self._times:
            return np.zeros(0), np.zeros((0, len(self._chosen)))
        return np.concatenate(self._times), np.concatenate(self._rows)

    def forget(self) -> None:
        """Let go of all samples."""
        self._times.clear()
        self._rows.clear()
