"""Two runs in one figure: B dashed, moved so that the first steps of both coincide."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pneusim.results.narrative import SILENT
from pneusim.results.run import Run
from pneusim.show.figures.curves import Curve

DASHES = {"A": {"dashed": "dotted"}, "B": {"solid": "dashed", "dashed": "dashdot", "dotted": "dashdot"}}
"""Dashes of each run's curves; those that are not named stay."""


def first_step(run: Run) -> float | None:
    """When the scenario first does something [s], None if it never does."""
    steps = [event.time for event in run.events if event.category == "step" and event.kind not in SILENT]
    return min(steps, default=None)


def moved(run: Run, beside: Run) -> tuple[Run, float]:
    """``beside`` with its times moved so that its first step is at that of ``run``, and by how much [s]."""
    ours, theirs = first_step(run), first_step(beside)
    by = ours - theirs if ours is not None and theirs is not None else 0.0
    channels = {name: replace(channel, times=channel.times + by) for name, channel in beside.channels.items()}
    events = tuple(replace(event, time=event.time + by) for event in beside.events)
    return replace(beside, channels=channels, events=events), by


def named(curves: Sequence[Curve], run: str) -> list[Curve]:
    """The curves of run "A" or "B", named and dashed so that they are told apart."""
    return [
        replace(curve, label=f"{run}: {curve.label}", dash=DASHES[run].get(curve.dash, curve.dash)) for curve in curves
    ]


def told(run: Run, beside: Run, by: float) -> tuple[str, str]:
    """Which run is which, and how they are aligned."""
    way = f"moved by {by:+.2f} s so that the first steps coincide" if abs(by) >= 5e-3 else "the first steps coincide"
    same = run.circuit.title == beside.circuit.title
    ours, theirs = (_scenario(one) if same else f"{one.circuit.title}: {_scenario(one)}" for one in (run, beside))
    return f"A  {ours}; limits are those of A", f"B  dashed: {theirs}; {way}"


def heading(run: Run, beside: Run | None = None) -> str:
    """Circuit, scenario and variant of a run; of two runs what they share."""
    if beside is None:
        return f"{run.circuit.title}: {_scenario(run)}"
    same = run.circuit.title == beside.circuit.title
    return f"{run.circuit.title}: A and B" if same else "A and B"


def _scenario(run: Run) -> str:
    return f"{run.scenario.title or run.scenario.name}{f' ({run.variant})' if run.variant else ''}"
