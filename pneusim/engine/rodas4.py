"""Rodas4 on one model: the buffers and the memory that the compiled `integrate` works on."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from pneusim.engine import sparse
from pneusim.engine.handed import handed
from pneusim.engine.rosenbrock import CULPRIT, INFO, STATS, Call, Flag, FloatArray, Tape, integrate
from pneusim.engine.tableau import RODAS4


class Rodas4:
    """Integrator of one model: holds the buffers and the memory that `integrate` works on.

    Parameters
    ----------
    rhs, jac, obs : compiled functions
        Of the types `RHS_TYPE`, `JAC_TYPE` and `OBS_TYPE`.
    symbolic : sparse.Symbolic
        Pattern of the Jacobian.
    tape : tuple of arrays
        (I, F, v, g), passed on to the functions.
    rtol : float
        Relative tolerance, 1e-10 to 1e-2.
    atol : float or array (n,)
        Absolute tolerance of each state, in its unit.
    positive : int array
        States that must stay above zero.
    capacity : int
        Steps that the record holds, at least 1.

    Attributes
    ----------
    times, states, vectors : float64 arrays (capacity + 1,), (capacity + 1, n), (capacity, 3, n)
        The record of the latest `advance`, see `integrate` and `dense`.
    h : float
        Step wished next [s].
    observed : int64 array
        What ``obs`` takes for I: the tape's, unless something shorter gives all values that events look at.
    stats : int64 array (6,)
        See `integrate`.
    """

    def __init__(
        self,
        rhs: Call,
        jac: Call,
        obs: Call,
        symbolic: sparse.Symbolic,
        tape: Tape,
        rtol: float,
        atol: ArrayLike,
        positive: ArrayLike = (),
        capacity: int = 256,
    ) -> None:
        n = symbolic.n
        self.times = np.zeros(capacity + 1)
        self.states = np.zeros((capacity + 1, n))
        self.vectors = np.zeros((capacity, 3, n))
        self.stats = np.zeros(len(STATS), np.int64)
        self._info = np.zeros(len(INFO))
        self._calls = tuple(map(handed, (rhs, jac, obs, sparse.factor, sparse.solve)))
        self.observed = tape[0]
        self._method = tape, symbolic.arrays, RODAS4.arrays, RODAS4.gamma, float(RODAS4.order)
        self._limits = rtol, np.full(n, atol, np.float64), np.array(positive, np.int64)
        self.restart(1e-5)

    def restart(self, h: float) -> None:
        """Forget the step control's memory, as is due after a discontinuity, and begin with step h [s]."""
        self.h = h
        self._info[:] = 0.0

    @property
    def culprit(self) -> int:
        """Number of the state that limited most of the latest attempts."""
        return int(self.stats[CULPRIT])

    def advance(
        self,
        t: float,
        t_end: float,
        y: FloatArray,
        events: tuple[ArrayLike, ArrayLike, ArrayLike] = ((), (), ()),
        h_max: float = math.inf,
        step_budget: int = 10**9,
    ) -> tuple[float, Flag, int]:
        """Advance y in place from t towards t_end.

        Parameters
        ----------
        t, t_end, y, events, h_max, step_budget
            See `integrate`; the budget counts from when this object was made.

        Returns
        -------
        t : float
            Time reached [s].
        flag : Flag
            Why it stopped.
        steps : int
            Steps in the record.
        """
        index, level, sign = events
        armed = np.array(index, np.int64), np.array(level, np.float64), np.array(sign, np.float64), self.observed
        record = self.times, self.states, self.vectors
        t, self.h, flag, steps = integrate(
            *self._calls, *self._method, t, t_end, y, self.h, h_max, *self._limits, armed, record,
            self.stats, self._info, step_budget,
        )  # fmt: skip
        return t, Flag(flag), steps
