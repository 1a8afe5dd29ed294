"""What the pieces of a step cost, timed apart in compiled loops: no share of the interpreter in the numbers."""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import dataclass, fields
from typing import Any

import numpy as np
from numba import njit, types

from pneusim.engine import sparse
from pneusim.engine.machine import Machine
from pneusim.engine.methods import RTOL, Rosenbrock, absolute_tolerance, positive_states
from pneusim.engine.rodas4 import Rodas4
from pneusim.engine.rosenbrock import JAC_TYPE, OBS_TYPE, RHS_TYPE
from pneusim.engine.segments import Loop, Steps
from tests.benchmarks import problem_b
from tests.benchmarks.measure import Ready, Target, cpu_seconds, run, show

_floats, _ints = types.float64[::1], types.int64[::1]
_pointer: Any = types.FunctionType
_OPTIONS: Any = {"nogil": True, "error_model": "numpy"}
STAGES = 6


@njit(types.void(_pointer(RHS_TYPE), types.int64, _floats, _floats, _ints, _floats, _floats), **_OPTIONS)
def _rates(call, count, y, dy, integers, floats, values):  # type: ignore[no-untyped-def]
    for _ in range(count):
        call(0.0, y, dy, integers, floats, values)


@njit(types.void(_pointer(OBS_TYPE), types.int64, _floats, _ints, _floats, _floats), **_OPTIONS)
def _observe(call, count, y, integers, floats, values):  # type: ignore[no-untyped-def]
    for _ in range(count):
        call(0.0, y, integers, floats, values)


@njit(
    types.void(_pointer(JAC_TYPE), types.int64, _floats, _floats, _floats, _ints, _floats, _floats, _floats),
    **_OPTIONS,
)
def _jacobian(call, count, y, dy, jv, integers, floats, values, gradients):  # type: ignore[no-untyped-def]
    for _ in range(count):
        call(0.0, y, dy, jv, integers, floats, values, gradients)


@njit(types.void(_pointer(sparse.FACTOR_TYPE), types.int64, _floats, sparse.LU_TYPES, _floats, _floats), **_OPTIONS)
def _factor(call, count, jv, lu, values, pivots):  # type: ignore[no-untyped-def]
    for _ in range(count):
        call(jv, 1e3, lu, values, pivots)


@njit(
    types.void(_pointer(sparse.SOLVE_TYPE), types.int64, _floats, _floats, sparse.LU_TYPES, _floats, _floats, _floats),
    **_OPTIONS,
)
def _solve(call, count, values, pivots, lu, b, x, work):  # type: ignore[no-untyped-def]
    for _ in range(count):
        call(values, pivots, lu, b, x, work)


@dataclass(frozen=True)
class Pieces:
    """CPU seconds of one call each."""

    rates: float
    jacobian: float
    factor: float
    solve: float
    observe: float

    @property
    def step(self) -> float:
        """What the arithmetic of one attempted step costs at least."""
        return (STAGES - 1) * self.rates + STAGES * self.solve + self.jacobian + self.factor


def pieces(machine: Machine, count: int = 2000) -> Pieces:
    """Time the pieces at the machine's present state."""
    program, kernel, n = machine.program, machine.kernel, len(machine.state)
    tape = (program.integers, machine.floats, machine.values)
    lu, nnz = program.symbolic.arrays, program.symbolic.nnz
    y, dy, jv = machine.state, np.zeros(n), np.zeros(nnz + n)
    values, pivots, b, work = np.zeros(nnz), np.zeros(n), np.ones(n), np.zeros(n)
    return Pieces(
        rates=_per_call(count, lambda k: _rates(kernel.rates, k, y, dy, *tape)),
        jacobian=_per_call(count, lambda k: _jacobian(kernel.jacobian, k, y, dy, jv, *tape, machine.gradients)),
        factor=_per_call(count, lambda k: _factor(sparse.factor, k, jv, lu, values, pivots)),
        solve=_per_call(count, lambda k: _solve(sparse.solve, k, values, pivots, lu, b, np.zeros(n), work)),
        observe=_per_call(count, lambda k: _observe(kernel.observe, k, y, *tape)),
    )


def _per_call(count: int, work: Any) -> float:
    return cpu_seconds(lambda: work(count), repeats=5) / count


def average(make: Callable[[], Ready], rtol: float = RTOL) -> tuple[Pieces, float, Machine]:
    """Pieces averaged over the states of a run, weighted with its attempts, and the time of an attempt [s]."""
    whole = run(make, rtol, repeats=5)
    ready = make()
    method = Rosenbrock(ready.machine, rtol)
    found: list[tuple[Pieces, int]] = []
    before = 0

    def look(steps: Steps) -> None:
        nonlocal before
        attempts = method.accepted + method.rejected
        found.append((pieces(ready.machine, 300), attempts - before))
        before = attempts

    method.rodas = sized(ready.machine, rtol, 64)
    loop = Loop(ready.machine, method, look, lambda event: None)
    for at, action in ready.actions:
        loop.at(at, action)
    loop.run(ready.lasts)
    weights = [n for _, n in found]
    means = [float(np.average([getattr(p, f.name) for p, _ in found], weights=weights)) for f in fields(Pieces)]
    return Pieces(*means), whole.seconds / (whole.accepted + whole.rejected), whole.machine


def sized(machine: Machine, rtol: float, capacity: int) -> Rodas4:
    """The integrator with a record of so many steps: so often the pieces are looked at."""
    kernel, program = machine.kernel, machine.program
    tape = (program.integers, machine.floats, machine.values, machine.gradients)
    return Rodas4(kernel.rates, kernel.jacobian, kernel.observe, program.symbolic, tape, rtol,
                  absolute_tolerance(program, rtol), positive_states(program), capacity=capacity)  # fmt: skip


def main() -> bool:
    """Measure problem B."""
    part, attempt, machine = average(problem_b.make)
    rows = [
        ["rates", 5, f"{1e6 * part.rates:.2f}"], ["Jacobian with rates", 1, f"{1e6 * part.jacobian:.2f}"],
        ["factorisation", 1, f"{1e6 * part.factor:.2f}"], ["solution", STAGES, f"{1e6 * part.solve:.2f}"],
        ["sum", "", f"{1e6 * part.step:.1f}"], ["attempted step, measured", "", f"{1e6 * attempt:.1f}"],
    ]  # fmt: skip
    share = part.step / attempt
    return show(f"Pieces of a step, problem B ({len(machine.state)} states, {machine.program.symbolic.nnz} factors)",
                ("piece", "times", "us"), rows, [Target("share of arithmetic", share, 0.85)])  # fmt: skip


if __name__ == "__main__":
    sys.exit(0 if main() else 1)
