"""When wheels are locked: slower than a twentieth of their vehicle while it is faster than 15 km/h."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pneusim.results.road.moving import moves
from pneusim.results.road.rolling import FAST, Unit, Wheel
from pneusim.results.road.spells import DWELL, Spell, both, spells, steady

LOCKED = 0.05
"""Speed of a locked wheel's tread over that of its vehicle, at most [-]."""


@dataclass(frozen=True)
class Lock:
    """A wheel that locked, and for how long above 15 km/h; ``turns`` is when it turned again, None if it did not [s].

    A wheel that is still locked as its vehicle comes to rest has not turned again.
    """

    spell: Spell
    turns: float | None


def locks(unit: Unit, wheel: Wheel) -> list[Lock]:
    """Every time that a wheel of a unit locked, in order of time."""
    times, speed = unit.speed.times, np.abs(unit.speed.values)
    fast, moving = spells(times, speed - FAST), moves(unit)
    found = []
    for whole in steady(spells(times, LOCKED * speed - np.abs(wheel.speed.values))):
        counted = [spell for spell in both([whole], fast) if spell.lasts >= DWELL]
        turned = any(spell.start < whole.end < spell.end for spell in moving)
        found += [Lock(spell, None) for spell in counted[:-1]]
        found += [Lock(spell, whole.end if turned else None) for spell in counted[-1:]]
    return found
