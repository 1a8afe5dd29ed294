"""Two runs beside each other: which is which, B dashed, its times moved so that the first step of both coincides."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pneusim.results.run import Run
from pneusim.show.figures.curves import Curve

DASHES = {"A": {"dashed": "dotted"}, "B": {"solid": "dashed", "dashed": "dashdot", "dotted": "dashdot"}}
"""Dashes of each run's curves; those that are not named stay."""


def dash(own: str, run: str) -> str:
    """The dash of a curve of run "A" or "B", by which it is not taken for one of the other, from that which it has."""
    return DASHES[run].get(own, own)


def named(curves: Sequence[Curve], run: str) -> list[Curve]:
    """The curves of run "A" or "B", named and dashed so that they are told apart."""
    return [replace(curve, label=f"{run}: {curve.label}", dash=dash(curve.dash, run)) for curve in curves]


def names(run: Run, beside: Run) -> tuple[str, str]:
    """What each run is called beside the other: its circuit is named where they differ in it."""
    same = run.circuit.title == beside.circuit.title
    ours, theirs = (one.title if same else heading(one) for one in (run, beside))
    return ours, theirs


def aligned(by: float | None) -> str:
    """How the times of two runs are aligned."""
    if by is None:
        return "times of both count from their own start"
    together = "the first step of both coincides"
    return together if abs(by) < 5e-3 else f"times of B are moved by {by:+.2f} s, so that {together}"


def told(run: Run, beside: Run, by: float | None) -> tuple[str, str]:
    """Which run is which in a figure, and how they are aligned."""
    ours, theirs = names(run, beside)
    return f"A  {ours}; limits are those of A", f"B  dashed: {theirs}; {aligned(by)}"


def heading(run: Run, beside: Run | None = None) -> str:
    """Circuit, scenario and variant of a run; of two runs what they share."""
    if beside is None:
        return f"{run.circuit.title}: {run.title}"
    same = run.circuit.title == beside.circuit.title
    return f"{run.circuit.title}: A and B" if same else "A and B"
