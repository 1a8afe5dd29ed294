"""The integration methods that the hybrid loop can drive: Rodas4, and scipy's Radau as the independent check."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from pneusim.engine.machine import Machine
from pneusim.engine.part import part
from pneusim.engine.rodas4 import Rodas4
from pneusim.engine.rosenbrock import Flag
from pneusim.engine.segments import FIRST_STEP, Steps
from pneusim.engine.tape import Floats, Program
from pneusim.errors import RunFailed

RTOL = 1e-4
STEP_BUDGET = 2_000_000


def absolute_tolerance(program: Program, rtol: float, ringing: float = 1.0) -> Floats:
    """Absolute tolerance of every scaled state: a tenth of the relative one, times the state's weight.

    ``ringing`` multiplies that of the flows in lines: a large one lets waves die that nobody asks for.
    """
    return np.array([0.1 * rtol * s.weight * (ringing if s.kind == "flow" else 1.0) for s in program.states])


def positive_states(program: Program) -> list[int]:
    """States that may never reach zero: the masses and energies of air, the atmosphere's balance aside."""
    return [
        i for i, s in enumerate(program.states) if s.kind in ("mass", "energy") and not s.name.startswith("atmosphere")
    ]


class Rosenbrock:
    """Rodas4 on the compiled kernel."""

    name = "rodas4"

    def __init__(
        self, machine: Machine, rtol: float = RTOL, budget: int = STEP_BUDGET, ringing: float = 1.0
    ) -> None:
        tape = (machine.program.integers, machine.floats, machine.values, machine.gradients)
        kernel, program = machine.kernel, machine.program
        self.rodas = Rodas4(
            kernel.rates, kernel.jacobian, kernel.observe, program.symbolic, tape, rtol,
            absolute_tolerance(program, rtol, ringing), positive_states(program),
        )  # fmt: skip
        self.budget = budget
        self._watched: set[int] = set()

    def restart(self) -> None:
        """Begin a segment with a small step."""
        self.rodas.restart(FIRST_STEP)

    @property
    def accepted(self) -> int:
        """Accepted steps so far."""
        return int(self.rodas.stats[0])

    @property
    def rejected(self) -> int:
        """Rejected steps so far."""
        return int(self.rodas.stats[1])

    def advance(
        self, machine: Machine, t_end: float, events: Sequence[tuple[int, float, float]]
    ) -> tuple[bool, Steps]:
        """Advance to ``t_end``, the first event, or a full record."""
        armed: Any = tuple(zip(*events, strict=True)) if events else ((), (), ())
        if not self._watched.issuperset(armed[0]):
            self._watched.update(armed[0])
            self.rodas.observed = part(machine.program, self._watched)
        t, flag, count = self.rodas.advance(
            machine.time, t_end, machine.state, armed, h_max=machine.longest_step, step_budget=self.budget
        )
        machine.time = t
        rodas = self.rodas
        failure = self._why(flag, machine) if flag < 0 else ""
        steps = Steps(rodas.times[: count + 1], rodas.states[: count + 1], rodas.vectors[:count], failure)
        return flag == Flag.EVENT, steps

    def _why(self, flag: Flag, machine: Machine) -> str:
        what = f"used up its {self.budget} steps" if flag == Flag.BUDGET else "found no step small enough"
        culprit = machine.program.states[self.rodas.culprit].name
        return _failure(what, machine, f"the state that asked for the smallest steps is {culprit}")


def _failure(what: str, machine: Machine, culprit: str) -> str:
    """Why a run failed: time, state at fault, inputs of that time, what to do."""
    sick = _not_a_number(machine)
    if sick:
        culprit = f"{sick} or its rate of change is no number there"
    names = machine.program.input_names
    inputs = ", ".join(f"{name} {machine.input_at(i):.6g}" for i, name in enumerate(names))
    return (
        f"The integration {what} at {machine.time:.6g} s; {culprit}. "
        + (f"Inputs at that time (SI): {inputs}. " if inputs else "")
        + "Look at what happens there: a setting far outside the usual, or two parts that work against each other."
    )


def _not_a_number(machine: Machine) -> str:
    """A state that is no number or whose rate is none; one of the circuit rather than of the atmosphere."""
    for numbers in (machine.state, machine.rates()):
        sick = [machine.program.states[i].name for i in np.flatnonzero(~np.isfinite(numbers))]
        if sick:
            return min(sick, key=lambda name: name.startswith("atmosphere"))
    return ""


