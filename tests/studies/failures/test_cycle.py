"""The drive cycle, and its moments as the intact vehicle shows them."""

from __future__ import annotations

import pytest

from pneusim import simulate
from pneusim.errors import UsageError
from pneusim.studies.failures.cycle import FAILS, cycle_of, drive_cycle
from pneusim.studies.failures.moments import Moments, moments_of
from tests.studies.failures.axle import circuit


def test_the_default_cycle_drives_brakes_releases_parks_and_drives_off() -> None:
    cycle = drive_cycle(circuit("tractor-semitrailer"))
    told = [(step.at, step.target, step.to) for step in cycle.scenario.steps]
    assert told == [
        (8.0, "tractor.foot.travel", 1.0), (12.0, "tractor.foot.travel", 0.0), (16.0, "tractor.park.lever", 0.0),
        (16.2, "tractor.trailer_supply.knob", 0.0), (22.0, "tractor.park.lever", 1.0),
        (22.2, "tractor.trailer_supply.knob", 1.0),
    ]  # fmt: skip
    assert cycle.scenario.begin == {"tractor.park.lever": 1.0, "tractor.trailer_supply.knob": 1.0}
    assert (cycle.fails, cycle.scenario.lasts) == (FAILS, 32.0)


def test_the_driver_has_only_the_controls_of_the_cab() -> None:
    cycle = drive_cycle(circuit("tractor-semitrailer-un13"))
    assert cycle.scenario.begin["trailer.buttons.park"] == 1.0
    assert not any(step.target.startswith("trailer") for step in cycle.scenario.steps)


def test_a_longer_wait_moves_all_that_follows() -> None:
    usual, longer = drive_cycle(circuit()), drive_cycle(circuit(), 60.0)
    assert longer.scenario.lasts == usual.scenario.lasts + 54.0
    assert [s.at for s in longer.scenario.steps] == [s.at + 54.0 for s in usual.scenario.steps if s.at is not None]


def test_without_a_pedal_there_is_no_drive_cycle() -> None:
    with pytest.raises(UsageError, match=r"has no foot valve.*--cycle SCENARIO"):
        drive_cycle(circuit("semitrailer-3axle"))


def test_a_scenario_of_the_file_can_be_the_cycle() -> None:
    cycle = cycle_of(circuit("tractor-semitrailer"), "park_apply", 0.5)
    assert cycle.fails == 0.5
    assert cycle.scenario.steps == circuit("tractor-semitrailer").scenarios["park_apply"].steps
    assert not cycle.scenario.expectations


@pytest.mark.parametrize(("scenario", "at", "words"), [
    ("parking", 1.0, r"has no scenario 'parking' \(there are: full_application"),
    ("park_apply", 8.0, "cannot happen at 8 s: 'park_apply' lasts 8 s"),
])  # fmt: skip
def test_a_cycle_that_is_not_there_is_told(scenario: str, at: float, words: str) -> None:
    with pytest.raises(UsageError, match=words):
        cycle_of(circuit("tractor-semitrailer"), scenario, at)


def test_moments_of_the_drive_cycle() -> None:
    cycle = drive_cycle(circuit())
    moments = moments_of(simulate.run(circuit(), cycle.scenario), cycle.fails)
    assert moments == Moments(2.0, pytest.approx(8.0), pytest.approx(12.0), 16.0, 22.0, 32.0)
    assert Moments.read(moments.text()) == moments


def test_a_scenario_without_braking_and_parking_has_no_such_moments() -> None:
    one = circuit("tractor-6x4")
    moments = moments_of(simulate.run(one, "full_application"), 1.5)  # the pedal was pressed before
    assert (moments.pedal, moments.held, moments.parks, moments.parked) == (None, None, None, None)
    assert moments.drives == 6.0
