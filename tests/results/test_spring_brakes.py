import numpy as np
import pytest

from pneusim.circuit.circuit import Component
from pneusim.results.measures import measure
from pneusim.results.measures.spring_brakes import turns
from tests.results.synthetic import channel, run_of

TIMES = np.linspace(0.0, 20.0, 20001)


def spring(travel, force, service=None):
    """A spring brake whose travel [m] and pushrod force [N] are given."""
    zero = np.zeros_like(TIMES)
    pressure = zero if service is None else service
    return run_of(
        {
            "left.service_pressure": (TIMES, pressure, "pressure"),
            "left.spring_pressure": (TIMES, zero, "pressure"),
            "left.pushrod_force": (TIMES, force, "force"),
            "left.stroke": (TIMES, travel, "length"),
            "left.spring_travel": (TIMES, travel, "length"),
        },
        [Component("left", "spring_brake_actuator")],
    )


def values(run):
    return {result.name.removeprefix("left."): result for result in measure(run)}


def out_and_back():
    """Moves from 5 s to 6 s by 20 mm, holds, and back from 12 s to 14 s; touches at 14 mm, 1 kN per mm."""
    travel = np.interp(TIMES, [0, 5, 6, 12, 14, 20], [0, 0, 0.020, 0.020, 0, 0])
    return travel, 1e6 * np.maximum(0.0, travel - 0.014)


def test_apply_and_release_have_their_moments():
    found = values(spring(*out_and_back()))
    assert found["spring_application_1.begins"].value == pytest.approx(5.1)
    assert found["spring_application_1.touches"].value == pytest.approx(5.7, abs=1e-4)
    assert found["spring_application_1.force_90"].value == pytest.approx(5 + (14 + 5.4) / 20, abs=1e-3)
    assert found["spring_application_1.final_force"].value == pytest.approx(6000, abs=11)
    assert found["spring_release_1.begins"].value == pytest.approx(12.2)
    assert found["spring_release_1.force_10"].value == pytest.approx(12.54, abs=1e-3)
    assert found["spring_release_1.lets_go"].value == pytest.approx(12.6, abs=1e-3)


def test_a_parked_brake_only_releases():
    travel = np.interp(TIMES, [0, 4, 5, 20], [0.03, 0.03, 0, 0])
    found = values(spring(travel, 1e6 * np.maximum(0, travel - 0.014)))
    assert found["spring_release_1.begins"].value == pytest.approx(4 + 2 / 30)
    assert not any(name.startswith("spring_application") for name in found)


def test_less_than_two_millimetres_is_no_movement():
    assert turns(channel("left.spring_travel", TIMES, 0.0019 * np.sin(TIMES) ** 2, "length")) == []


def test_a_stop_that_gives_way_is_no_movement():
    travel = np.interp(TIMES, [0, 10, 11, 20], [-0.004, 0.0, 0.010, 0.010])
    (turn,) = turns(channel("left.spring_travel", TIMES, travel, "length"))
    assert (turn.rests, turn.begins) == (pytest.approx(10.0, abs=2e-3), pytest.approx(10.2))


def test_a_slow_creep_is_one_movement():
    travel = channel("left.spring_travel", TIMES, 1e-3 * TIMES, "length")
    (turn,) = turns(travel)
    assert (turn.direction, turn.begins) == (1, pytest.approx(2.0))


def test_turns_alternate_and_are_numbered_by_kind():
    travel = np.interp(TIMES, [0, 1, 2, 3, 4, 5, 6], [0, 0, 0.02, 0.02, 0, 0, 0.02])
    found = turns(channel("left.spring_travel", TIMES, travel, "length"))
    assert [turn.name for turn in found] == [
        "spring_application_1",
        "spring_release_1",
        "spring_application_2",
    ]
    assert [turn.ends for turn in found] == pytest.approx([3.0, 5.0, 20.0], abs=0.01)


def test_a_spring_behind_a_pushrod_that_is_already_out_has_no_moments_of_its_own():
    travel, _ = out_and_back()
    found = values(spring(travel, np.full_like(TIMES, 9000.0), np.full_like(TIMES, 600e3)))
    assert found["spring_application_1.touches"].value is None
    assert "already 9 kN" in found["spring_application_1.force_90"].reason


def test_a_spring_that_never_touches_says_what_the_force_is():
    travel = np.interp(TIMES, [0, 5, 6], [0, 0, 0.010])
    found = values(spring(travel, np.zeros_like(TIMES)))
    assert found["spring_application_1.touches"].value is None
    assert found["spring_application_1.touches"].reason == "the pushrod force is 0 kN at 20 s"
