"""CPU seconds of single-threaded work, runs on a grid of times, and the table in which error stands beside time."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from rich.console import Console
from rich.table import Table

from pneusim.engine.machine import Machine
from pneusim.engine.methods import Radau, Rosenbrock
from pneusim.engine.rosenbrock import dense
from pneusim.engine.segments import Loop, Steps

Floats = NDArray[np.float64]


def cpu_seconds(work: Callable[[], Any], repeats: int = 3) -> float:
    """Least CPU time of some repeats of the process [s]."""
    best = float("inf")
    for _ in range(repeats):
        begin = time.process_time()
        work()
        best = min(best, time.process_time() - begin)
    return best


class ThreadClock:
    """Stands for the clock of sessions: CPU time of the thread, so that other work does not count."""

    perf_counter = staticmethod(time.thread_time)
    process_time = staticmethod(time.process_time)


@dataclass
class Ready:
    """A machine at its start, what is to be compared, and what happens when."""

    machine: Machine
    places: Sequence[int]
    actions: Sequence[tuple[float, Callable[[], object]]]
    lasts: float


@dataclass
class Outcome:
    """Compared values on the grid, shape (times, values), and what the run took."""

    values: Floats
    seconds: float
    accepted: int
    rejected: int
    events: dict[str, float]
    machine: Machine


def run(make: Callable[[], Ready], rtol: float, method: type[Rosenbrock] | type[Radau] = Rosenbrock,
        step: float = 0.01, repeats: int = 3) -> Outcome:  # fmt: skip
    """Run a problem; the time is that of integrating (laying out aside), the values come from one more run."""
    seconds = min(cpu_seconds(_loop(make(), rtol, method, lambda steps: None)[1], 1) for _ in range(repeats))
    ready = make()
    sink, events = Grid(ready, step), dict[str, float]()
    engine, go = _loop(ready, rtol, method, sink.take, events)
    go()
    return Outcome(sink.values, seconds, engine.accepted, engine.rejected, events, ready.machine)


def _loop(
    ready: Ready, rtol: float, method: type[Rosenbrock] | type[Radau], sink: Callable[[Steps], None],
    events: dict[str, float] | None = None,
) -> tuple[Rosenbrock | Radau, Callable[[], None]]:  # fmt: skip
    """The method and what runs the problem; the first time of every event is noted under its owner's name."""
    noted = {} if events is None else events
    engine = method(ready.machine, rtol)
    loop = Loop(ready.machine, engine, sink, lambda event: noted.setdefault(event.key[0], ready.machine.time))
    for at, action in ready.actions:
        loop.at(at, action)
    return engine, lambda: loop.run(ready.lasts)


class Grid:
    """Sink of a loop: the values at the places, at equal times, from the dense output."""

    def __init__(self, ready: Ready, step: float) -> None:
        self.ready = ready
        self.times = times(ready.lasts, step)
        self.values = np.empty((len(self.times), len(ready.places)))
        self.filled = 0

    def take(self, steps: Steps) -> None:
        """Fill what lies within the steps."""
        machine, places = self.ready.machine, list(self.ready.places)
        state = np.empty_like(machine.state)
        last = np.searchsorted(self.times, steps.times[-1] + 1e-12)
        for i in range(self.filled, last):
            k = min(max(np.searchsorted(steps.times, self.times[i]) - 1, 0), len(steps.vectors) - 1)
            theta = (self.times[i] - steps.times[k]) / (steps.times[k + 1] - steps.times[k])
            dense(steps.states[k], steps.states[k + 1], steps.vectors[k], min(max(theta, 0.0), 1.0), state)
            machine.kernel.observe(self.times[i], state, machine.program.integers, machine.floats, machine.values)
            self.values[i] = machine.values[places]
        self.filled = max(self.filled, int(last))


def times(lasts: float, step: float) -> Floats:
    """Equal times from 0 to the end."""
    return np.arange(round(lasts / step) + 1) * step


@dataclass(frozen=True)
class Error:
    """Differences of pressures from a reference [kPa]."""

    largest: float
    p999: float
    rms: float

    @classmethod
    def of(cls, values: Floats, reference: Floats) -> Error:
        """Over all nodes and times."""
        gap = np.abs(values - reference) * 1e-3
        return cls(float(gap.max()), float(np.quantile(gap, 0.999)), float(np.sqrt(np.mean(gap**2))))

    def __str__(self) -> str:
        return f"{self.largest:.2g} / {self.p999:.2g} / {self.rms:.1g}"


@dataclass(frozen=True)
class Target:
    """A number measured against what it ought to be."""

    what: str
    value: float
    wanted: float
    least: bool = True  # the value ought to be at least the wanted one, else at most

    @property
    def met(self) -> bool:
        """Whether the number is as wanted."""
        return self.value >= self.wanted if self.least else self.value <= self.wanted


def show(title: str, columns: Sequence[str], rows: Sequence[Sequence[object]], targets: Sequence[Target] = ()) -> bool:
    """Print a table and its targets; returns whether all are met."""
    console = Console(width=150)
    table = Table(*columns, title=title, title_justify="left")
    for row in rows:
        table.add_row(*[str(cell) for cell in row])
    console.print(table)
    for target in targets:
        sign, word = (">=" if target.least else "<="), ("met" if target.met else "MISSED")
        text = f"  {word:6s}  {target.what}: {target.value:.4g} (wanted {sign} {target.wanted:g})"
        console.print(text, highlight=False, markup=False)
    return all(target.met for target in targets)
