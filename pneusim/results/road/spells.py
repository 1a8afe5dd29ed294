"""Spells: from when to when something is so, by linear interpolation of samples."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

DWELL = 0.02
"""What lasts less than this has not happened [s]."""


@dataclass(frozen=True)
class Spell:
    """A time from ``start`` to ``end`` [s]."""

    start: float
    end: float

    @property
    def lasts(self) -> float:
        """How long it is [s]."""
        return self.end - self.start


def spells(times: Array, margin: Array) -> list[Spell]:
    """Where a margin is positive.

    Examples
    --------
    >>> spells(np.array([0.0, 1.0, 2.0]), np.array([-1.0, 1.0, -3.0]))
    [Spell(start=0.5, end=1.25)]
    """
    above = margin > 0.0
    turns = np.flatnonzero(above[1:] != above[:-1])
    share = margin[turns] / (margin[turns] - margin[turns + 1])
    edges = (times[turns] + share * (times[turns + 1] - times[turns])).tolist()
    if len(above) and above[0]:
        edges.insert(0, float(times[0]))
    if len(edges) % 2:
        edges.append(float(times[-1]))
    return [Spell(start, end) for start, end in zip(edges[::2], edges[1::2])]


def steady(found: Sequence[Spell], dwell: float = DWELL) -> list[Spell]:
    """Spells that begin by lasting a dwell and end with a pause of one; shorter pauses are none.

    Examples
    --------
    >>> steady([Spell(0.0, 0.01), Spell(1.0, 2.0), Spell(2.01, 3.0)])
    [Spell(start=1.0, end=3.0)]
    """
    kept: list[Spell] = []
    for spell in found:
        if kept and spell.start - kept[-1].end < dwell:
            kept[-1] = Spell(kept[-1].start, spell.end)
        elif spell.lasts >= dwell:
            kept.append(spell)
    return kept


def both(found: Sequence[Spell], others: Sequence[Spell]) -> list[Spell]:
    """Where a spell of the one and a spell of the others are at once, in order of time."""
    shared = [Spell(max(a.start, b.start), min(a.end, b.end)) for a in found for b in others]
    return sorted((spell for spell in shared if spell.lasts > 0.0), key=lambda spell: spell.start)
