"""What the methods are told: tolerances from the model, states that stay positive, a small step after every restart."""

from __future__ import annotations

import numpy as np
import pytest

from pneusim.engine.methods import Radau, Rosenbrock, absolute_tolerance, positive_states
from pneusim.engine.rosenbrock import dense
from pneusim.engine.segments import FIRST_STEP, Loop, Steps
from tests.engine.assemblies import CASES
from tests.engine.bench import ATMOSPHERE, Bench, C


def test_absolute_tolerances_come_from_the_model():
    """At 1e-4: 1e-5 of mass, energy and stroke, 1e-6 kg/s of a flow, 1e-4 of a spool, 0.1 g of the atmosphere."""
    wanted = {"mass": 1e-5, "energy": 1e-5, "stroke": 1e-5, "flow": 1e-4, "spool": 1e-4}
    seen = set()
    for name in ("valves", "actuators", "lines"):
        program = CASES[name]().machine.program
        for state, tolerance in zip(program.states, absolute_tolerance(program, 1e-4), strict=True):
            outside = state.name.startswith("atmosphere")
            assert tolerance == pytest.approx(1e-3 if outside else wanted[state.kind], rel=1e-12)
            seen.add(state.kind)
            if state.kind == "flow":
                assert tolerance * state.scale == pytest.approx(1e-6, rel=1e-12)
    assert seen == set(wanted)


def test_air_stays_positive_and_nothing_else_must():
    program = CASES["lines"]().machine.program
    positive = {program.states[i].name for i in positive_states(program)}
    assert positive == {
        s.name for s in program.states if s.kind in ("mass", "energy") and not s.name.startswith("atmosphere")
    }


def emptying() -> Bench:
    b = Bench()
    b.valve("valve", b.volume("tank", 1e-3, 8e5), ATMOSPHERE, C)
    return b


def steps_of(method, rtol: float, lasts: float, stops: tuple[float, ...] = ()) -> list[Steps]:
    """Steps of every segment of an emptying tank."""
    machine = emptying().machine()
    kept: list[Steps] = []

    def sink(steps: Steps) -> None:
        kept.append(Steps(steps.times.copy(), steps.states.copy(), steps.vectors.copy()))

    loop = Loop(machine, method(machine, rtol), sink, lambda event: None)
    for time in stops:
        loop.at(time, lambda: None)
    loop.run(lasts)
    return kept


@pytest.mark.parametrize("method", [Rosenbrock, Radau])
def test_every_segment_begins_with_a_small_step(method):
    taken = steps_of(method, 1e-4, 1.0, stops=(0.25, 0.5))
    firsts = [np.diff(steps.times)[0] for steps in taken]
    assert len(firsts) == 3
    assert max(firsts) <= FIRST_STEP * (1.0 + 1e-9)
    assert max(np.diff(taken[0].times)) > 100.0 * FIRST_STEP


@pytest.mark.parametrize("method", [Rosenbrock, Radau])
def test_dense_output_joins_the_steps_and_lies_on_the_solution(method):
    """Against the same method at a far sharper tolerance, at places inside the steps."""

    def at(steps: Steps, time: float) -> np.ndarray:
        k = min(int(np.searchsorted(steps.times, time, side="right")) - 1, len(steps.vectors) - 1)
        theta = (time - steps.times[k]) / (steps.times[k + 1] - steps.times[k])
        out = np.empty(steps.states.shape[1])
        dense(steps.states[k], steps.states[k + 1], np.ascontiguousarray(steps.vectors[k]), theta, out)
        return out

    (steps,), (sharp,) = (steps_of(method, rtol, 1.0) for rtol in (1e-4, 1e-7))
    for k in range(len(steps.vectors)):
        assert at(steps, steps.times[k]) == pytest.approx(steps.states[k], rel=1e-14)
    for time in np.linspace(0.001, 0.999, 57):
        assert at(steps, time) == pytest.approx(at(sharp, time), abs=2e-4)
