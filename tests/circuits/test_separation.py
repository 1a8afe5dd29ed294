"""The trailer comes away: what the small feed of the trailer supply control is worth, and what a large one costs.

Limits are those of the scenarios themselves; here stands what no single limit can say: order, cause and effect, and
the story of the variant that fails.
"""

from __future__ import annotations

import numpy as np
import pytest

from pneusim.results.run import Run
from tests.circuits.shipped import run, value

SCENARIOS = {"trailer_separates": 1.0, "trailer_separates_braking": 2.0}  # when the couplings part [s]
SERVICE = ("tractor.primary", "tractor.secondary")
LEFT_IN_THE_TRACTOR = 138e3  # 20 psi, 49 CFR 393.43, from memory, to be read against the official text [Pa]
AXLES = (1, 2, 3)


def separated(scenario: str, variant: str | None = None) -> Run:
    return run("tractor-semitrailer", scenario, variant)


@pytest.mark.parametrize("variant", [None, "large_feed"])
@pytest.mark.parametrize("scenario", SCENARIOS)
def test_the_trailer_brakes_without_the_driver(scenario: str, variant: str | None) -> None:
    result = separated(scenario, variant)
    for axle in AXLES:
        for side in ("left", "right"):
            brake = f"trailer.axle{axle}_{side}"
            applied = value(result, f"{brake}.spring_application_1.force_90")
            assert SCENARIOS[scenario] < applied < SCENARIOS[scenario] + 3.0
            assert value(result, f"{brake}.final_force") > 4.5e3
    assert value(result, "trailer.reservoir.kept") > 0.95


@pytest.mark.parametrize("variant", [None, "large_feed"])
@pytest.mark.parametrize("scenario", SCENARIOS)
def test_the_tractor_keeps_what_the_regulation_asks(scenario: str, variant: str | None) -> None:
    result = separated(scenario, variant)
    for reservoir in SERVICE:
        assert value(result, f"{reservoir}.lowest") > LEFT_IN_THE_TRACTOR


def test_with_a_small_feed_the_control_trips_at_once_and_the_tractor_keeps_its_air() -> None:
    result = separated("trailer_separates")
    assert 1.0 < value(result, "tractor.trailer_supply.tripped") < 2.0
    for reservoir in SERVICE:
        assert value(result, f"{reservoir}.kept") > 0.95
    assert not any(event.category == "warning" for event in result.events)
    assert "No warning came on." in result.narrative


def test_the_file_as_written_has_the_small_feed() -> None:
    written, varied = separated("trailer_separates"), separated("trailer_separates", "small_feed")
    assert varied.variant == "small_feed"
    assert [event.time for event in written.events] == [event.time for event in varied.events]


@pytest.mark.parametrize("scenario", SCENARIOS)
def test_with_a_large_feed_the_warning_comes_first_and_the_trip_late_or_never(scenario: str) -> None:
    result = separated(scenario, "large_feed")
    warned = [event.time for event in result.events if event.category == "warning"]
    tripped = [e.time for e in result.events if (e.component, e.kind) == ("tractor.trailer_supply", "tripped")]
    assert warned
    assert all(time > min(warned) + 5.0 for time in tripped)
    for reservoir in SERVICE:
        assert value(result, f"{reservoir}.lowest") < 414e3


def test_with_a_large_feed_the_story_says_what_is_not_met() -> None:
    told = [line for line in separated("trailer_separates", "large_feed").narrative if line.startswith("Not met: ")]
    assert any("primary reservoir: share of its pressure kept is expected to be at least 95 %" in line for line in told)
    assert any("popped out (time of the run) is expected to be at most 2 s" in line for line in told)


@pytest.mark.parametrize("scenario", SCENARIOS)
def test_the_story_tells_cause_and_effect_in_order(scenario: str) -> None:
    story = " ".join(separated(scenario).narrative)
    parts = (
        "the supply line and the control line part",
        "tractor protection valve shut the control line to the trailer",
        "trailer supply control popped out, because its delivery fell through",
        "the springs of trailer axles 1 to 3 began to move",
        "pressed on their brakes",
        "had 90 % of their final force",
        "the springs hold the brakes of trailer axles 1 to 3",
        "The trailer is held by its springs.",
        "All",
    )
    places = [story.find(part) for part in parts]
    assert -1 not in places, parts[places.index(-1)]
    assert places == sorted(places)


def test_while_braking_the_trailer_loses_its_service_air_before_its_springs_act() -> None:
    """Between them it rolls unbraked: the gap is less than half a second."""
    result = separated("trailer_separates_braking")
    times = {kind: [e.time for e in result.events if e.kind == kind and e.component.startswith("trailer.axle")]
             for kind in ("brake_releases", "spring_touches")}  # fmt: skip
    assert len(times["brake_releases"]) == len(times["spring_touches"]) == 6
    gap = max(times["spring_touches"]) - min(times["brake_releases"])
    assert 0.0 < gap < 0.5


def test_the_tractor_brakes_on_while_the_trailer_is_gone() -> None:
    pressure = separated("trailer_separates_braking")["tractor.drive1_left.service_pressure"]
    after = pressure.values[pressure.times > 4.0]
    assert np.ptp(after) < 5e3
    assert after.min() > 250e3
