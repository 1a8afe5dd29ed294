"""How good a routed picture is: crossings, bends, length, lines without a way."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from pneusim.show.schematic.grid import Point
from pneusim.show.schematic.route import Routes

Segment = tuple[str, Point, Point]


@dataclass(frozen=True)
class Quality:
    """Counts of a picture."""

    crossings: int
    bends: int
    length: int
    failed: int

    @property
    def badness(self) -> float:
        """One number to choose by."""
        return 3.0 * self.crossings + self.bends + self.length / 40 + 60.0 * self.failed


def segments(routes: Routes, signals: bool = False) -> Iterator[Segment]:
    """Straight pieces of all nets, or of the signals."""
    for name, found in (routes.signals if signals else routes.found).items():
        for branch in found.branches:
            for a, b in pairwise(branch):
                yield name, a, b


def measure(routes: Routes) -> Quality:
    """Count what makes a picture hard to read."""
    upright, level = [], []
    length = 0
    for name, (ax, ay), (bx, by) in segments(routes):
        length += abs(ax - bx) + abs(ay - by)
        if ax == bx:
            upright.append((name, ax, min(ay, by), max(ay, by)))
        else:
            level.append((name, ay, min(ax, bx), max(ax, bx)))
    crossings = sum(
        1 for one, x, top, bottom in upright for other, y, left, right in level
        if one != other and left < x < right and top < y < bottom
    )  # fmt: skip
    bends = sum(len(branch) - 2 for found in routes.found.values() for branch in found.branches)
    return Quality(crossings, bends, length, len(routes.failed))
