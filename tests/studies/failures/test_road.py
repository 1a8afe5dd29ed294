"""Failures of a vehicle that drives: stopping distances beside forces."""

from __future__ import annotations

import pytest

from pneusim.circuit.surfaces import plain_road
from pneusim.errors import RunFailed, UsageError
from pneusim.reading import load
from pneusim.studies.failures.cycle import HOLD, drive_cycle
from pneusim.studies.failures.groups import consequence_in_words
from pneusim.studies.failures.single import single_failures
from pneusim.studies.failures.study import Study, study

FAILURES = ("rear_feed.broken_middle", "foot.stuck", "rear_relay.stuck_open", "low_primary.stuck")
ROAD = plain_road("dry", 60.0 / 3.6)


@pytest.fixture(scope="module")
def found() -> Study:
    """Some failures of the truck from 60 km/h."""
    circuit = load("rigid-truck")
    single = {failure.id: failure for failure in single_failures(circuit)[0]}
    return study(circuit, drive_cycle(circuit, road=ROAD), [single[name] for name in FAILURES if name in single])


def test_half_of_the_force_stops_later_and_a_stuck_pedal_never(found: Study) -> None:
    usual = found.intact.extra["stops"]["vehicle"]
    assert usual == pytest.approx(22.4, abs=1.0)  # regression
    lost = found["rear_feed.broken_middle"].consequences.distances["vehicle"]
    assert lost is not None
    assert lost > 1.3 * usual
    assert found["foot.stuck"].consequences.distances["vehicle"] is None


def test_a_vehicle_that_brakes_by_itself_stands_before_the_pedal(found: Study) -> None:
    row = found["rear_relay.stuck_open"]
    assert row.consequences.distances["vehicle"] == 0.0
    assert "stands before the pedal is pressed" in consequence_in_words([row], found)


def test_distances_are_told_beside_forces(found: Study) -> None:
    words = consequence_in_words([found["rear_feed.broken_middle"]], found)
    assert "m instead of" in words
    assert "does not come to rest" in consequence_in_words([found["foot.stuck"]], found)


def test_on_a_road_the_pedal_is_held_until_a_weak_brake_has_stopped() -> None:
    circuit = load("rigid-truck")
    plain, driven = drive_cycle(circuit), drive_cycle(circuit, road=ROAD)
    assert driven.scenario.lasts - plain.scenario.lasts == pytest.approx(ROAD.speed / 1.5 - HOLD)


def test_what_cannot_roll_is_told_what_it_lacks() -> None:
    circuit = load("one-axle")
    with pytest.raises(RunFailed, match="cannot roll: it lacks a mass"):
        study(circuit, drive_cycle(circuit, road=ROAD), [])


def test_an_unknown_surface_is_told() -> None:
    with pytest.raises(UsageError, match="there are: dry"):
        plain_road("mud", 10.0)
