"""One path on the grid: A* over points and directions.

Hart, Nilsson, Raphael 1968, IEEE Trans. Systems Science and Cybernetics 4(2), 100-107.
"""

from __future__ import annotations

import heapq
from collections.abc import Mapping, Sequence

from pneusim.show.schematic.grid import NOBODY, Grid, Point

BEND, CROSS, NEAR = 5.0, 9.0, 0.4

DIRECTIONS = {"E": 0, "W": 1, "S": 2, "N": 3}
_OPPOSITE = (1, 0, 3, 2)


def find_path(
    grid: Grid, net: int, start: Point, heading: str, goals: Mapping[int, int | None], dear: Sequence[float]
) -> list[int] | None:
    """Cheapest path of indices from ``start``, leaving it as ``heading`` says, to one of ``goals``.

    A goal maps to the direction in which a pin is entered, or None for a point of the net's own tree, which is met at
    a right angle.  ``dear`` is what a step to each point costs on top.  A path never overlaps another, never bends on
    one, and enters no box.
    """
    stride, horizontal, vertical = grid.stride, grid.horizontal, grid.vertical
    owner, blocked = grid.owner, grid.blocked
    step = (1, -1, stride, -stride)
    xs = [index % stride for index in goals]
    ys = [index // stride for index in goals]
    left, right, top, bottom = min(xs), max(xs), min(ys), max(ys)
    first = grid.at(start) * 4 + DIRECTIONS[heading]
    best: dict[int, float] = {first: 0.0}
    parent: dict[int, int] = {}
    queue: list[tuple[float, float, int]] = [(0.0, 0.0, first)]
    while queue:
        _, cost, state = heapq.heappop(queue)
        if cost > best[state]:
            continue
        here, direction = state >> 2, state & 3
        if here in goals and (goals[here] is None or goals[here] == direction):
            return _back(parent, state)
        free = horizontal[here] == NOBODY and vertical[here] == NOBODY
        for turn in range(4):
            if turn == _OPPOSITE[direction] or (turn != direction and not free):
                continue
            there = here + step[turn]
            entered = goals.get(there, 0)
            if blocked[there] or owner[there] not in (NOBODY, net):
                continue
            along, across = (horizontal, vertical) if turn < 2 else (vertical, horizontal)
            if along[there] != NOBODY:
                continue
            spent = cost + 1.0 + dear[there] + (BEND if turn != direction else 0.0)
            if across[there] == net:
                if entered is not None:
                    continue
            elif across[there] != NOBODY:
                spent += CROSS
            elif turn < 2:
                if along[there - stride] != NOBODY or along[there + stride] != NOBODY:
                    spent += NEAR
            elif along[there - 1] != NOBODY or along[there + 1] != NOBODY:
                spent += NEAR
            if there in goals and entered is not None and entered != turn:
                if entered == _OPPOSITE[turn]:
                    continue
                spent += BEND
                arrival = there * 4 + entered
            else:
                arrival = there * 4 + turn
            if spent < best.get(arrival, 1e9):
                best[arrival] = spent
                parent[arrival] = state
                x, y = there % stride, there // stride
                dx = left - x if x < left else x - right if x > right else 0
                dy = top - y if y < top else y - bottom if y > bottom else 0
                ahead = dx + dy + (BEND if dx and dy else 0.0)
                heapq.heappush(queue, (spent + ahead, spent, arrival))
    return None


def _back(parent: Mapping[int, int], state: int) -> list[int]:
    path = [state >> 2]
    while state in parent:
        state = parent[state]
        path.append(state >> 2)
    return path[::-1]
