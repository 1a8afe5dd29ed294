"""What chambers and spring brakes hand to the builder, for every size."""

from __future__ import annotations

from typing import get_args

import pytest

from pneusim.parts.brake_chamber import BrakeChamber, Size
from pneusim.parts.spring_brake_actuator import Size as SpringSize
from pneusim.parts.spring_brake_actuator import SpringBrakeActuator
from tests.parts.recorder import Moment, lowered

SQUARE_INCH = 6.4516e-4

# Rated volumes [cm3] over the full stroke, standard stroke: 49 CFR 571.121 Table V,
# from memory, to be read against the official text.
RATED = {"9": 410, "12": 492, "14": 655, "16": 754, "18": 819, "20": 885, "24": 1098, "30": 1458, "36": 2212}


@pytest.mark.parametrize("size", get_args(Size))
def test_the_number_is_the_area_in_square_inches(size):
    assert BrakeChamber(size=size).figure("area") == pytest.approx(int(size) * SQUARE_INCH, rel=2e-4)


@pytest.mark.parametrize(("size", "rated"), RATED.items())
def test_the_rated_volume_is_pre_fill_and_area_times_stroke(size, rated):
    chamber = BrakeChamber(size=size)
    volume = chamber.figure("pre_fill") + chamber.figure("area") * chamber.figure("stroke")
    assert volume * 1e6 == pytest.approx(rated, rel=2e-3)


def test_a_figure_given_counts_over_the_size():
    chamber = BrakeChamber(size="30", pre_fill=250e-6, stroke=0.08, brake_stiffness=420e3)
    recorder = lowered(chamber)
    assert recorder.airs[0][1] == 250e-6
    (figures,) = recorder.actuators
    assert figures["stroke"] == 0.08
    assert figures["brake_stiffness"] == 420e3
    assert figures["area"] == pytest.approx(30 * SQUARE_INCH, rel=1e-4)


def test_out_of_adjustment_lengthens_the_free_stroke():
    recorder = lowered(BrakeChamber(free_stroke=0.014))
    (figures,) = recorder.actuators
    assert recorder.at(figures["free_stroke"]) == 0.014
    assert recorder.at(figures["free_stroke"], Moment(faults={"out_of_adjustment": 0.045})) == 0.045


def test_a_torn_diaphragm_leaks_from_the_service_side():
    for chamber in (BrakeChamber(), SpringBrakeActuator()):
        recorder = lowered(chamber)
        ((port, hole),) = recorder.leaks
        assert port == "11"
        assert recorder.at(hole, Moment(faults={"torn_diaphragm": 0.01})) == 0.01


@pytest.mark.parametrize("size", get_args(SpringSize))
def test_springs_balance_below_the_usual_supply_and_reach_beyond_the_free_stroke(size):
    actuator = SpringBrakeActuator(size=size)
    start = actuator.figure("spring_force") / actuator.figure("spring_area")
    assert (
        380e3 < start < 460e3
    )  # springs start to move between warning and full supply: common practice, no source
    out = actuator.figure("spring_force") - actuator.figure("spring_rate") * actuator.figure("spring_stroke")
    assert out > 0.0
    assert actuator.figure("spring_stroke") > 2 * actuator.free_stroke


def test_the_spring_side_of_a_size_30_holds_1_2_to_1_6_litres_when_held_off():
    """Estimate of the trade, 75 to 100 cubic inches: common practice, no source."""
    actuator = SpringBrakeActuator(size="30/30")
    volume = actuator.figure("spring_dead_volume") + actuator.figure("spring_area") * actuator.figure(
        "spring_stroke"
    )
    assert 1.2e-3 < volume < 1.6e-3


@pytest.mark.parametrize(
    ("moment", "pushes", "rate"),
    [
        (Moment(), 7600.0, 45e3),
        (Moment(faults={"broken_spring": 1.0}), 0.0, 0.0),
        (Moment(faults={"caged": 1.0}), -500.0, 0.0),
        (Moment(inputs={"caged": 1.0}), -500.0, 0.0),
        (Moment(inputs={"caged": 1.0}, faults={"broken_spring": 1.0}), -500.0, 0.0),
    ],
)
def test_a_spring_pushes_unless_broken_or_caged(moment, pushes, rate):
    recorder = lowered(SpringBrakeActuator(size="30/30"))
    (figures,) = recorder.actuators
    assert recorder.at(figures["spring_force"], moment) == pytest.approx(pushes)
    assert recorder.at(figures["spring_rate"], moment) == pytest.approx(rate)


def test_springs_and_friction_given_as_pressures_become_forces_of_the_area():
    chamber = BrakeChamber(size="30", return_pressure=20e3, friction_pressure=2e3)
    (figures,) = lowered(chamber).actuators
    assert figures["return_preload"] == pytest.approx(20e3 * 30 * SQUARE_INCH, rel=1e-4)
    assert figures["friction"] == pytest.approx(2e3 * 30 * SQUARE_INCH, rel=1e-4)


def test_service_and_spring_size_are_separate():
    actuator = SpringBrakeActuator(size="20/30")
    (figures,) = lowered(actuator).actuators
    assert figures["area"] == pytest.approx(20 * SQUARE_INCH, rel=2e-4)
    assert figures["piston_area"] == pytest.approx(30 * SQUARE_INCH, rel=2e-4)
