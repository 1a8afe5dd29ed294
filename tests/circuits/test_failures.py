"""What the failures of the combination show beyond their limits: order of events, and who keeps braking."""

from __future__ import annotations

import pytest

from pneusim.results.run import Run
from tests.circuits.shipped import run, value


def combination(scenario: str) -> Run:
    return run("tractor-semitrailer", scenario)


def first(result: Run, component: str, kind: str) -> float:
    """Time of the first event of a kind [s]."""
    return next(event.time for event in result.events if (event.component, event.kind) == (component, kind))


def test_a_slow_leak_warns_then_springs_drag_then_the_controls_trip() -> None:
    result = combination("slow_leak")
    order = [
        first(result, "tractor.low_primary", "closed"),
        first(result, "tractor.drive1_left", "spring_begins"),
        first(result, "tractor.drive1_left", "spring_touches"),
        first(result, "tractor.trailer_supply", "tripped"),
        first(result, "tractor.park", "tripped"),
    ]
    assert order == sorted(order)


def test_a_broken_control_line_does_nothing_until_the_pedal_is_used() -> None:
    """Newfoundland and Labrador Air Brake Manual: then the tractor's air falls, and in the end the trailer stops."""
    result = combination("control_line_breaks")
    pressure = result["tractor.primary.pressure"]
    assert pressure(2.9) > 0.99 * pressure(0.9)
    warned, tripped = (first(result, *key) for key in (("tractor.low_primary", "closed"),
                                                       ("tractor.trailer_supply", "tripped")))  # fmt: skip
    assert 3.0 < warned < tripped
    assert tripped < first(result, "trailer.axle1_left", "spring_force_90")


def test_a_broken_primary_leaves_front_axle_and_trailer_braking_alike() -> None:
    result = combination("primary_line_breaks")
    front = value(result, "tractor.front_left.application_1.asymptotic_pressure")
    trailer = value(result, "trailer.axle1_left.application_1.asymptotic_pressure")
    assert abs(front - trailer) < 28e3  # 4 psi, US Army TM 5-3820-256-24-4, p. 115
    assert not any(event.kind == "tripped" for event in result.events)


def test_parking_vents_the_trailer_through_its_supply_line_only() -> None:
    result = combination("park_apply")
    for reservoir in ("tractor.primary", "tractor.secondary", "trailer.reservoir"):
        assert value(result, f"{reservoir}.kept") > 0.99


@pytest.mark.parametrize("number", range(2, 9))
def test_every_further_application_brings_less(number: int) -> None:
    result = combination("eight_applications")
    for brake in ("tractor.front_left", "tractor.drive1_left", "trailer.axle1_left"):
        before, now = (value(result, f"{brake}.application_{n}.asymptotic_pressure") for n in (number - 1, number))
        assert 0.88 * before < now < before


def test_anti_compounding_keeps_spring_and_service_from_adding_up() -> None:
    parked = run("tractor-6x4", "braking_while_parked")
    service = value(run("tractor-6x4", "full_application"), "drive1_left.highest_force")
    springs = value(parked, "drive1_left.final_force")
    assert value(parked, "drive1_left.highest_force") < 1.1 * service < 0.9 * (service + springs)
