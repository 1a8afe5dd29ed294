"""The kernel's Jacobian, dense, and the oracle it is held against: differences of the right-hand side."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pneusim.engine.machine import Machine

Floats = NDArray[np.float64]
STEPS = (1e-7, 1e-6, 1e-5)  # of the scaled states: rounding spoils the short ones, curvature the long ones
TIME_STEPS = (1e-5, 1e-4, 1e-3)  # [s]


@dataclass(frozen=True)
class Jacobian:
    """Derivatives of the scaled rates: to the scaled states, shape (n, n), and to the time, shape (n,)."""

    states: Floats
    time: Floats


def kernel_jacobian(machine: Machine) -> Jacobian:
    """The compiled Jacobian at the machine's time and state; entries outside the pattern are 0."""
    program, n = machine.program, len(machine.state)
    jv = np.full(program.symbolic.nnz + n, np.nan)
    machine.kernel.jacobian(
        machine.time, machine.state, np.zeros(n), jv, program.integers, machine.floats, machine.values,
        machine.gradients,
    )  # fmt: skip
    pattern = program.symbolic.positions(program.rows, program.columns)
    fill = np.setdiff1d(np.arange(program.symbolic.nnz), pattern)
    assert not jv[fill].any(), "fill must be zero"
    dense = np.zeros((n, n))
    dense[program.rows, program.columns] = -jv[pattern]
    return Jacobian(dense, -jv[program.symbolic.nnz :])


def rates(machine: Machine, t: float, y: Floats) -> Floats:
    """Scaled rates of all states."""
    dy = np.zeros_like(y)
    machine.kernel.rates(t, y, dy, machine.program.integers, machine.floats, machine.values)
    return dy


def differences(machine: Machine, step: float, time_step: float) -> Jacobian:
    """Central differences of the rates."""
    t, y, n = machine.time, machine.state, len(machine.state)
    dense = np.empty((n, n))
    for j in range(n):
        up, down = y.copy(), y.copy()
        up[j] += step
        down[j] -= step
        dense[:, j] = (rates(machine, t, up) - rates(machine, t, down)) / (up[j] - down[j])
    slope = (rates(machine, t + time_step, y) - rates(machine, t - time_step, y)) / (2.0 * time_step)
    return Jacobian(dense, slope)


def disagreement(machine: Machine) -> tuple[float, str]:
    """Largest relative difference between kernel and oracle, each entry at its best step, and where it is.

    Entries below a millionth of the largest of their row count as that large, and what rounding of the rates makes of
    the differences does not count.
    """
    kernel = kernel_jacobian(machine)
    rounding = 16.0 * np.finfo(np.float64).eps * (np.abs(rates(machine, machine.time, machine.state)) + 1.0)
    found = [differences(machine, *steps) for steps in zip(STEPS, TIME_STEPS, strict=True)]
    worst, where = 0.0, ""
    names = [state.name for state in machine.program.states]
    for own, others, lost in (
        (kernel.states, [d.states for d in found], [rounding[:, None] / step for step in STEPS]),
        (kernel.time[None, :], [d.time[None, :] for d in found], [rounding[None, :] / step for step in TIME_STEPS]),
    ):
        floor = 1e-6 * np.abs(own).max(axis=1, keepdims=True) + 1e-9
        off = [np.maximum(np.abs(own - d) - r, 0.0) for d, r in zip(others, lost, strict=True)]
        relative = np.min([gap / (np.abs(own) + floor) for gap in off], axis=0)
        i, j = np.unravel_index(np.argmax(relative), relative.shape)
        if relative[i, j] > worst:
            worst = float(relative[i, j])
            target = f"d {names[i]} / d {names[j]}" if own is kernel.states else f"d {names[j]} / dt"
            where = f"{target}: {own[i, j]:.9g}, differences {[float(d[i, j]) for d in others]}"
    return worst, where
