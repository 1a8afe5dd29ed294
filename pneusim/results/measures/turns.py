"""The turns of a spring brake: when its spring applies and when it is held off again.

Every rise of the spring's travel by more than 2 mm above its last low is an application, every fall by more than 2 mm
below its last high a release.  What service air does is no turn: it takes the pushrod away from the spring, which
follows it and is pushed back when that air is gone; the hold-off pressure tells.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from pneusim.results.measures.brakes import Array, Brake
from pneusim.results.measures.crossing import first_crossing
from pneusim.results.run import Channel

MOVED = 2e-3
"""Travel at which a spring counts as moving [m]."""

AT_REST = 1e-5
"""Travel up to which it counts as not having left its place [m]."""


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


def turns(brake: Brake) -> list[Turn]:
    """The applications and releases of one spring, in order of time; none of a plain chamber."""
    if brake.spring_travel is None or brake.spring_pressure is None:
        return []
    edges = _edges(brake.spring_travel, brake.spring_pressure)
    ends = [rests for _, rests, _ in edges[1:]] + [float(brake.spring_travel.times[-1])]
    count = {+1: 0, -1: 0}
    found = []
    for (direction, rests, begins), end in zip(edges, ends):
        count[direction] += 1
        found.append(Turn(count[direction], direction, rests, begins, end))
    return found


def _edges(travel: Channel, hold_off: Channel) -> list[tuple[int, float, float]]:
    """(direction, rests, begins) of every movement of 2 mm against the last one that the hold-off pressure causes.

    Held off, the piston leans on its stop, which gives way a little: below zero nothing counts as movement.  A piston
    that goes in without less hold-off pressure than it rested at, or back without more, follows the pushrod: it rests.
    """
    edges: list[tuple[int, float, float]] = []
    z, times = np.maximum(travel.values, 0.0), travel.times
    if np.ptp(z) < MOVED:
        return edges
    travel, hold = replace(travel, values=z), np.maximum(hold_off.values, 0.0)
    seen = _ends_of_stays(z)
    at, held = z[seen].tolist(), hold[seen].tolist()
    least, most = _meanwhile(hold, seen)
    low = high = direction = 0
    held_low = held_high = held[0]
    for i in range(1, len(at)):
        if at[i] <= at[low] or most[i - 1] >= held_low:
            low, held_low = i, held[i]
        elif held[i] >= held_low:
            low = i
        if at[i] >= at[high] or least[i - 1] <= held_high:
            high, held_high = i, held[i]
        elif held[i] <= held_high:
            high = i
        if direction <= 0 and at[i] - at[low] >= MOVED:
            direction, extreme = +1, seen[low]
        elif direction >= 0 and at[high] - at[i] >= MOVED:
            direction, extreme = -1, seen[high]
        else:
            continue
        away = direction * (z[extreme : seen[i] + 1] - z[extreme])
        rests = extreme + int(np.flatnonzero(away <= AT_REST)[-1])
        level = float(z[extreme]) + direction * MOVED
        begins = first_crossing(travel, level, direction, float(times[rests]), float(times[seen[i]]))
        edges.append((direction, float(times[rests]), float(times[seen[i]]) if begins is None else begins))
        low = high = i
        held_low = held_high = held[i]
    return edges


def _ends_of_stays(travel: Array) -> npt.NDArray[np.int64]:
    """All samples but those between two of the same travel, which most of a run are."""
    stays = np.diff(travel) == 0.0
    between = np.concatenate(([False], stays[:-1] & stays[1:], [False]))
    return np.flatnonzero(~between)


def _meanwhile(values: Array, seen: npt.NDArray[np.int64]) -> tuple[list[float], list[float]]:
    """Least and greatest value between each sample seen and the next; infinite where none lies between."""
    first, end = seen[:-1] + 1, seen[1:]
    spans = np.column_stack((first, end)).ravel()
    least, most = np.minimum.reduceat(values, spans)[::2], np.maximum.reduceat(values, spans)[::2]
    return np.where(first < end, least, np.inf).tolist(), np.where(first < end, most, -np.inf).tolist()
