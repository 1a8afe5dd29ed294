"""Samples of a run: linear interpolation between them misses the run's own dense output by less than promised."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from pneusim.engine.rosenbrock import dense
from pneusim.engine.sampling import MOST_PARTS, Sampler
from pneusim.engine.segments import Steps
from pneusim.reading import load
from pneusim.simulate import run
from tests.engine.bench import ATMOSPHERE, Bench, C

CIRCUITS = Path(__file__).parents[2] / "circuits"
PROMISED = 100.0  # Pa
SHARES = np.linspace(0.0, 1.0, 23)[1:-1]


@pytest.mark.parametrize("engine", ["rodas4", "radau"])
def test_a_whole_run_is_sampled_to_less_than_a_tenth_of_a_kilopascal(engine, monkeypatch):
    """Every step is evaluated at 21 places of its dense output, every pressure channel compared there."""
    missed: list[float] = []
    evaluated: list[tuple[float, np.ndarray]] = []
    take = Sampler.take

    def watched(self: Sampler, steps: Steps) -> None:
        take(self, steps)
        state, m = np.empty(steps.states.shape[1]), self.machine
        for k in range(len(steps.vectors)):
            for theta in SHARES:
                dense(steps.states[k], steps.states[k + 1], np.ascontiguousarray(steps.vectors[k]), theta, state)
                t = steps.times[k] + theta * (steps.times[k + 1] - steps.times[k])
                m.kernel.observe(t, state, m.program.integers, m.floats, m.values)
                evaluated.append((t, m.values[self.places].copy()))

    monkeypatch.setattr(Sampler, "take", watched)
    result = run(load(CIRCUITS / "one-axle.yaml"), "brake", engine=engine)
    times = np.array([t for t, _ in evaluated])
    values = np.array([row for _, row in evaluated])
    for k, channel in enumerate(result.channels.values()):
        if channel.dimension == "pressure":
            missed.append(np.abs(np.interp(times, channel.times, channel.values) - values[:, k]).max())
    assert len(missed) > 10
    assert max(missed) < PROMISED


def emptying() -> Bench:
    b = Bench()
    b.valve("valve", b.volume("tank", 10e-3, 8e5), ATMOSPHERE, C)
    return b


def test_a_tighter_tolerance_samples_more_densely():
    counts = [len(emptying().run(20.0, tolerance=tolerance).times) for tolerance in (1e4, 100.0, 1.0)]
    assert counts[0] < counts[1] < counts[2]


def test_values_without_a_tolerance_are_sampled_at_the_steps_only():
    trace = emptying().run(20.0, tolerance=np.inf)
    assert len(trace.times) == trace.method.accepted + 1


def test_a_step_is_cut_into_a_limited_number_of_parts():
    trace = emptying().run(20.0, tolerance=1e-9)
    assert len(trace.times) <= trace.method.accepted * MOST_PARTS + 1


def test_samples_go_forward_in_time_and_none_is_said_twice():
    trace = emptying().run(20.0, actions=[(t, lambda: None) for t in (0.0, 1.0, 1.0, 20.0)])
    assert np.all(np.diff(trace.times) > 0.0)
    assert trace.times[0] == 0.0
    assert trace.times[-1] == 20.0


def test_no_sample_yet():
    machine = emptying().machine()
    times, rows = Sampler(machine, np.array([0, 1, 2]), np.ones(3)).samples()
    assert times.shape == (0,)
    assert rows.shape == (0, 3)
