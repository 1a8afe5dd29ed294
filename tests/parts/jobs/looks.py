"""What the jobs share: how to look at a run."""

from __future__ import annotations

from pneusim.results.run import Run

KPA = 1e3


def happened(r: Run, kind: str) -> float:
    """Time of the only event of that kind."""
    (event,) = [event for event in r.events if event.kind == kind]
    return event.time


def near(value: float, kpa: float, within: float) -> bool:
    return abs(value - kpa * KPA) <= within * KPA
