"""Stiffly accurate Rosenbrock integration of ``y' = f(t, y)``: sparse Jacobian, dense output, events.

The model and the linear algebra come in as typed function pointers. The object code here is therefore
independent of both, and the compiler's cache, which is keyed by this file alone and does not notice edits of
callees in other files, stays right: every function compiled into `integrate` is written below. Keep it so (a
test looks).

References
----------
Hairer and Wanner, Solving Ordinary Differential Equations II, 2nd ed., Springer 1996: sections IV.7
(Rosenbrock methods), IV.8 (step size, predictive controller of Gustafsson) and VI.4 (stiffly accurate
methods, dense output).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from enum import IntEnum
from typing import Any

import numpy as np
from numba import njit, types
from numpy.typing import NDArray

from pneusim.engine import sparse

IntArray = NDArray[np.int64]
FloatArray = NDArray[np.float64]
Call = Callable[..., None]
Tape = tuple[IntArray, FloatArray, FloatArray, FloatArray]
Arrays = tuple[Any, ...]

_number, _floats, _ints = types.float64, types.float64[::1], types.int64[::1]
_matrix = types.float64[:, ::1]
_tuple: Any = types.Tuple

RHS_TYPE = types.void(_number, _floats, _floats, _ints, _floats, _floats)
"""``rhs(t, y, dy, I, F, v)`` fills dy; I and F are the model's numbers, v its work array of values."""

JAC_TYPE = types.void(_number, _floats, _floats, _floats, _ints, _floats, _floats, _floats)
"""``jac(t, y, dy, jv, I, F, v, g)`` fills dy as rhs does, and jv, of length nnz + n: at the positions of the
pattern -df/dy, zero at fill, and at ``nnz + i`` -df_i/dt; g is scratch."""

OBS_TYPE = types.void(_number, _floats, _ints, _floats, _floats)
"""``obs(t, y, I, F, v)`` fills v, from which events read; the values depend on the arguments alone."""

_CALLS = [
    types.FunctionType(signature)
    for signature in (RHS_TYPE, JAC_TYPE, OBS_TYPE, sparse.FACTOR_TYPE, sparse.SOLVE_TYPE)
]
_TAPE = _tuple((_ints, _floats, _floats, _floats))
_TABLEAU = _tuple((_matrix, _matrix, _floats, _floats, _matrix))
_EVENTS = _tuple((_ints, _floats, _floats, _ints))
_RECORD = _tuple((_floats, _matrix, types.float64[:, :, ::1]))
_RESULT = _tuple((_number, _number, types.int64, types.int64))

STATS = ACCEPTED, REJECTED, RHS_CALLS, JAC_CALLS, CULPRIT, VOTES = 0, 1, 2, 3, 4, 5
INFO = LAST_H, LAST_ERROR, WAS_REJECTED = 0, 1, 2
SAFETY, GROW_MAX, SHRINK_MAX = 0.9, 6.0, 5.0
VOTES_MAX = 8


class Flag(IntEnum):
    """Why `integrate` returned."""

    REACHED = 0
    EVENT = 1
    FULL = 2
    UNDERFLOW = -1
    BUDGET = -2


_REACHED, _EVENT, _FULL, _UNDERFLOW, _BUDGET = (int(flag) for flag in Flag)


@njit(types.void(_floats, _floats, _matrix, _number, _floats), cache=True, nogil=True, error_model="numpy")
def dense(y0: FloatArray, y1: FloatArray, d: FloatArray, theta: float, out: FloatArray) -> None:
    """State inside a recorded step.

    Parameters
    ----------
    y0, y1 : float64 arrays (n,)
        States at the start and the end of the step.
    d : float64 array (3, n)
        The step's dense-output vectors.
    theta : float
        Place in the step, 0 to 1.
    out : float64 array (n,)
        Receives the state.
    """
    rest = 1.0 - theta
    for m in range(out.size):
        inner = d[0, m] + theta * (d[1, m] + theta * d[2, m])
        out[m] = rest * y0[m] + theta * (y1[m] + rest * inner)


@njit(cache=True, nogil=True, error_model="numpy")
def _cut(y1: FloatArray, d: FloatArray, theta: float, at_theta: FloatArray) -> None:
    """Make the dense output of a step describe its part up to theta, where the state is `at_theta`."""
    for m in range(y1.size):
        d1, d2, d3 = d[0, m], d[1, m], d[2, m]
        d[2, m] = theta**4 * d3
        d[1, m] = d[2, m] + theta**3 * (d2 - d3)
        d[0, m] = d[1, m] + theta**2 * (d1 - d2)
        y1[m] = at_theta[m]


