"""Anti-lock stops against UN R13 Annex 13, whose figures are from memory, to be read against the official text.

The controls are generic ones for teaching. Such a run is not smooth in what goes into it, so that limits are of the
regulation or of common practice, never digits of a run.
"""

from __future__ import annotations

import pytest

from pneusim.control.naive import NaiveAntiLock
from pneusim.physics.stopping import locked_distance
from pneusim.results.run import Run
from pneusim.simulate import run as simulate
from tests.circuits.rolling import braking_rate, locked, longest, varied
from tests.circuits.shipped import circuit, run, value

TRUCK, COMBINATION = "anti-lock-truck", "anti-lock-combination"
LOW, DRY = 0.312, 0.819  # peaks of friction
ROLLING = 0.007
SOUND = [(TRUCK, name) for name in ("stop_low", "stop_low_empty", "stop_ice", "split", "high_to_low", "low_to_high",
                                    "wet_patch")]  # fmt: skip
SOUND += [(COMBINATION, name) for name in ("stop_laden", "stop_empty", "stop_empty_wet")]
MODES = ("individual", "mixed", "select_low")
BRIEF = 0.2  # a mark of ours for the regulation's "brief" [s]


@pytest.mark.parametrize(("name", "scenario"), SOUND)
def test_no_wheel_locks_above_15_km_h_but_briefly(name: str, scenario: str) -> None:
    assert longest(run(name, scenario)) < BRIEF


@pytest.mark.parametrize("mode", MODES)
def test_nor_in_any_way_of_control_on_split_friction(mode: str) -> None:
    assert longest(run(TRUCK, "split", mode)) < BRIEF


@pytest.mark.parametrize("scenario", ["stop_low", "stop_low_empty"])
def test_it_uses_three_quarters_of_a_low_friction(scenario: str) -> None:
    """Utilisation z/k of at least 0.75, laden and unladen; rolling resistance does not count."""
    assert (braking_rate(run(TRUCK, scenario)) - ROLLING) / LOW > 0.75


def test_the_empty_combination_uses_three_quarters_of_a_wet_road() -> None:
    mean = value(run(COMBINATION, "stop_empty_wet"), "tractor.vehicle.mean_deceleration")
    assert mean / 9.80665 > 0.75 * 0.64


def test_split_friction_asks_for_a_braking_rate_that_select_low_does_not_reach() -> None:
    """z of at least 0.75 (4 k_L + k_H)/5, and of k_L. Select-low gives the high side no more than the low one takes."""
    needed = 0.75 * (4.0 * LOW + DRY) / 5.0
    reached = {mode: braking_rate(run(TRUCK, "split", mode)) for mode in MODES}
    assert reached["individual"] > reached["mixed"] > needed > reached["select_low"]
    assert reached["mixed"] > LOW


def test_what_one_side_brakes_more_turns_the_vehicle() -> None:
    """The other side of the choice: the moment of the forces about the middle, 1 m from either side, after 1 s."""
    moments = []
    for mode in MODES:
        result = run(TRUCK, "split", mode)
        sides = [sum(result[f"axle_{n}_{side}.road_force"](1.0) for n in (1, 2)) for side in ("right", "left")]
        moments.append(sides[0] - sides[1])
    assert moments[0] > 1.3 * moments[1] > 3.0 * moments[2]


def test_on_ice_it_lengthens_the_stop_and_keeps_the_wheels_turning() -> None:
    """Friction that hardly depends on slip leaves nothing to gain: common practice. Locked: v^2/(2 g 0.05)."""
    slid = locked_distance(25.0 / 3.6, 0.05)
    without = varied(TRUCK, "stop_ice", steps=circuit(TRUCK).scenarios["voltage_lost"].steps)
    assert value(without, "vehicle.stopping_distance") == pytest.approx(slid, rel=0.05)
    way = value(run(TRUCK, "stop_ice"), "vehicle.stopping_distance")
    assert way > max(slid, value(without, "vehicle.stopping_distance"))


def test_a_stop_on_ice_takes_air_and_leaves_enough() -> None:
    result = run(TRUCK, "stop_ice")
    assert value(result, "anti_lock.air_used") > 5e-3
    for tank in ("primary", "secondary"):
        assert value(result, f"{tank}.lowest") > 450e3


@pytest.mark.parametrize("scenario", ["stop_laden", "stop_empty", "stop_empty_wet"])
def test_with_control_a_combination_stops_sooner(scenario: str) -> None:
    """Friction of a tyre that slips a little is higher than that of a locked one on a paved road: common practice."""
    way = "tractor.vehicle.stopping_distance"
    assert value(run(COMBINATION, scenario), way) < value(run("tractor-semitrailer", scenario), way)


def test_the_patch_that_locks_a_wheel_for_good_does_not_lock_it_under_control() -> None:
    assert locked(run("rigid-truck", "wet_patch"), "axle_2_left") > 1.0
    assert locked(run(TRUCK, "wet_patch"), "axle_2_left") < BRIEF


def test_it_notices_that_the_road_has_become_better() -> None:
    assert value(run(TRUCK, "low_to_high"), "recovers") < 2.0


@pytest.mark.parametrize(
    ("scenario", "lost"),
    [
        ("modulator_sticks", ["axle_2_left"]),
        ("sensor_lost", ["axle_2_left"]),
        ("voltage_lost", ["axle_1_left", "axle_1_right", "axle_2_left", "axle_2_right"]),
    ],
)
def test_what_has_failed_is_lost_to_its_wheels_alone(scenario: str, lost: list[str]) -> None:
    result = run(TRUCK, scenario)
    assert [f"axle_{n}_{side}" for n in (1, 2) for side in ("left", "right")
            if locked(result, f"axle_{n}_{side}") > 1.0] == lost  # fmt: skip


def naive(scenario: str) -> Run:
    control = NaiveAntiLock(((0,), (1,), (2,), (3,)))
    return simulate(circuit(TRUCK), scenario, controllers={"anti_lock": control})


def test_a_first_thought_holds_one_side_and_fails_where_all_wheels_slip() -> None:
    assert longest(naive("split")) < BRIEF
    assert longest(naive("stop_low")) > 2.0
