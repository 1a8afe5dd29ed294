"""What tests of runs on a road ask of them."""

from __future__ import annotations

from dataclasses import replace

from pneusim import simulate
from pneusim.circuit.road import Road
from pneusim.circuit.scenario import Scenario
from pneusim.results.run import Run
from tests.circuits.shipped import circuit, value

FAST = 15.0 / 3.6
"""Below this speed a wheel may lock: UN R13 Annex 13, from memory, to be read against the official text [m/s]."""


def wheels(run: Run) -> list[str]:
    """Names of all wheels of a run."""
    return [name.removesuffix(".slip") for name in run.channels if name.endswith(".slip")]


def locked(run: Run, name: str) -> float:
    """How long a wheel was locked above 15 km/h [s]."""
    return value(run, f"{name}.locked_time")


def longest(run: Run) -> float:
    """The longest lock of any wheel above 15 km/h [s]."""
    return max(value(run, f"{name}.longest_lock") for name in wheels(run))


def braking_rate(run: Run, high: float = 45.0, low: float = 15.0) -> float:
    """Mean deceleration between two speeds [km/h] over g, as UN R13 Annex 13 has it: 0.849 s over the time (memory)."""
    speed = run[next(name for name in run.channels if name.endswith("vehicle.speed"))]
    first, last = (speed.times[speed.values < limit / 3.6][0] for limit in (high, low))
    return (high - low) / 3.6 / 9.81 / (last - first)


def varied(name: str, scenario: str, road: dict[str, object] | None = None, **changes: object) -> Run:
    """A shipped scenario on another road or with other fields, without expectations."""
    made: Scenario = circuit(name).scenarios[scenario]
    assert isinstance(made.road, Road)
    made = replace(made, road=replace(made.road, **(road or {})), expectations=(), **changes)  # type: ignore[arg-type]
    return simulate.run(circuit(name), made)