@njit(cache=True, nogil=True, error_model="numpy")
def _dense_vectors(weights: FloatArray, U: FloatArray, d: FloatArray) -> None:
    for k in range(3):
        for m in range(U.shape[1]):
            d[k, m] = 0.0
        for j in range(U.shape[0]):
            if weights[k, j] != 0.0:
                for m in range(U.shape[1]):
                    d[k, m] += weights[k, j] * U[j, m]


@njit(cache=True, nogil=True, error_model="numpy")
def _first_outside(y: FloatArray, positive: IntArray) -> int:
    """First flagged state that is not above zero, or -1."""
    for m in positive:
        if not y[m] > 0.0:
            return int(m)
    return -1


@njit(cache=True, nogil=True, error_model="numpy")
def _stages(
    rhs: Call, factor: Call, solve: Call, tape: Tape, lu: Arrays, tableau: Arrays, gamma: float,
    t: float, t_end: float, h: float, y: FloatArray, f0: FloatArray, jv: FloatArray, ramps: bool,
    positive: IntArray, work: Arrays,
) -> int:  # fmt: skip
    """Increments U of one step and the argument of its last stage; returns a state found outside, or -1."""
    integers, numbers, v, _ = tape
    a, C, c, d, _ = tableau
    U, values, pivots, stage, f, b, scratch = work
    n = y.size
    factor(jv, 1.0 / (h * gamma), lu, values, pivots)
    for i in range(c.size):
        if i == 0:
            for m in range(n):
                b[m] = f0[m]
        else:
            for m in range(n):
                stage[m] = y[m]
                b[m] = 0.0
            for j in range(i):
                aij, cij = a[i, j], C[i, j] / h
                for m in range(n):
                    stage[m] += aij * U[j, m]
                    b[m] += cij * U[j, m]
            outside = _first_outside(stage, positive)
            if outside >= 0:
                return outside
            rhs(min(t + c[i] * h, t_end), stage, f, integers, numbers, v)
            for m in range(n):
                b[m] += f[m]
        if ramps and d[i] != 0.0:
            for m in range(n):
                b[m] -= h * d[i] * jv[values.size + m]
        solve(values, pivots, lu, b, U[i], scratch)
    return -1


@njit(cache=True, nogil=True, error_model="numpy")
def _finish(
    y: FloatArray, stage: FloatArray, last: FloatArray, rtol: float, atol: FloatArray, positive: IntArray,
    y1: FloatArray,
) -> tuple[float, int]:  # fmt: skip
    """New state, its scaled error (infinite if it is not admissible) and the state with the largest share."""
    total, largest, worst = 0.0, -1.0, 0
    for m in range(y.size):
        y1[m] = stage[m] + last[m]
        e = last[m] / (atol[m] + rtol * max(abs(y[m]), abs(y1[m])))
        e *= e
        if not e + abs(y1[m]) < math.inf:
            return math.inf, m
        total += e
        if e > largest:
            largest, worst = e, m
    outside = _first_outside(y1, positive)
    if outside >= 0:
        return math.inf, outside
    return math.sqrt(total / y.size), worst


@njit(cache=True, nogil=True, error_model="numpy")
def _vote(stats: IntArray, state: int) -> None:
    """Majority vote with a short memory on which state limits the step."""
    if stats[CULPRIT] == state:
        stats[VOTES] = min(stats[VOTES] + 1, VOTES_MAX)
    elif stats[VOTES] > 0:
        stats[VOTES] -= 1
    else:
        stats[CULPRIT] = state
        stats[VOTES] = 1


@njit(cache=True, nogil=True, error_model="numpy")
def _shrink(error: float, order: float) -> float:
    wished: float = error ** (1.0 / order) / SAFETY
    return max(1.0 / GROW_MAX, min(SHRINK_MAX, wished))


