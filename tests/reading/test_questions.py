"""Questions for a class: what the file says is in the step, and the run does not notice them."""

from __future__ import annotations

import numpy as np
import pytest

from pneusim import simulate
from pneusim.circuit.scenario import Step
from pneusim.reading import find_shipped, load, load_text
from tests.reading.test_scenarios import step

TEXT = "What does it do?"


def question(rest: str) -> Step:
    return step(f"at: 1 s, ask: {{text: {TEXT}, {rest}}}")


def test_a_text_alone_is_a_question() -> None:
    found = step(f"at: 1 s, ask: {TEXT}")
    assert (found.text, found.choices, found.answer, found.explanation) == (TEXT, (), None, "")
    assert step(f"at: 1 s, ask: {{text: {TEXT}}}").text == TEXT


@pytest.mark.parametrize("answer", ["it falls", "2", "' it falls '"])
def test_the_answer_is_a_choice_or_its_number(answer: str) -> None:
    found = question(f"choices: [it rises, it falls], answer: {answer}, explanation: ' It has a leak. '")
    assert (found.text, found.choices, found.answer) == (TEXT, ("it rises", "it falls"), 1)
    assert found.explanation == "It has a leak."


def test_a_choice_of_that_text_counts_before_the_number() -> None:
    assert question("choices: [2, 1, 3], answer: 1").answer == 1


def test_a_question_may_be_explained_without_choices() -> None:
    assert question("explanation: Because.").explanation == "Because."


def test_yes_and_no_are_words() -> None:
    assert question("choices: [yes, no], answer: no").choices == ("yes", "no")


def test_a_question_changes_nothing() -> None:
    text = find_shipped("one-axle").read_text(encoding="utf-8")
    plain = simulate.run(load("one-axle"), "brake")
    before = "      - {at: 0.5 s, set: foot.travel, to: 100 %, over: 0.2 s}\n"
    asks = "      - {at: 0.55 s, note: A remark.}\n"
    asks += "      - {at: 0.61 s, ask: {text: What now?, choices: [a, b], answer: a}}\n"
    assert before in text
    asked = simulate.run(load_text(text.replace(before, before + asks, 1)), "brake")
    assert [e.time for e in asked.events if e.kind in ("ask", "note")] == [0.55, 0.61]
    assert [e for e in asked.events if e.kind not in ("ask", "note")] == list(plain.events)
    assert asked.solver.steps == plain.solver.steps
    assert [(m.name, m.value) for m in asked.measures] == [(m.name, m.value) for m in plain.measures]
    for name, channel in plain.channels.items():
        assert np.array_equal(channel.times, asked[name].times)
        assert np.array_equal(channel.values, asked[name].values)