class Radau:
    """scipy's Radau IIA of order 5 on the same tape; the steps' dense output is refitted as a cubic.

    Wanner and Hairer, Solving Ordinary Differential Equations II, 2nd ed., section IV.8.
    """

    name = "radau"

    def __init__(self, machine: Machine, rtol: float = RTOL, ringing: float = 1.0) -> None:
        self.rtol = rtol
        self.atol = absolute_tolerance(machine.program, rtol, ringing)
        self.accepted = 0
        self.rejected = 0
        self._first = FIRST_STEP

    def restart(self) -> None:
        """Begin a segment with a small step."""
        self._first = FIRST_STEP

    def advance(
        self, machine: Machine, t_end: float, events: Sequence[tuple[int, float, float]]
    ) -> tuple[bool, Steps]:
        """Advance to ``t_end`` or the first event."""
        from scipy.integrate import Radau as ScipyRadau

        def rates(t: float, y: Floats) -> Floats:
            dy = np.zeros_like(y)
            machine.kernel.rates(t, y, dy, machine.program.integers, machine.floats, machine.values)
            return dy

        if _not_a_number(machine):
            raise RunFailed(_failure("with scipy's Radau cannot go on", machine, ""))
        solver = ScipyRadau(
            rates, machine.time, machine.state.copy(), t_end, rtol=self.rtol, atol=self.atol,
            jac=lambda t, y: sparse_jacobian(machine, t, y), first_step=min(self._first, t_end - machine.time),
        )  # fmt: skip
        times, states, vectors = [machine.time], [machine.state.copy()], []
        stopped = False
        before = _levels(machine, machine.time, machine.state, events)
        while solver.status == "running" and not stopped:
            message = solver.step()
            if solver.status == "failed":
                raise RunFailed(f"scipy's Radau stopped at {solver.t:.6g} s: {message}")
            dense, t0, t1 = solver.dense_output(), times[-1], solver.t
            crossed = _first_crossing(machine, dense, t0, t1, before, events) if events else None
            if crossed is not None:
                t1, stopped = crossed, True
            thirds = [dense(t0 + (t1 - t0) * theta) for theta in (1.0 / 3.0, 2.0 / 3.0)]
            vectors.append(_cubic(states[-1], thirds, dense(t1)))
            times.append(t1)
            states.append(dense(t1))
            before = _levels(machine, t1, states[-1], events)
            self.accepted += 1
        machine.time, machine.state[:] = times[-1], states[-1]
        return stopped, Steps(np.array(times), np.array(states), np.array(vectors))


def sparse_jacobian(machine: Machine, t: float, y: Floats) -> Any:
    """Jacobian of the scaled rates as a scipy sparse matrix, from the compiled kernel."""
    from scipy.sparse import csc_matrix

    program = machine.program
    n = len(y)
    dy, jv = np.zeros(n), np.zeros(program.symbolic.nnz + n)
    machine.kernel.jacobian(t, y, dy, jv, program.integers, machine.floats, machine.values, machine.gradients)
    entries = -jv[program.symbolic.positions(program.rows, program.columns)]
    return csc_matrix((entries, (program.rows, program.columns)), shape=(n, n))


def _levels(machine: Machine, t: float, y: Floats, events: Sequence[tuple[int, float, float]]) -> Floats:
    machine.kernel.observe(t, y, machine.program.integers, machine.floats, machine.values)
    return np.array([sign * (machine.values[place] - level) for place, level, sign in events])


def _first_crossing(
    machine: Machine, dense: Any, t0: float, t1: float, before: Floats, events: Sequence[tuple[int, float, float]]
) -> float | None:
    """Time of the first event within a step: ends and three interior points tested, then bisection."""
    low = t0
    for theta in (0.25, 0.5, 0.75, 1.0):
        high = t0 + theta * (t1 - t0)
        if np.any((before < 0.0) & (_levels(machine, high, dense(high), events) >= 0.0)):
            while high - low > 1e-12 * max(1.0, high):
                middle = 0.5 * (low + high)
                if np.any((before < 0.0) & (_levels(machine, middle, dense(middle), events) >= 0.0)):
                    high = middle
                else:
                    low = middle
            return high
        low = high
    return None


def _cubic(y0: Floats, thirds: Sequence[Floats], y1: Floats) -> Floats:
    """Dense vectors (3, n) of the cubic through the ends and the two thirds; the third vector is zero."""
    # y(th) = (1 - th) y0 + th (y1 + (1 - th) (d1 + th d2)), solved for d1 and d2 at th = 1/3 and 2/3.
    c1 = (thirds[0] - (2.0 * y0 + y1) / 3.0) * 4.5
    c2 = (thirds[1] - (y0 + 2.0 * y1) / 3.0) * 4.5
    d2 = 3.0 * (c2 - c1)
    return np.array([c1 - d2 / 3.0, d2, np.zeros_like(y0)])