@njit(cache=True, nogil=True, error_model="numpy")
def _next_step(h: float, error: float, order: float, info: FloatArray) -> float:
    """Step after an accepted one: the smaller of the standard and the predictive choice."""
    factor = _shrink(error, order)
    if info[LAST_H] > 0.0:
        predicted = (info[LAST_H] / h) ** order * error * error / info[LAST_ERROR]
        factor = max(factor, _shrink(predicted, order))
    if info[WAS_REJECTED] != 0.0:
        factor = max(factor, 1.0)
    info[LAST_H] = h
    info[LAST_ERROR] = max(1e-2, error)
    info[WAS_REJECTED] = 0.0
    return h / factor


@njit(cache=True, nogil=True, error_model="numpy")
def _levels(obs: Call, t: float, y: FloatArray, tape: Tape, events: Arrays, out: FloatArray) -> None:
    _, numbers, v, _ = tape
    index, level, sign, integers = events
    obs(t, y, integers, numbers, v)
    for e in range(index.size):
        out[e] = sign[e] * (v[index[e]] - level[e])


@njit(cache=True, nogil=True, error_model="numpy")
def _any_fired(before: FloatArray, now: FloatArray) -> bool:
    fired = False
    for e in range(before.size):
        fired = fired or (before[e] < 0.0 and now[e] >= 0.0)
    return fired


@njit(cache=True, nogil=True, error_model="numpy")
def _all_far(before: FloatArray, middle: FloatArray, now: FloatArray, level: FloatArray) -> bool:
    """Whether every level is missed at all three places by twice the change and by a twentieth of itself."""
    for e in range(before.size):
        low = min(before[e], middle[e], now[e])
        high = max(before[e], middle[e], now[e])
        gap = low if low > 0.0 else -high
        if not gap > max(2.0 * (high - low), 0.05 * abs(level[e])):
            return False
    return True


@njit(cache=True, nogil=True, error_model="numpy")
def _first_event(
    obs: Call, t: float, t_new: float, y: FloatArray, y1: FloatArray, d: FloatArray, tape: Tape,
    events: Arrays, before: FloatArray, middle: FloatArray, now: FloatArray, state: FloatArray,
) -> float:  # fmt: skip
    """Place in the step of the earliest event, where `state` is left; or 2.

    The sign is tested at the middle and the end of the step and, unless every level is far away from all of that,
    at its quarters, against `before`, the latest levels known (carried along); a quarter with a change is then
    halved until its width is 2e-13 of the step.
    """
    dense(y, y1, d, 0.5, state)
    _levels(obs, t + 0.5 * (t_new - t), state, tape, events, middle)
    _levels(obs, t_new, y1, tape, events, now)
    if _all_far(before, middle, now, events[1]):
        before[:] = now
        return 2.0
    lo = 0.0
    for quarter in range(1, 5):
        hi = 0.25 * quarter
        dense(y, y1, d, hi, state)
        _levels(obs, min(t + hi * (t_new - t), t_new), state, tape, events, now)
        if _any_fired(before, now):
            for _ in range(40):
                half = 0.5 * (lo + hi)
                dense(y, y1, d, half, state)
                _levels(obs, t + half * (t_new - t), state, tape, events, now)
                if _any_fired(before, now):
                    hi = half
                else:
                    lo = half
            dense(y, y1, d, hi, state)
            return hi
        for e in range(now.size):
            if not math.isnan(now[e]):
                before[e] = now[e]
        lo = hi
    return 2.0


