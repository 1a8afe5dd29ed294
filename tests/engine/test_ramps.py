"""What a driver moves: ramps of a whole scenario end segments, arrive exactly, and yield to a later step."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from pneusim.circuit.scenario import Scenario, Step
from pneusim.reading import load
from pneusim.simulate import run

CIRCUIT = load(Path(__file__).parents[2] / "circuits" / "one-axle.yaml")
BEGIN = {"park.lever": 1.0, "foot.travel": 0.0}


def travel(*steps: tuple[float, float, float], lasts: float = 1.0):
    """Channel of the foot valve's travel under steps (at, to, over)."""
    moves = tuple(Step("set", at=at, target="foot.travel", to=to, over=over) for at, to, over in steps)
    return run(CIRCUIT, Scenario("press", lasts=lasts, begin=BEGIN, steps=moves))["foot.travel"]


def test_the_corners_of_a_ramp_are_samples_and_the_ramp_arrives():
    channel = travel((0.1, 0.6, 0.2))
    assert {0.1, 0.1 + 0.2} <= set(channel.times)
    assert channel(0.1) == 0.0
    assert channel(0.2) == pytest.approx(0.3, abs=1e-12)
    assert np.all(channel.values[channel.times >= 0.1 + 0.2] == 0.6)


def test_a_step_without_duration_jumps_and_keeps_both_limits():
    channel = travel((0.1, 0.6, 0.0))
    left, right = channel.values[channel.times == 0.1]
    assert (left, right) == (0.0, 0.6)


def test_a_later_step_takes_a_ramp_over_where_it_is():
    channel = travel((0.1, 1.0, 0.4), (0.3, 0.2, 0.1))
    assert channel(0.3) == pytest.approx(0.5, abs=1e-12)
    assert channel(0.35) == pytest.approx(0.35, abs=1e-12)
    assert np.all(channel.values[channel.times >= 0.4 + 1e-9] == 0.2), "the first ramp does not arrive any more"


def test_the_begin_of_a_scenario_is_where_inputs_start():
    scenario = Scenario("hold", lasts=0.2, begin=BEGIN | {"foot.travel": 0.3})
    result = run(CIRCUIT, scenario)
    assert np.all(result["foot.travel"].values == 0.3)
    assert result["left.service_pressure"](0.0) > 100e3, "settled with the pedal there"


def test_a_break_happens_at_its_time_and_is_told():
    steps = (Step("break", at=0.25, target="feed", where=0.5),)
    result = run(CIRCUIT, replace(CIRCUIT.scenarios["brake"], lasts=0.5, steps=steps))
    assert [(e.kind, e.time) for e in result.events if e.category == "step"] == [("break", 0.25)]
    flow = result["feed.flow_in"]
    # Sound needs 1.25 m / 343 m/s = 3.6 ms from the break to the tank; eight cells smear the front.
    assert abs(flow(0.251)) < 1e-3 < 20e-3 < flow(0.30)
