"""Routes all nets: short ones first, several ends as a tree with dots, then rip-up passes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from pneusim.show.schematic.grid import NOBODY, Grid, Point
from pneusim.show.schematic.place import Frame
from pneusim.show.schematic.ports import STEP, End, Pin
from pneusim.show.schematic.search import BEND, CROSS, DIRECTIONS, find_path
from pneusim.show.schematic.sheet import Net

PASSES = 3
_CLOSED = -2
"""Owner of the point before a plugged port."""

_TURNED = {"E": "W", "W": "E", "N": "S", "S": "N"}
Exits = Mapping[End, Sequence[Pin]]
Dear = Sequence[tuple[tuple[float, float, float, float], float]]


@dataclass(frozen=True)
class Route:
    """Branches of a net as corner points from pin to pin or to the tree, and where branches meet."""

    branches: tuple[tuple[Point, ...], ...]
    dots: tuple[Point, ...] = ()


@dataclass(frozen=True)
class Routes:
    """Routes by net id, and the nets that found no way; the signals that did."""

    found: Mapping[str, Route]
    failed: tuple[Net, ...]
    signals: Mapping[str, Route] = field(default_factory=dict)


def route(
    nets: Sequence[Net],
    pins: Mapping[End, Pin],
    frame: Frame,
    dear: Dear = (),
    dear_outside: Dear = (),
    passes: int = PASSES,
    signals: Sequence[tuple[Net, Exits]] = (),
) -> Routes:
    """Route nets between pins.

    ``dear`` are areas (x, y, w, h) that lines had better avoid, with what a step in them costs; ``dear_outside`` are
    those that count for hoses between units.  ``signals`` go where lines leave room, by one of the exits of each end.
    """
    router = _Router(nets, pins, frame)
    for area, cost in dear:
        router.grid.make_dear(router.grid.dear, area, cost)
    for area, cost in dear_outside:
        router.grid.make_dear(router.grid.dear_outside, area, cost)
    made = router.run(passes)
    return replace(made, signals={net.id: way for net, exits in signals if (way := router.signal(net, exits))})


class _Router:
    def __init__(self, nets: Sequence[Net], pins: Mapping[End, Pin], frame: Frame) -> None:
        self.nets, self.pins = list(nets), dict(pins)
        self.grid = Grid(frame.width, frame.height, frame.boxes.values())
        used = {end for net in nets for end in net.ends}
        self.grid.reserve({pins[end].stub: n for n, net in enumerate(nets) for end in net.ends})
        self.grid.reserve({pin.stub: _CLOSED for end, pin in pins.items() if end not in used})
        self.paths: dict[int, list[list[int]]] = {}

    def run(self, passes: int) -> Routes:
        order = sorted(range(len(self.nets)), key=lambda n: (self._span(n), n))
        failed = [n for n in order if not self._lay(n)]
        for _ in range(passes):
            if not self._again(failed):
                break
        found = {self.nets[n].id: self._finished(n) for n in sorted(self.paths)}
        return Routes(found, tuple(self.nets[n] for n in failed))

    def signal(self, net: Net, exits: Exits) -> Route | None:
        """Lay one net more and move nothing for it; None if it finds no way."""
        n = len(self.nets)
        free = {end: [pin for pin in exits[end] if self._is_free(self.grid.at(pin.stub))] for end in net.ends}
        if not all(free.values()):
            return None
        self.nets.append(net)
        self.pins |= {end: pins[0] for end, pins in free.items()}
        self.grid.reserve({pins[0].stub: n for pins in free.values()})
        return self._finished(n) if self._lay(n) else None

    def _is_free(self, index: int) -> bool:
        grid = self.grid
        return not grid.blocked[index] and grid.owner[index] == grid.horizontal[index] == grid.vertical[index] == NOBODY

    def _again(self, failed: list[int]) -> bool:
        """Rip up and lay every net anew, the dearest first; tell whether anything changed."""
        changed = False
        for n in [*failed, *sorted(self.paths, key=lambda n: (-(self._cost(n) - self._span(n)), n))]:
            old = self.paths.pop(n, None)
            if old is None:
                if self._lay(n) or self._push_aside(n):
                    failed.remove(n)
                    changed = True
                continue
            spent = self._cost_of(n, old)
            self._clear(n, old)
            if not self._lay(n) or self._cost(n) > spent:
                self._clear(n, self.paths.pop(n, []))
                self._mark(n, old)
            changed |= self.paths[n] != old
        return changed

    def _push_aside(self, n: int) -> bool:
        """Let a net that is walled in go first, then lay those again that were near its pins."""
        near = {self.grid.at(self.pins[end].stub) for end in self.nets[n].ends}
        reach = sorted(self.paths, key=lambda m: (min(self._far(m, index) for index in near), m))[:6]
        before = {m: self.paths.pop(m) for m in reach}
        for m, paths in before.items():
            self._clear(m, paths)
        if self._lay(n) and all(self._lay(m) for m in reach):
            return True
        for m in [n, *reach]:
            self._clear(m, self.paths.pop(m, []))
        for m, paths in before.items():
            self._mark(m, paths)
        return False

    def _far(self, n: int, index: int) -> int:
        x, y = self.grid.point(index)
        points = [self.grid.point(other) for path in self.paths[n] for other in path]
        return min(abs(x - a) + abs(y - b) for a, b in points)

    def _lay(self, n: int) -> bool:
        """Find and enter the tree of a net."""
        ends = [self.pins[end] for end in self.nets[n].ends]
        first, second = min(
            ((a, b) for i, a in enumerate(ends) for b in ends[i + 1 :]),
            key=lambda pair: (abs(pair[0].x - pair[1].x) + abs(pair[0].y - pair[1].y), pair[0].x, pair[0].y),
        )
        path = self._search(n, first, {self.grid.at(second.stub): DIRECTIONS[_TURNED[second.side]]})
        if path is None:
            return False
        self._mark(n, [[self._index(first), *path, self._index(second)]])
        waiting = [pin for pin in ends if pin not in (first, second)]
        while waiting:
            pin = min(waiting, key=lambda p: (self._far(n, self.grid.at(p.stub)), p.x, p.y))
            waiting.remove(pin)
            path = self._search(n, pin, dict.fromkeys(self._meeting_points(n)))
            if path is None:
                self._clear(n, self.paths.pop(n))
                return False
            self._mark(n, [*self.paths[n], [self._index(pin), *path]])
        return True

    def _search(self, n: int, pin: Pin, goals: dict[int, int | None]) -> list[int] | None:
        return find_path(self.grid, n, pin.stub, pin.side, goals, self._dear(n)) if goals else None

    def _dear(self, n: int) -> list[float]:
        return self.grid.dear_outside if self.nets[n].coupling else self.grid.dear

    def _meeting_points(self, n: int) -> list[int]:
        """Points of a net's tree where a branch can join: straight, not crossed, not at a pin."""
        grid = self.grid
        inner = [index for path in self.paths[n] for index in path if not grid.blocked[index]]
        straight = [i for i in inner if (grid.horizontal[i] == NOBODY) != (grid.vertical[i] == NOBODY)]
        return [i for i in straight if grid.owner[i] != n]

    def _mark(self, n: int, paths: list[list[int]]) -> None:
        self.paths[n] = paths
        for path in paths:
            self.grid.mark(n, path)

    def _clear(self, n: int, paths: list[list[int]]) -> None:
        for path in paths:
            self.grid.clear(n, path)

    def _index(self, pin: Pin) -> int:
        return self.grid.at((pin.x, pin.y))

    def _span(self, n: int) -> int:
        xs = [self.pins[end].x for end in self.nets[n].ends]
        ys = [self.pins[end].y for end in self.nets[n].ends]
        return max(xs) - min(xs) + max(ys) - min(ys)

    def _cost(self, n: int) -> float:
        return self._cost_of(n, self.paths[n])

    def _cost_of(self, n: int, paths: list[list[int]]) -> float:
        grid, dear, cost = self.grid, self._dear(n), 0.0
        for path in paths:
            cost += len(path) - 2 + BEND * (len(corners([grid.point(i) for i in path])) - 2)
            cost += sum(dear[i] for i in path)
            for i in path[1:-1]:
                lanes = {grid.horizontal[i], grid.vertical[i]} - {NOBODY, n}
                cost += CROSS * len(lanes)
        return cost

    def _finished(self, n: int) -> Route:
        branches = [corners([self.grid.point(i) for i in path]) for path in self.paths[n]]
        return Route(tuple(branches), tuple(branch[-1] for branch in branches[1:]))


def corners(points: Sequence[Point]) -> tuple[Point, ...]:
    """A path without the points between its corners."""
    kept = [points[0]]
    for before, here, after in zip(points, points[1:], points[2:]):
        if (before[0] == here[0]) != (here[0] == after[0]):
            kept.append(here)
    return (*kept, points[-1])


def lead_in(pin: Pin, depth: int) -> Point:
    """The point ``depth`` cells inside the box behind a pin."""
    dx, dy = STEP[pin.side]
    return pin.x - dx * depth, pin.y - dy * depth
