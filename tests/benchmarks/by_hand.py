"""Runs the hand-written right-hand side of `numpy_b` with scipy's Radau and its own dense difference Jacobian."""

from __future__ import annotations

import time
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from scipy.integrate import solve_ivp

from pneusim.engine.methods import absolute_tolerance
from pneusim.engine.segments import FIRST_STEP
from tests.benchmarks import problem_b
from tests.benchmarks.measure import Floats, times
from tests.benchmarks.numpy_b import NumpyB


@dataclass(frozen=True)
class ByHand:
    """Pressures on the grid, CPU seconds, and calls of the right-hand side (those for differences included)."""

    values: Floats
    seconds: float
    calls: int


def model() -> tuple[NumpyB, problem_b.Ready]:
    """The hand-written model and the engine's machine whose numbering and scales it takes."""
    ready = problem_b.make()
    program = ready.machine.program
    return NumpyB({s.name: i for i, s in enumerate(program.states)}, program.scale), ready


def run(rtol: float, step: float = 0.01, lasts: float = problem_b.LASTS) -> ByHand:
    """Run problem B segment by segment, as a careful hand would."""
    rates, ready = model()
    machine = ready.machine
    knots = sorted({t for t, _ in problem_b.PEDAL} | {problem_b.BREAK_AT, lasts})
    knots = [t for t in knots if t <= lasts]
    atol = absolute_tolerance(machine.program, rtol)
    grid, y, calls = times(lasts, step), machine.program.start(), 0
    states = np.empty((len(grid), len(y)))
    begin = time.process_time()
    for t0, t1 in pairwise(knots):
        (p0, p1) = np.interp([t0, t1], *zip(*problem_b.PEDAL, strict=True))
        rates.move(t0, p0, (p1 - p0) / (t1 - t0))
        if t0 == problem_b.BREAK_AT:
            rates.break_line()
            y = rates.broken_state(y)
        inside = (grid >= t0 - 1e-9) & (grid <= t1 + 1e-9)
        at = np.unique(np.append(np.clip(grid[inside], t0, t1), t1))
        with np.errstate(invalid="ignore"):  # trial states beyond what air can be
            solution = solve_ivp(
                rates, (t0, t1), y, method="Radau", t_eval=at, rtol=rtol, atol=atol, first_step=FIRST_STEP
            )
        if not solution.success:
            raise RuntimeError(f"scipy's Radau stopped: {solution.message}")
        states[inside] = solution.y.T[: inside.sum()]
        y, calls = solution.y[:, -1], calls + solution.nfev
    seconds = time.process_time() - begin
    values = np.empty((len(grid), len(ready.places)))
    for i, state in enumerate(states):
        machine.kernel.observe(0.0, state, machine.program.integers, machine.floats, machine.values)
        values[i] = machine.values[list(ready.places)]
    return ByHand(values, seconds, calls)