@njit(
    _RESULT(*_CALLS, _TAPE, sparse.LU_TYPES, _TABLEAU, _number, _number, _number, _number, _floats,
            _number, _number, _number, _floats, _ints, _EVENTS, _RECORD, _ints, _floats, types.int64),
    cache=True, nogil=True, error_model="numpy",
)  # fmt: skip
def integrate(
    rhs: Call, jac: Call, obs: Call, factor: Call, solve: Call, tape: Tape, lu: Arrays, tableau: Arrays,
    gamma: float, order: float, t: float, t_end: float, y: FloatArray, h: float, h_max: float, rtol: float,
    atol: FloatArray, positive: IntArray, events: Arrays, record: Arrays, stats: IntArray, info: FloatArray,
    step_budget: int,
) -> tuple[float, float, int, int]:  # fmt: skip
    """Advance y from t towards t_end, recording every accepted step.

    The model must be smooth in time on the interval; it is not called beyond t_end. A trial with anything
    that is not finite, or with a flagged state not above zero, is rejected.

    Parameters
    ----------
    rhs, jac, obs : compiled functions
        Of the types `RHS_TYPE`, `JAC_TYPE`, `OBS_TYPE`.
    factor, solve : compiled functions
        Those of `sparse`.
    tape : tuple
        (I, F, v, g): the model's integers, numbers, work array of values and work array of its Jacobian.
    lu, tableau : tuples
        `Symbolic.arrays` and `Tableau.arrays`; `gamma` and `order` belong to the tableau.
    t, t_end : float
        Start and end [s].
    y : float64 array (n,)
        State, changed in place.
    h, h_max : float
        Wished first step and largest step [s].
    rtol : float
        Relative tolerance.
    atol : float64 array (n,)
        A step is accepted when the root mean square of error / (atol + rtol |y|) is at most 1.
    positive : int64 array
        States that must stay above zero, in the stages too.
    events : tuple of arrays (value index, level, sign, integers for `obs`)
        An event fires where ``sign (v[index] - level)`` goes from negative to not negative. The earliest one
        ends the integration; whether others hold at the same point is for the caller to see, by a level test.
    record : tuple of arrays (times (k + 1,), states (k + 1, n), dense vectors (k, 3, n))
        Step i runs from times[i] to times[i + 1], see `dense`; one that meets an event ends at the event.
    stats : int64 array (6,)
        Running totals: accepted, rejected, rhs calls, jac calls; the state that limits the step; its votes.
    info : float64 array (3,)
        Memory of the step control; zero it at a discontinuity, leave it alone otherwise.
    step_budget : int
        Largest total of accepted and rejected steps in stats.

    Returns
    -------
    t : float
        Time reached [s].
    h : float
        Step wished next [s].
    flag : int
        One of `Flag`. After FULL, calling again continues with exactly the steps of a larger record.
    steps : int
        Recorded steps.
    """
    integers, numbers, v, g = tape
    times, states, vectors = record
    n, stages, nnz = y.size, tableau[2].size, lu[2].size
    jv, f0, stage = np.empty(nnz + n), np.empty(n), np.empty(n)
    U, values, pivots = np.empty((stages, n)), np.empty(nnz), np.empty(n)
    work = (U, values, pivots, stage, np.empty(n), np.empty(n), np.empty(n))
    before, middle, now = np.empty(events[0].size), np.empty(events[0].size), np.empty(events[0].size)
    shortest = 16.0 * np.finfo(np.float64).eps * max(abs(t), abs(t_end))
    steps, moved, ramps = 0, True, False
    times[0] = t
    states[0] = y
    if before.size > 0:
        _levels(obs, t, y, tape, events, before)
    while t_end - t > shortest:
        if steps == vectors.shape[0]:
            return t, h, _FULL, steps
        if stats[ACCEPTED] + stats[REJECTED] >= step_budget:
            return t, h, _BUDGET, steps
        if moved:
            jac(t, y, f0, jv, integers, numbers, v, g)
            stats[JAC_CALLS] += 1
            ramps = bool(np.any(jv[nnz:]))
            moved = False
        h = min(h, h_max)
        if t + 1.0001 * h >= t_end:
            h = t_end - t
        elif t + 2.0 * h > t_end:
            h = 0.5 * (t_end - t)
        y1, d = states[steps + 1], vectors[steps]
        error = math.inf
        worst = _stages(
            rhs, factor, solve, tape, lu, tableau, gamma, t, t_end, h, y, f0, jv, ramps, positive, work
        )
        stats[RHS_CALLS] += stages - 1
        if worst < 0:
            error, worst = _finish(y, stage, U[stages - 1], rtol, atol, positive, y1)
        _vote(stats, worst)
        if not error <= 1.0:
            stats[REJECTED] += 1
            info[WAS_REJECTED] = 1.0
            h /= _shrink(error, order)
            if h < shortest:
                return t, h, _UNDERFLOW, steps
            continue
        stats[ACCEPTED] += 1
        moved = True
        t_new = t_end if h == t_end - t else t + h
        h = _next_step(h, error, order, info)
        _dense_vectors(tableau[4], U, d)
        theta = 2.0
        if before.size > 0:
            theta = _first_event(obs, t, t_new, y, y1, d, tape, events, before, middle, now, stage)
        if theta <= 1.0:
            _cut(y1, d, theta, stage)
            t_new = min(t + theta * (t_new - t), t_new)
        steps += 1
        t = t_new
        times[steps] = t
        y[:] = y1
        if theta <= 1.0:
            return t, h, _EVENT, steps
    return t_end, h, _REACHED, steps
