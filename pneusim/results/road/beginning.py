"""What a stop is measured from: the first movement of a control, or what failed where none is moved."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from pneusim.results.measures.applications import applications
from pneusim.results.road.rolling import Unit
from pneusim.results.run import Run

CONTROLS = (
    "park_control",
    "graduated_park_control",
    "park_release_control",
    "trailer_supply_control",
    "supply",
)
"""Types of parts that brake where no foot or hand valve is moved; a source stands for the control of a rig."""

FAILS = ("separate", "break", "leak", "block", "fault", "cross")
"""Steps by which something fails."""


@dataclass(frozen=True)
class Beginning:
    """The moment [s], and a remark on it."""

    time: float
    remark: str = ""


def beginning(run: Run, unit: Unit) -> Beginning | None:
    """From when a stop of a unit is measured; None where no control is moved and nothing fails.

    A unit that comes off before a control is moved begins its stop there.
    """
    applied, parted = _applied(run), separated(unit)
    if parted is not None and (applied is None or parted < applied.time):
        return Beginning(parted)
    if applied is not None:
        return applied
    moved = _steps(run, lambda kind, part: kind == "set" and part in CONTROLS)
    failed = _steps(run, lambda kind, _: kind in FAILS)
    time = next(moved, None)
    time = next(failed, None) if time is None else time
    return None if time is None else Beginning(time)


def separated(unit: Unit) -> float | None:
    """When a unit comes off the unit before it [s]; None if it never does."""
    if unit.hitched is None:
        return None
    on = unit.hitched.values > 0.5
    off = np.flatnonzero(on[:-1] & ~on[1:])
    return float(unit.hitched.times[off[0] + 1]) if len(off) else None


def _applied(run: Run) -> Beginning | None:
    first = next(iter(applications(run)), None)
    if first is None:
        return None
    if first.already:
        return Beginning(run.span[0], "the control was already applied when the run began")
    return Beginning(first.start)


def _steps(run: Run, counts: Callable[[str, str], bool]) -> Iterator[float]:
    parts = {name: component.type for name, component in run.circuit.components.items()}
    for event in run.events:
        if event.category == "step" and counts(event.kind, parts.get(event.component, "")):
            yield event.time
