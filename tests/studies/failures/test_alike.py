"""Failures that the graph proves alike are: both twins are run, and one's facts are the other's under the map."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from pneusim.circuit.circuit import Circuit
from pneusim.circuit.scenario import Scenario, Step, Trigger
from pneusim.reading import apply_changes
from pneusim.studies.case import Case
from pneusim.studies.failures.alike import image, isomorphism, twins
from pneusim.studies.failures.cycle import Cycle, drive_cycle
from pneusim.studies.failures.facts import find_facts
from pneusim.studies.failures.failure import Failure, failed
from pneusim.studies.failures.moments import Moments
from pneusim.studies.failures.portrait import Portrait, Unlabelled
from tests.studies.failures.axle import circuit, single

MOMENTS = Moments(2.0, 8.0, 12.0, 16.0, 22.0, 32.0)


def twin_ids(subject: Circuit, failures: list[Failure], cycle: Cycle | None = None) -> dict[str, str]:
    found = twins(subject, cycle or drive_cycle(subject), failures)
    return {f.id: failures[twin.first].id for f, twin in zip(failures, found) if failures[twin.first] is not f}


def test_left_and_right_of_an_axle_are_alike_and_nothing_else_is() -> None:
    found = twin_ids(circuit(), list(single().values()))
    assert found == {name: other for name in single()
                     if (other := name.replace("_r.", "_l.").replace("right.", "left.")) != name}  # fmt: skip
    assert len(found) == 15


@pytest.mark.parametrize("what", ["rod_{}.broken_near_end", "spring_{}.leaking", "{}.caged", "{}.out_of_adjustment"])
def test_both_twins_come_to_the_same_under_the_map(what: str) -> None:
    """Sums are rounded in another order, so that steps differ: the tolerance of the runs is all that may differ."""
    sides = ("left", "right") if what.startswith("{}") else ("l", "r")
    pair = [single()[what.format(side)] for side in sides]
    [_, twin] = twins(circuit(), drive_cycle(circuit()), pair)
    assert twin.first == 0
    facts = []
    for failure in pair:
        changed = failed(circuit(), drive_cycle(circuit()).scenario, failure, 2.0)
        facts.append(find_facts(Case(failure.id, *changed, 1e-7, MOMENTS.text())).extra)
    same(image(facts[0], twin.names), facts[1])
    assert twin.names["left"] == "right"


def same(first: Any, second: Any) -> None:
    if isinstance(first, dict):
        assert first.keys() == second.keys()
        for name in first:
            same(first[name], second[name])
    elif isinstance(first, float):
        assert first == pytest.approx(second, rel=1e-4, abs=0.5)
    else:
        assert first == second


@pytest.mark.parametrize("change", [{"rod_l.length": 1.3}, {"left.free_stroke": 0.015}])
def test_what_differs_between_the_sides_ends_the_likeness(change: dict[str, float]) -> None:
    subject = apply_changes(circuit(), change)
    failures = [single()[name] for name in ("left.torn_diaphragm", "right.torn_diaphragm")]
    assert twin_ids(subject, failures) == {}


def test_what_a_scenario_does_to_one_side_ends_the_likeness() -> None:
    failures = [single()[name] for name in ("left.torn_diaphragm", "right.torn_diaphragm")]
    usual = drive_cycle(circuit())
    steps = (*usual.scenario.steps, Step("fault", at=1.0, target="left.out_of_adjustment", to=0.04))
    begun = replace(usual.scenario, begin={**usual.scenario.begin, "left.caged": 1.0})
    when = Trigger("left.service_pressure", 1e5, 1)
    watched = Step("set", when=when, target="park.lever", to=0.0)
    for scenario in (replace(usual.scenario, steps=steps), begun, replace(usual.scenario, steps=(watched,))):
        assert twin_ids(circuit(), failures, Cycle(scenario, 2.0)) == {}
    assert twin_ids(circuit(), failures, usual) != {}


def test_ports_of_a_valve_that_differ_are_not_exchanged() -> None:
    """Axles of the trailer hang on springs' ports 24, 25 and 26 of its valve: only sides are alike."""
    of = single("tractor-semitrailer")
    springs = [of[f"trailer.axle{n}_{side}.broken_spring"] for n in (1, 2, 3) for side in ("left", "right")]
    found = twin_ids(circuit("tractor-semitrailer"), springs)
    assert found == {f"trailer.axle{n}_right.broken_spring": f"trailer.axle{n}_left.broken_spring" for n in (1, 2, 3)}


MAPS = """\
from tests.studies.failures.axle import circuit, single
from pneusim.studies.failures.alike import twins
from pneusim.studies.failures.cycle import drive_cycle
failures = [failure for failure in single("rigid-truck").values() if failure.kind in ("spring", "diaphragm")]
found = twins(circuit("rigid-truck"), drive_cycle(circuit("rigid-truck")), failures)
print([(twin.first, list(twin.names.items())) for twin in found])
"""


def test_of_several_maps_every_process_finds_the_same() -> None:
    told = {
        subprocess.run([sys.executable, "-c", MAPS], env={**os.environ, "PYTHONHASHSEED": seed}, check=True,
                       capture_output=True, text=True, cwd=Path(__file__).parents[3]).stdout
        for seed in ("1", "2", "3")
    }  # fmt: skip
    assert len(told) == 1
    assert "left" in told.pop()


def test_a_map_that_breaks_an_edge_is_none() -> None:
    one = Portrait(circuit(), drive_cycle(circuit()).scenario)
    fewer = replace(circuit(), lines={name: line for name, line in circuit().lines.items() if name != "rod_l"})
    other = Portrait(fewer, drive_cycle(circuit()).scenario)
    flat = [dict.fromkeys(portrait.labels, 0) for portrait in (one, other)]
    assert isomorphism(one, other, *flat) is None


def test_what_cannot_be_put_on_a_node_makes_no_portrait_and_no_twins() -> None:
    when = Trigger("vehicle.braking_ratio", 0.1, 1)
    scenario = Scenario("watched", steps=(Step("set", when=when, target="park.lever", to=0.0),))
    with pytest.raises(Unlabelled):
        Portrait(circuit(), scenario)
    failures = [single()[name] for name in ("left.torn_diaphragm", "right.torn_diaphragm")]
    assert twin_ids(circuit(), failures, Cycle(scenario, 0.0)) == {}


def test_an_image_renames_keys_and_entries() -> None:
    assert image({"left": [1.0, "left"], "x": {"right": None}}, {"left": "right", "right": "left"}) == {
        "right": [1.0, "right"], "x": {"left": None},
    }  # fmt: skip
