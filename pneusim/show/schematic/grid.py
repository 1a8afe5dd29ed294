"""The routing grid: what is blocked, who may use which point, which lines run where."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise

from pneusim.show.schematic.place import Box

Point = tuple[int, int]
NOBODY = -1


class Grid:
    """Grid points in rows, with the nets that run through each horizontally and vertically.

    Points within a box are blocked, its outline included; the point before a pin belongs to the pin's net alone.
    """

    def __init__(self, width: int, height: int, boxes: Iterable[Box]) -> None:
        self.stride = width + 1
        self.size = self.stride * (height + 1)
        self.width, self.height = width, height
        self.owner = [NOBODY] * self.size
        self.horizontal = [NOBODY] * self.size
        self.vertical = [NOBODY] * self.size
        self.dear = [0.0] * self.size
        self.dear_outside = [0.0] * self.size
        self.blocked = bytearray(self.size)
        for x in range(width + 1):
            self.blocked[x] = self.blocked[height * self.stride + x] = 1
        for y in range(height + 1):
            self.blocked[y * self.stride] = self.blocked[y * self.stride + width] = 1
        for box in boxes:
            for y in range(box.y, box.y + box.h + 1):
                for x in range(box.x, box.x + box.w + 1):
                    self.blocked[self.at((x, y))] = 1

    def at(self, point: Point) -> int:
        """Index of a point."""
        return point[1] * self.stride + point[0]

    def point(self, index: int) -> Point:
        """Point of an index."""
        return index % self.stride, index // self.stride

    def reserve(self, stubs: Mapping[Point, int]) -> None:
        """Keep points for their nets."""
        for point, net in stubs.items():
            self.owner[self.at(point)] = net

    def make_dear(self, dear: list[float], box: tuple[float, float, float, float], cost: float) -> None:
        """Make every step within x, y, w, h cost more, for lines of a unit or (``dear_outside``) between units."""
        x0, y0, w, h = box
        for y in range(max(int(y0), 0), min(int(y0 + h), self.height) + 1):
            for x in range(max(int(x0), 0), min(int(x0 + w), self.width) + 1):
                dear[self.at((x, y))] += cost

    def mark(self, net: int, path: Sequence[int]) -> None:
        """Enter a path of neighbouring points."""
        for a, b in pairwise(path):
            lane = self.horizontal if abs(a - b) == 1 else self.vertical
            lane[a] = lane[b] = net

    def clear(self, net: int, path: Sequence[int]) -> None:
        """Take a path out."""
        for index in path:
            if self.horizontal[index] == net:
                self.horizontal[index] = NOBODY
            if self.vertical[index] == net:
                self.vertical[index] = NOBODY
