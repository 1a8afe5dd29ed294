"""The example of every part is a whole circuit that reads, runs, conserves, and shows the part at its job."""

from __future__ import annotations

from functools import cache

import pytest

from pneusim.parts.registry import part, part_types
from pneusim.reading import load_text
from pneusim.simulate import run
from tests.parts.jobs import all_jobs

JOBS = all_jobs()


@cache
def circuit_of(kind: str):
    return load_text(part(kind).example)


def scenarios() -> list[tuple[str, str]]:
    return [(kind, name) for kind in part_types() for name in circuit_of(kind).scenarios]


def test_every_scenario_of_an_example_has_its_job():
    assert set(scenarios()) == set(JOBS)


@pytest.mark.parametrize(("kind", "scenario"), list(JOBS))
def test_it_runs_and_does_its_job(kind, scenario):
    result = run(circuit_of(kind), scenario)
    assert result.status == "ok"
    assert JOBS[kind, scenario](result)
