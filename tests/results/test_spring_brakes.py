import numpy as np
import pytest

from pneusim.circuit.circuit import Component
from pneusim.results.measures import measure
from pneusim.results.measures.brakes import brakes
from pneusim.results.measures.turns import turns
from tests.results.synthetic import run_of

TIMES = np.linspace(0.0, 20.0, 20001)


def spring(travel, force, service=None, hold_off=None):
    """A spring brake whose travel [m] and pushrod force [N] are given; its hold-off pressure follows the travel."""
    pressure = np.zeros_like(TIMES) if service is None else service
    hold_off = 800e3 - 20e6 * travel if hold_off is None else hold_off
    return run_of(
        {
            "left.service_pressure": (TIMES, pressure, "pressure"),
            "left.spring_pressure": (TIMES, hold_off, "pressure"),
            "left.pushrod_force": (TIMES, force, "force"),
            "left.stroke": (TIMES, travel, "length"),
            "left.spring_travel": (TIMES, travel, "length"),
        },
        [Component("left", "spring_brake_actuator")],
    )


def values(run):
    return {result.name.removeprefix("left."): result for result in measure(run)}


def turns_of(travel, hold_off=None):
    (brake,) = brakes(spring(travel, np.zeros_like(TIMES), hold_off=hold_off))
    return turns(brake)


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
    assert turns_of(0.0019 * np.sin(TIMES) ** 2) == []


def test_a_stop_that_gives_way_is_no_movement():
    travel = np.interp(TIMES, [0, 10, 11, 20], [-0.004, 0.0, 0.010, 0.010])
    (turn,) = turns_of(travel)
    assert (turn.rests, turn.begins) == (pytest.approx(10.0, abs=2e-3), pytest.approx(10.2))


def test_a_slow_creep_is_one_movement():
    (turn,) = turns_of(1e-3 * TIMES)
    assert (turn.direction, turn.begins) == (1, pytest.approx(2.0))


def test_turns_alternate_and_are_numbered_by_kind():
    travel = np.interp(TIMES, [0, 1, 2, 3, 4, 5, 6], [0, 0, 0.02, 0.02, 0, 0, 0.02])
    found = turns_of(travel)
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
    assert "already 9 kN" in found["spring_application_1.touches"].reason
    assert found["spring_application_1.force_90"].reason == "service air pushes as well: 600 kPa at 12.00 s"


def test_a_spring_that_never_touches_says_what_the_force_is():
    travel = np.interp(TIMES, [0, 5, 6], [0, 0, 0.010])
    found = values(spring(travel, np.zeros_like(TIMES)))
    assert found["spring_application_1.touches"].value is None
    assert found["spring_application_1.touches"].reason == "the pushrod force is 0 kN at 20 s"


def parked_with_pedal(pedal=(10, 10.4, 14, 14.4), vented=(5, 6), released=18.0):
    """Parked at 5 s, pedal over a while, released; service air adds 20 kN per MPa, brake and travel 2 mm per kN."""
    service = np.interp(TIMES, pedal, [0, 700e3, 700e3, 0])
    hold_off = np.interp(TIMES, [0, *vented, released, released + 1], [800e3, 800e3, 5e3, 5e3, 800e3])
    alone = 5300 * np.clip(1 - hold_off / 300e3, 0, 1)
    out = np.clip((400e3 - hold_off) / 100e3, 0, 1) * 0.014
    force = np.where(alone > 0, alone + 0.02 * service, 0.02 * service)
    return spring(np.where(alone > 0, out + 2e-6 * force, out), force, service, hold_off)


FULL_AT = 5 + (800 - 300 * (1 - 0.9 * 295 / 300)) / 795
"""When nine tenths of the force come with that hold-off pressure [s]."""


def test_a_pedal_on_top_of_the_springs_is_no_part_of_their_force():
    found = values(parked_with_pedal())
    alone = 5300 * (1 - 5 / 300)
    assert found["spring_application_1.final_force"].value == pytest.approx(alone, abs=25)
    assert found["spring_application_1.final_force"].reason == "until service air came in at 10.00 s"
    assert found["spring_application_1.force_90"].value == pytest.approx(FULL_AT, abs=3e-3)


def test_a_spring_that_follows_the_pushrod_of_the_pedal_makes_no_turns():
    found = values(parked_with_pedal())
    assert found["spring_release_1.begins"].value == pytest.approx(18.0, abs=0.12)
    assert not [name for name in found if name.startswith(("spring_release_2", "spring_application_2"))]


def test_a_vacuum_that_fills_again_is_no_release():
    """Service air leaves: the piston goes back fast and draws the hold-off pressure below the atmosphere."""
    travel = np.interp(TIMES, [0, 5, 6, 10, 10.5, 14, 14.5, 15.5], [0, 0, 0.03, 0.03, 0.05, 0.05, 0.035, 0.030])
    hold_off = np.interp(TIMES, [0, 5, 6, 14, 14.4, 15.5, 16], [800e3, 400e3, 5e3, 5e3, -25e3, -3e3, 5e3])
    (turn,) = turns_of(travel, hold_off)
    assert turn.direction == 1


def test_service_air_before_the_spring_has_its_force_leaves_no_force_to_tell():
    found = values(parked_with_pedal(pedal=(5.7, 6.0, 14, 14.4)))
    for name in ("force_90", "final_force"):
        assert found[f"spring_application_1.{name}"].value is None
        assert "5.70 s, before the spring had its force" in found[f"spring_application_1.{name}"].reason


def test_service_air_that_stays_leaves_no_force_to_tell():
    found = values(parked_with_pedal(pedal=(1, 1.2, 30, 31)))
    assert found["spring_application_1.final_force"].value is None
    assert found["spring_application_1.final_force"].reason == "service air pushes as well: 700 kPa at 18.00 s"


def test_a_spring_that_takes_over_from_service_air_is_timed_from_there():
    """Service air is gone at 5.2 s, before the spring touches: its own rise counts."""
    found = values(parked_with_pedal(pedal=(1, 1.2, 5, 5.2)))
    assert found["spring_application_1.force_90"].value == pytest.approx(FULL_AT, abs=3e-3)
    assert found["spring_application_1.final_force"].reason == ""
