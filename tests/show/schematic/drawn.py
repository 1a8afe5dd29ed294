"""Drawings of the shipped circuits, each made once for all tests, and what holds for every routed layout."""

from __future__ import annotations

from collections import Counter
from functools import cache
from itertools import pairwise

from pneusim.show.schematic.layout import Layout
from pneusim.show.schematic.picture import Drawing, draw
from pneusim.show.schematic.place import Box
from pneusim.show.schematic.route import Route
from tests.circuits.shipped import FILES, circuit

Point = tuple[int, int]


@cache
def drawing(name: str) -> Drawing:
    """The drawing of a shipped circuit."""
    return draw(circuit(name))


def layout(name: str) -> Layout:
    """Its places."""
    return drawing(name).layout


NAMES = list(FILES)


def points(route: Route) -> list[list[Point]]:
    """Every grid point of every branch."""
    return [list(_filled(branch)) for branch in route.branches]


def _filled(branch: tuple[Point, ...]):
    yield branch[0]
    for (ax, ay), (bx, by) in pairwise(branch):
        assert (ax == bx) != (ay == by), "a piece is not at right angles, or of no length"
        steps = abs(ax - bx) + abs(ay - by)
        for n in range(1, steps + 1):
            yield ax + (bx - ax) * n // steps, ay + (by - ay) * n // steps


def within(box: Box, point: Point) -> bool:
    """Whether a point lies in a box or on its outline."""
    return box.x <= point[0] <= box.x + box.w and box.y <= point[1] <= box.y + box.h


def holds(made: Layout) -> None:
    """No box on another, no line through a box, no line along another, none bends on another, each joins its ends."""
    boxes = made.frame.boxes
    _boxes_are_apart(boxes)
    assert not made.routes.failed
    assert set(made.routes.found) == {net.id for net in made.sheet.nets}
    steps: Counter[tuple[Point, Point]] = Counter()
    bends: dict[Point, str] = {}
    users: dict[Point, set[str]] = {}
    for net in made.sheet.nets:
        route = made.routes.found[net.id]
        branches = points(route)
        pins = {(made.pins[end].x, made.pins[end].y) for end in net.ends}
        _reaches(pins, branches, route)
        for branch in branches:
            for point in branch:
                assert point in pins or not any(within(box, point) for box in boxes.values()), f"{net.id} in a box"
                assert 0 < point[0] < made.frame.width
                assert 0 < point[1] < made.frame.height
                users.setdefault(point, set()).add(net.id)
            for a, b in pairwise(branch):
                steps[min(a, b), max(a, b)] += 1
            for a, here, b in zip(branch, branch[1:], branch[2:]):
                if (a[0] == here[0]) != (here[0] == b[0]):
                    bends[here] = net.id
        bends |= {dot: net.id for dot in route.dots}
    assert max(steps.values(), default=1) == 1, "two lines run along each other"
    for point, net_id in bends.items():
        assert users[point] == {net_id}, f"{net_id} bends or branches on another line"


def _reaches(pins: set[Point], branches: list[list[Point]], route: Route) -> None:
    """All ends hang together, and branches begin at pins and end at a pin or at a dot on what is there."""
    reached = set(branches[0])
    assert {branches[0][0], branches[0][-1]} <= pins
    for branch, dot in zip(branches[1:], route.dots, strict=True):
        assert branch[0] in pins
        assert branch[-1] == dot
        assert dot in reached
        reached |= set(branch)
    assert pins <= reached


def _boxes_are_apart(boxes) -> None:
    items = list(boxes.items())
    for n, (one, a) in enumerate(items):
        for other, b in items[n + 1 :]:
            apart = a.x + a.w < b.x or b.x + b.w < a.x or a.y + a.h < b.y or b.y + b.h < a.y
            assert apart, f"{one} and {other} touch"
