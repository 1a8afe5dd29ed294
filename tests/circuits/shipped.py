"""The circuits and lessons that come with the package, each scenario run once for all tests."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from pneusim import simulate
from pneusim.circuit.circuit import Circuit
from pneusim.reading import load, shipped_circuits, shipped_lessons
from pneusim.results.run import Run

CIRCUITS = Path(__file__).parents[2] / "circuits"
LESSONS = shipped_lessons()
FILES = shipped_circuits() | LESSONS


@cache
def circuit(name: str) -> Circuit:
    """A shipped circuit."""
    return load(FILES[name])


@cache
def run(name: str, scenario: str, variant: str | None = None) -> Run:
    """The run of a scenario of a shipped circuit."""
    return simulate.run(circuit(name), scenario, variant=variant)


def value(of: Run, name: str) -> float:
    """The value of a measure [SI]; it must have one."""
    result = {measure.name: measure for measure in of.measures}[name]
    assert result.value is not None, f"{name}: {result.reason}"
    return result.value
