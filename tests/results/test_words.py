"""Words for measures: what a reviewer reads in place of their names."""

from dataclasses import replace

import pytest

from pneusim.circuit.automatic import AUTOMATIC
from pneusim.results import finish
from pneusim.results.words import measure_words
from tests.results.synthetic import separation


@pytest.fixture(scope="module")
def run():
    return finish(separation())


@pytest.mark.parametrize(
    ("name", "words"),
    [
        (
            "tractor.axle_1_left.application_1.asymptotic_pressure",
            "brake of tractor axle 1 left: pressure held, application 1",
        ),
        (
            "trailer.axle_2_right.application_1.time_to_75",
            "brake of trailer axle 2 right: time to 75 % of the pressure held, application 1 (after the control moves)",
        ),
        (
            "trailer.axle_1_left.spring_application_1.force_90",
            "spring of trailer axle 1 left: 90 % of its force, application 1 (time of the run)",
        ),
        (
            "trailer.axle_1_left.spring_release_2.lets_go",
            "spring of trailer axle 1 left: lets go of the brake, release 2 (time of the run)",
        ),
        ("trailer.axle_1_left.final_force", "brake of trailer axle 1 left: pushrod force at the end"),
        (
            "trailer.axle_2.application_1.lag_75",
            "trailer axle 2: lag at 75 % of the pressure held, application 1 (behind the first)",
        ),
        ("trailer.application_1.lag_10", "trailer: lag at 10 % of the pressure held, application 1 (behind the first)"),
        ("tractor.primary.kept", "Primary: share of its pressure kept"),
        ("trailer.tank.lowest", "trailer tank: lowest pressure"),
        ("trailer.axle_2.parking_ratio", "trailer axle 2: share of the load that the springs hold"),
        ("trailer.vehicle.grade_held", "trailer: grade that the springs hold"),
        ("combination.grade_held", "combination: grade that the springs hold"),
        ("tractor.low.closed_2", "tractor low: closed, number 2 (time of the run)"),
        ("drive_lag", "drive lag"),
    ],
)
def test_what_a_measure_is(run, name, words):
    assert measure_words(run, name) == words


def test_every_measure_of_a_run_has_words_without_its_name(run):
    assert len(run.measures) > 100
    for result in run.measures:
        assert "_" not in measure_words(run, result.name)


def test_every_automatic_measure_has_words(run):
    owners = {"lowest": "tractor.primary", "kept": "tractor.primary"}
    turns = ("", "application_1.", "spring_application_1.", "spring_release_1.")
    for word in AUTOMATIC:
        told = [measure_words(run, f"{owners.get(word, 'trailer.axle_1_left')}.{turn}{word}") for turn in turns]
        assert any(not words.endswith(f"{word.replace('_', ' ')} (time of the run)") for words in told), word


def test_a_trip_is_told_as_it_happened(run):
    words = measure_words(run, "tractor.trailer_supply.tripped")
    assert words == "tractor trailer supply: tripped (time of the run)"
    event = next(event for event in run.events if event.category == "trip")
    popped = replace(event, kind="tripped", text="tractor trailer supply popped out, because its delivery fell")
    told = replace(run, events=(popped,))
    words = measure_words(told, "tractor.trailer_supply.tripped")
    assert words == "tractor trailer supply: popped out (time of the run)"


def test_levels_are_told_in_the_units_asked_for(run):
    name = "tractor.axle_1_left.application_1.time_to_414"
    assert measure_words(run, name, "us").startswith("brake of tractor axle 1 left: time to 60 psi, ")


def test_a_title_of_the_file_comes_first(run):
    measure = replace(run.scenario.measures[0], title="Lag of the drive axles")
    titled = replace(run, scenario=replace(run.scenario, measures=(measure,)))
    assert measure_words(titled, "drive_lag") == "Lag of the drive axles"
