"""When a unit moves: when it came to rest, and when it rolled away from where it stood."""

from __future__ import annotations

import numpy as np

from pneusim.results.road.rolling import REST, Unit
from pneusim.results.road.spells import DWELL, Spell, spells, steady

ROCKS = 0.05
"""A unit that goes less far than this before it is slow again rocks on its tyres: it has not moved [m]."""


def moves(unit: Unit) -> list[Spell]:
    """From when to when a unit moves, in order of time; how it rocks as it comes to rest is left out."""
    found = spells(unit.speed.times, np.abs(unit.speed.values) - REST)
    return steady([spell for spell in found if abs(unit.distance(spell.end) - unit.distance(spell.start)) > ROCKS])


def at_rest(unit: Unit) -> list[Spell]:
    """From when to when a unit that has moved is at rest again."""
    found, end = moves(unit), float(unit.speed.times[-1])
    starts = [*(spell.start for spell in found[1:]), end]
    return [Spell(spell.end, start) for spell, start in zip(found, starts) if start - spell.end >= DWELL]


def stops(unit: Unit) -> list[float]:
    """When a unit came to rest, and stayed so for a dwell [s]."""
    return [spell.start for spell in at_rest(unit)]


def rolls(unit: Unit) -> list[float]:
    """When a unit that stood began to move [s]."""
    start = float(unit.speed.times[0])
    return [spell.start for spell in moves(unit) if spell.start > start]


def rest_after(unit: Unit, start: float) -> float | None:
    """When a unit first came to rest after a moment [s]; None if it did not."""
    return next((time for time in stops(unit) if time > start), None)
