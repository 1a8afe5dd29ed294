"""Every circuit reads without a fault; every scenario runs, and what it expects comes true."""

from __future__ import annotations

import re

import numpy as np
import pytest

from pneusim.reading import read
from tests.circuits.shipped import FILES, circuit, run

SCENARIOS = [(name, scenario) for name in FILES for scenario in circuit(name).scenarios]


@pytest.mark.parametrize("name", FILES)
def test_a_circuit_has_no_fault_and_no_warning(name: str) -> None:
    assert [str(fault) for fault in read(FILES[name])[1]] == []


@pytest.mark.parametrize("name", FILES)
def test_a_circuit_says_what_it_is(name: str) -> None:
    assert circuit(name).title
    assert len(circuit(name).about) > 40
    assert circuit(name).scenarios


@pytest.mark.parametrize(("name", "scenario"), SCENARIOS)
def test_a_scenario_expects_something(name: str, scenario: str) -> None:
    assert circuit(name).scenarios[scenario].title
    assert circuit(name).scenarios[scenario].expectations


@pytest.mark.parametrize(("name", "scenario"), SCENARIOS)
def test_what_a_scenario_expects_comes_true(name: str, scenario: str) -> None:
    result = run(name, scenario)
    assert result.status == "ok"
    judged = [measure for measure in result.measures if measure.limit]
    assert len(judged) >= len({e.measure for e in circuit(name).scenarios[scenario].expectations})
    assert [f"{m.name}: {m.value} {m.reason}, {m.limit}" for m in judged if not m.met] == []


@pytest.mark.parametrize(("name", "scenario"), SCENARIOS)
def test_a_scenario_needs_no_more_steps_than_its_happenings_are_worth(name: str, scenario: str) -> None:
    """A valve or a line that flutters shows as ten times the steps.

    A movement of a control costs up to 800 while lines ring behind it, one of a modulator up to 40, a quiet second
    hardly any, one on a road up to 30.
    """
    result = run(name, scenario)
    causes = sum(event.category in ("step", "trip") for event in result.events)
    commanded = [channel.values for key, channel in result.channels.items() if key.endswith(".command")]
    moves = sum(np.count_nonzero(np.diff(values)) for values in commanded)
    second = 30 if result.scenario.road else 5
    assert result.solver.steps < 800 + 800 * causes + 40 * moves + second * result.scenario.lasts


@pytest.mark.parametrize(("name", "scenario"), SCENARIOS)
def test_the_story_speaks_the_language_of_the_trade(name: str, scenario: str) -> None:
    """No name of a file's component, no noise of rounding in it."""
    story = " ".join(run(name, scenario).narrative)
    assert "_" not in story
    assert not re.search(r"\de[-+]?\d", story)
