"""Spring brakes: when the spring moves, when it touches, when it has its force, and the same on the way back.

A spring brake moves by turns: every rise of the spring's travel by more than 2 mm above its last low is an
application, every fall by more than 2 mm below its last high a release.  Times are those of the scenario.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from pneusim.quantities import express
from pneusim.results.measures.brakes import Brake, brakes
from pneusim.results.measures.crossing import before, first_crossing
from pneusim.results.run import Channel, MeasureResult, Run

MOVED = 2e-3
"""Travel at which a spring counts as moving [m]."""

AT_REST = 1e-5
"""Travel up to which it counts as not having left its place [m]."""

TOUCHES = 1.0
"""Pushrod force at which a spring counts as touching [N]."""

FULL, GONE = 0.90, 0.10
"""Shares of the force that is built up, or given up."""


@dataclass(frozen=True)
class Turn:
    """One movement of a spring.

    ``direction`` +1 applies, -1 releases; ``rests`` is the last moment at rest before it, ``begins`` where
    it has moved by 2 mm, ``ends`` the last moment before the next turn [s].
    """

    number: int
    direction: int
    rests: float
    begins: float
    ends: float

    @property
    def name(self) -> str:
        """``spring_application_1``, the middle part of the names of its measures."""
        return f"spring_{'application' if self.direction > 0 else 'release'}_{self.number}"


def turns(travel: Channel) -> list[Turn]:
    """The applications and releases of one spring, in order of time."""
    edges = _edges(travel)
    ends = [rests for _, rests, _ in edges[1:]] + [float(travel.times[-1])]
    count = {+1: 0, -1: 0}
    found = []
    for (direction, rests, begins), end in zip(edges, ends):
        count[direction] += 1
        found.append(Turn(count[direction], direction, rests, begins, end))
    return found


def _edges(travel: Channel) -> list[tuple[int, float, float]]:
    """(direction, rests, begins) of every movement of 2 mm against the last one.

    Held off, the piston leans on its stop, which gives way a little: below zero nothing counts as movement.
    """
    edges: list[tuple[int, float, float]] = []
    low = high = direction = 0
    z, times = np.maximum(travel.values, 0.0), travel.times
    if np.ptp(z) < MOVED:
        return edges
    travel = replace(travel, values=z)
    at = z.tolist()  # a list is read several times faster than an array, one value at a time
    for i in range(1, len(at)):
        low, high = (i if at[i] <= at[low] else low), (i if at[i] >= at[high] else high)
        if direction <= 0 and at[i] - at[low] >= MOVED:
            direction, extreme = +1, low
        elif direction >= 0 and at[high] - at[i] >= MOVED:
            direction, extreme = -1, high
        else:
            continue
        away = direction * (z[extreme : i + 1] - z[extreme])
        rests = extreme + int(np.flatnonzero(away <= AT_REST)[-1])
        level = float(z[extreme]) + direction * MOVED
        begins = first_crossing(travel, level, direction, float(times[rests]), float(times[i]))
        edges.append((direction, float(times[rests]), float(times[i]) if begins is None else begins))
        low = high = i
    return edges


def measure(run: Run) -> list[MeasureResult]:
    """All turns of all spring brakes."""
    results = []
    for brake in brakes(run):
        if brake.spring_travel is not None:
            for turn in turns(brake.spring_travel):
                results += _applies(brake, turn) if turn.direction > 0 else _releases(brake, turn)
    return results


def _applies(brake: Brake, turn: Turn) -> list[MeasureResult]:
    prefix = f"{brake.name}.{turn.name}"
    already, final = brake.force(turn.rests), before(brake.force, turn.ends)
    touches = _crossing(f"{prefix}.touches", brake, TOUCHES, turn)
    full = _crossing(f"{prefix}.force_90", brake, max(FULL * final, TOUCHES), turn)
    words = f"the pushrod force was already {express(already, 'force', 'si')} when the spring began to move"
    if already > TOUCHES:
        touches = MeasureResult(touches.name, None, "time", words)
    if already >= FULL * final > TOUCHES:
        full = MeasureResult(full.name, None, "time", words)
    return [
        MeasureResult(f"{prefix}.begins", turn.begins, "time"),
        touches,
        full,
        MeasureResult(f"{prefix}.final_force", final, "force"),
    ]


def _releases(brake: Brake, turn: Turn) -> list[MeasureResult]:
    prefix = f"{brake.name}.{turn.name}"
    held = brake.force(turn.rests)
    results = [MeasureResult(f"{prefix}.begins", turn.begins, "time")]
    if held <= TOUCHES:
        reason = "the spring held no force when it began to move back"
        return results + [MeasureResult(f"{prefix}.{name}", None, "time", reason) for name in ("force_10", "lets_go")]
    return [
        *results,
        _crossing(f"{prefix}.force_10", brake, max(GONE * held, TOUCHES), turn),
        _crossing(f"{prefix}.lets_go", brake, TOUCHES, turn),
    ]


def _crossing(name: str, brake: Brake, level: float, turn: Turn) -> MeasureResult:
    time = first_crossing(brake.force, level, turn.direction, turn.rests, turn.ends)
    if time is not None:
        return MeasureResult(name, time, "time")
    left = express(before(brake.force, turn.ends), "force", "si")
    return MeasureResult(name, None, "time", f"the pushrod force is {left} at {turn.ends:g} s")
