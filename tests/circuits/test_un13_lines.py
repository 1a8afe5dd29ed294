"""A truck and a trailer with UN R13 lines: what breaks a line must do, and what it must not.

Limits are from memory, to be read against the official text; nothing here is validation.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

from pneusim import simulate
from pneusim.reading import load
from pneusim.results.run import Channel, Run

FILE = Path(__file__).parent / "units" / "un13_two.yaml"
SIDES = ("left", "right")
BRAKED, FREE = 600e3, 5e3  # service pressure [Pa]
HELD = 5e3  # force of the springs [N]


@cache
def run(scenario: str) -> Run:
    return simulate.run(load(FILE), scenario)


def trailer(scenario: str, what: str) -> list[Channel]:
    return [run(scenario)[f"trailer.{side}.{what}"] for side in SIDES]


def test_a_full_application_is_not_starved_by_the_throttle():
    """Three quarters of the pressure held stand in the chambers half a second after the pedal is moved."""
    for chamber in trailer("apply", "service_pressure"):
        assert chamber(1.0) > 0.75 * chamber(2.9)
        assert chamber(2.9) > BRAKED
        assert chamber(5.0) < FREE


def test_a_broken_control_line_empties_the_supply_line_in_time_and_the_trailer_brakes_by_itself():
    """UN R13 5.2.1.18.4.1: 150 kPa within 2 s of a full application, and fed again on release."""
    supply = run("control_line_breaks")["truck.supply_head.pressure"]
    assert supply(1.0) > 750e3
    assert supply(3.0) <= 150e3
    assert supply(9.0) > BRAKED
    for chamber in trailer("control_line_breaks", "service_pressure"):
        assert chamber(0.9) < FREE
        assert chamber(4.9) > BRAKED
        assert chamber(8.9) < FREE


def test_a_lost_supply_line_brakes_the_trailer_and_leaves_its_springs_held():
    """UN R13 Annex 8: a drop in the trailer's supply line must not apply its springs."""
    (spring, _), (chamber, _) = (trailer("supply_line_breaks", w) for w in ("spring_pressure", "service_pressure"))
    assert min(spring.values) > BRAKED
    assert chamber(1.5) > BRAKED
    assert run("supply_line_breaks")["trailer.left.spring_travel"].values.max() < 1e-3


def test_parked_the_trailer_is_braked_and_in_the_test_position_it_is_not():
    motor = run("park_and_test")["truck.left.pushrod_force"]
    for chamber in trailer("park_and_test", "service_pressure"):
        assert chamber(3.9) > BRAKED
        assert chamber(6.9) < FREE
        assert chamber(9.0) > BRAKED
    assert min(motor(t) for t in (3.9, 6.9, 9.0)) > HELD


def test_uncoupled_it_can_be_shunted_and_parked_and_returns_by_itself():
    service, force = (trailer("uncoupled_and_shunted", what)[0] for what in ("service_pressure", "pushrod_force"))
    assert service(2.9) > BRAKED
    assert service(5.9) < FREE
    assert force(5.9) == 0.0
    assert service(9.9) < FREE
    assert force(9.9) > HELD
    assert run("uncoupled_and_shunted")["trailer.buttons.shunt"](11.0) == 0.0
