"""Whole vehicles as they are shipped, and how two runs of one differ."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np

from pneusim.circuit.circuit import Circuit
from pneusim.reading import load
from pneusim.results.run import Run

CIRCUITS = Path(__file__).parents[2] / "circuits"
GRID = 0.01  # [s]
BRAKES = ("service_pressure", "spring_pressure")


@cache
def golden(name: str) -> Circuit:
    """A shipped circuit."""
    return load(CIRCUITS / f"{name}.yaml")


@dataclass(frozen=True)
class Difference:
    """Differences of all pressures [Pa] on a 10 ms grid, and of the times of all events [s]."""

    pressures: dict[str, np.ndarray]
    events: dict[tuple[str, str, int], float]

    def share(self, quantile: float, only: tuple[str, ...] = ()) -> float:
        """Quantile of the differences, of all pressures or of the channels with certain endings."""
        chosen = [d for name, d in self.pressures.items() if not only or name.endswith(only)]
        return float(np.quantile(np.concatenate(chosen), quantile))

    @property
    def rms(self) -> float:
        return float(np.sqrt(np.mean(np.concatenate(list(self.pressures.values())) ** 2)))


def numbered(run: Run) -> dict[tuple[str, str, int], float]:
    """Times of the events by component, kind, and how many of that kind came before."""
    found: dict[tuple[str, str, int], float] = {}
    for event in run.events:
        count = sum(key[:2] == (event.component, event.kind) for key in found)
        found[event.component, event.kind, count] = event.time
    return found


def difference(run: Run, other: Run) -> Difference:
    """How far one run is from another of the same scenario; both must have the same events."""
    grid = np.arange(0.0, run.scenario.lasts, GRID)

    def on_grid(r: Run, name: str) -> np.ndarray:
        return np.interp(grid, r[name].times, r[name].values)

    times, others = numbered(run), numbered(other)
    assert times.keys() == others.keys(), f"events differ: {times.keys() ^ others.keys()}"
    return Difference(
        {n: np.abs(on_grid(run, n) - on_grid(other, n)) for n, c in run.channels.items() if c.dimension == "pressure"},
        {key: abs(times[key] - others[key]) for key in times},
    )
