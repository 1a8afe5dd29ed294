"""Anti-lock control: time in control, cycles, and the air that reservoirs lost by the ideal gas law."""

import numpy as np
import pytest

from pneusim.circuit.circuit import Component
from pneusim.results import finish
from tests.results.road.made import braking, pedal, reasons, road_run, times, values

T = times()
V = braking(T, 20.0, 1.0, 5.0)


def controlled(active, command):
    """A tank of 40 l that falls evenly from 800 kPa by 10 kPa/s, at 293.15 K."""
    foot, travel = pedal(T, 1.0)
    more = {
        **travel,
        "control.controlling": active,
        "modulator.command": command,
        "tank.pressure": 800e3 - 10e3 * T,
        "tank.temperature": np.full_like(T, 293.15),
    }
    parts = [foot, Component("control", "anti_lock_control"), Component("modulator", "brake_modulator"),
             Component("tank", "reservoir", {"volume": 0.04})]  # fmt: skip
    return finish(road_run(T, {"vehicle": V}, components=parts, more=more))


def test_a_stop_under_control():
    active = np.where((T > 2.0) & (T < 3.0) | (T > 3.5) & (T < 4.0), 1.0, 0.0)
    command = np.interp(T, [0, 2, 2.2, 2.4, 2.6, 2.8, 3.0], [1, -1, 0, -1, 1, -1, 1])
    run = controlled(active, np.sign(np.round(command)))
    found = values(run)
    assert found["control.control_time"] == pytest.approx(1.5, abs=0.02)
    assert found["control.control_share"] == pytest.approx(1.5 / 3.99, abs=0.01)
    assert found["modulator.cycles"] == 2.0
    lost = 2.0 * 10e3 * 0.04 / (287.05 * 293.15) / 1.185
    assert found["control.air_used"] == pytest.approx(lost, rel=0.01)
    assert reasons(run)["control.air_used"] == "lost from 2.00 s to 4.00 s"


def test_a_stop_without_control():
    run = controlled(0.0 * T, 1.0 + 0.0 * T)
    found = values(run)
    assert [found[f"control.{name}"] for name in ("control_time", "control_share", "air_used")] == [0.0, 0.0, 0.0]
    assert found["modulator.cycles"] == 0.0
    assert reasons(run)["control.air_used"] == "it did not control"


def test_modulators_without_a_control_are_not_counted():
    run = finish(road_run(T, {"vehicle": V}, components=[Component("modulator", "brake_modulator")],
                          more={"modulator.command": 1.0 + 0.0 * T}))  # fmt: skip
    assert "modulator.cycles" not in values(run)
