"""What makes a lesson: questions with an answer and a reason, each just before what it asks about, and their proof."""

from __future__ import annotations

import re

import pytest

from pneusim.circuit.scenario import Scenario, Step
from tests.circuits.shipped import LESSONS, circuit, run, value

SCENARIOS = [(name, scenario) for name in LESSONS for scenario in circuit(name).scenarios]
WORDS = ("ask", "note")
JUST_BEFORE = 0.2  # [s]


def questions(scenario: Scenario) -> list[Step]:
    return [step for step in scenario.steps if step.action == "ask"]


def test_the_lessons() -> None:
    names = ["compounding", "line-break", "locked-wheels", "parking", "separation", "service-braking"]
    assert list(LESSONS) == [f"lessons/{name}" for name in names]


@pytest.mark.parametrize("name", LESSONS)
def test_a_lesson_says_in_two_sentences_what_it_is_about(name: str) -> None:
    assert circuit(name).title.startswith("Lesson: ")
    assert len(re.findall(r"[.?](?: |$)", circuit(name).about.strip())) == 2


@pytest.mark.parametrize(("name", "scenario"), SCENARIOS)
def test_a_question_has_choices_an_answer_and_a_reason(name: str, scenario: str) -> None:
    asked = questions(circuit(name).scenarios[scenario])
    assert 2 <= len(asked) <= 4
    for step in asked:
        assert step.text.endswith("?")
        assert 2 <= len(step.choices) <= 4
        assert step.answer is not None
        assert 40 < len(step.explanation) < 450
        assert step.explanation.endswith(".")


@pytest.mark.parametrize(("name", "scenario"), SCENARIOS)
def test_a_question_comes_before_its_answer(name: str, scenario: str) -> None:
    """It stands just before a step, or it names no time because the run goes on by itself."""
    steps = circuit(name).scenarios[scenario].steps
    acts = [step.at for step in steps if step.action not in WORDS]
    for step in questions(circuit(name).scenarios[scenario]):
        assert step.at is not None
        told = re.search(r"\bAt (\d+) s", step.text)
        if told:
            assert 0.0 < float(told[1]) - step.at <= JUST_BEFORE, step.text
            assert float(told[1]) in acts, step.text


@pytest.mark.parametrize("name", LESSONS)
def test_the_answer_does_not_stand_at_the_same_place_everywhere(name: str) -> None:
    answers = {step.answer for scenario in circuit(name).scenarios.values() for step in questions(scenario)}
    assert len(answers) > 1


def test_the_spring_chambers_tell_compounding_from_its_absence() -> None:
    sound, stuck = (run("lessons/compounding", name) for name in ("with_anti_compounding", "without_anti_compounding"))
    assert value(stuck, "both_together") > 1.3 * value(sound, "highest_while_parked")
    both = value(stuck, "springs_alone") + value(stuck, "pedal_alone")
    assert abs(value(stuck, "both_together") - both) < 0.05 * both


def test_a_wide_feed_costs_the_tractor_its_air_and_the_trailer_nothing() -> None:
    narrow, wide = (run("lessons/separation", name) for name in ("the_trailer_comes_away", "the_feed_is_too_large"))
    springs = "trailer.axle1_left.spring_application_1.force_90"
    assert value(wide, springs) == pytest.approx(value(narrow, springs), abs=0.05)
    assert value(wide, "tractor.primary.lowest") < 0.5 * value(narrow, "tractor.primary.lowest")


def test_the_control_line_is_missed_only_when_it_is_used() -> None:
    supply, control = (run("lessons/line-break", name) for name in ("supply_line_breaks", "control_line_breaks"))
    assert value(supply, "tractor.trailer_supply.tripped") < 2.0
    assert value(control, "tractor.trailer_supply.tripped") > 20.0
