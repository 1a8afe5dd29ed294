"""The result of one run: channels over time, events, closures, and what was measured from them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from importlib import import_module
from typing import Any

import numpy as np
import numpy.typing as npt

from pneusim.circuit.circuit import Circuit
from pneusim.circuit.scenario import Scenario
from pneusim.results.units import si_unit

CAUTION = (
    "This tool supports and does not replace testing, local codes and the judgement of licensed "
    "practitioners; nobody works on spring-brake actuators from it."
)


@dataclass(frozen=True)
class Channel:
    """One quantity over time.

    Attributes
    ----------
    name : str
        ``<component>.<quantity>``.
    times, values : ndarray, shape (n,)
        [s] and SI (pressures gauge [Pa]).  At an event the time stands twice: the limits from both sides.
    dimension : str
        Dimension of ``pneusim.quantities``.
    label : str
        In words.
    """

    name: str
    times: npt.NDArray[np.float64]
    values: npt.NDArray[np.float64]
    dimension: str
    label: str

    @property
    def unit(self) -> str:
        """SI unit of the values, "1" for shares and flags."""
        return si_unit(self.dimension)

    def __call__(self, time: float) -> float:
        """Value at a time, linearly interpolated; at an event the limit from the right."""
        i = int(np.searchsorted(self.times, time, side="right"))
        if i == 0 or i == len(self.times):
            return float(self.values[min(i, len(self.times) - 1)])
        t0, t1 = self.times[i - 1], self.times[i]
        share = 0.0 if t1 == t0 else (time - t0) / (t1 - t0)
        return float(self.values[i - 1] + share * (self.values[i] - self.values[i - 1]))


@dataclass(frozen=True)
class Event:
    """Something that happened.

    ``kind`` is the event's name of the part (``trips``, ``closed``, ...) or, for what the scenario does, the
    action (``set``, ``break``, ``separate``, ...).  ``category`` is step, trip, warning, mode or mechanics.
    ``text`` is a clause in words without time ("the trailer supply control tripped, because its delivery fell
    through 207 kPa").
    """

    time: float
    kind: str
    component: str
    text: str
    category: str = "step"


@dataclass(frozen=True)
class MeasureResult:
    """A measure: value [SI] or None with the reason; ``limit`` in words, where it is from, and whether it was met.

    A ``reason`` beside a value is a remark on it.  ``error`` is the numerical error, or how far the value moves with
    the initial speed if a band was asked for; None if neither was.
    """

    name: str
    value: float | None
    dimension: str
    reason: str = ""
    limit: str = ""
    met: bool | None = None
    error: float | None = None
    source: str = ""


@dataclass(frozen=True)
class Closure:
    """Relative closure of mass and energy over the run; all are failures above their limits.

    ``energy`` is that of air, ``motion`` that of vehicles: kinetic, turned into heat, given by the slope; None without
    a road.
    """

    mass: float
    energy: float
    motion: float | None = None


@dataclass(frozen=True)
class SolverReport:
    """What the engine did: sizes, steps, stiffness, wall and CPU time per phase [s], the relative tolerance held."""

    engine: str
    states: int
    steps: int
    rejected: int
    segments: int
    smallest_time_constant: float
    phases: Mapping[str, float] = field(default_factory=dict)
    wall: float = 0.0
    cpu: float = 0.0
    rtol: float = float("nan")


@dataclass(frozen=True, repr=False)
class Run:
    """Everything that a run gave.

    ``channels`` also holds what the driver moved (``foot.travel``).  ``sources`` and ``extrapolated`` are
    sentences.  ``status`` is "ok" or "failed"; ``message`` a sentence.
    """

    circuit: Circuit
    scenario: Scenario
    channels: Mapping[str, Channel]
    events: tuple[Event, ...]
    closure: Closure
    solver: SolverReport
    status: str = "ok"
    message: str = ""
    measures: tuple[MeasureResult, ...] = ()
    narrative: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    extrapolated: tuple[str, ...] = ()
    variant: str | None = None

    def __repr__(self) -> str:
        """One line: what ran, how it ended, and how much there is to look at."""
        name = self.scenario.name + (f"+{self.variant}" if self.variant else "")
        return (
            f"<Run {name!r} of {self.circuit.title!r}: {self.status}, {len(self.channels)} channels, "
            f"{len(self.events)} events, {len(self.measures)} measures>"
        )

    def __getitem__(self, name: str) -> Channel:
        """Return a channel by name; a wrong name tells the nearest ones."""
        if name in self.channels:
            return self.channels[name]
        from difflib import get_close_matches

        near = get_close_matches(name, list(self.channels), n=3, cutoff=0.4)
        raise KeyError(f"no channel {name!r} in this run; nearest: {', '.join(near) or 'none'}")

    @property
    def title(self) -> str:
        """What people call it: its scenario, and its variant."""
        return self.scenario.words + (f", variant {self.variant}" if self.variant else "")

    @property
    def span(self) -> tuple[float, float]:
        """First and last time of the channels [s]; (0, 0) without channels."""
        times = next(iter(self.channels.values())).times if self.channels else np.zeros(1)
        return float(times[0]), float(times[-1])

    def settled(self, event: Event) -> bool:
        """Whether an event is only a mode that settling brought about: nobody needs to be told."""
        return event.category == "mode" and event.time <= self.span[0]

    def to_pandas(self) -> Any:
        """All channels as a DataFrame indexed by time [s] (needs pandas)."""
        import pandas as pd

        times = next(iter(self.channels.values())).times
        return pd.DataFrame({name: c.values for name, c in self.channels.items()}, index=pd.Index(times, name="time"))

    def plot(self, *what: str, **options: Any) -> Any:
        """Draw the run, or the channels named, and return the matplotlib Figure; options as of `pneusim.plot`."""
        import pneusim  # the top-level package loads the drawing when asked: results know nothing of it

        draw: Any = pneusim.plot
        return draw(self, *what, **options)

    def _repr_html_(self) -> str:
        """The run in a notebook: what it was, the story, and the limits."""
        show: Any = import_module("pneusim.show.notebook")  # asked for by name: results know nothing of pictures
        told: str = show.run_as_html(self)
        return told


def failed(circuit: Circuit, scenario: Scenario, message: str, engine: str, variant: str | None = None) -> Run:
    """A run that failed before there was anything to sample."""
    nothing = Closure(float("nan"), float("nan"))
    solver = SolverReport(engine, 0, 0, 0, 0, float("nan"))
    return Run(circuit, scenario, {}, (), nothing, solver, "failed", message, variant=variant)
