"""The course of a line over the drawing."""

from __future__ import annotations

import math
from itertools import pairwise

from pneusim.show.schematic.layout import Layout
from pneusim.show.schematic.render import Point, outline
from pneusim.show.schematic.sheet import Net


def along(layout: Layout, net: Net) -> list[Point]:
    """A line's course from its start to its end, in drawing units."""
    (course,) = outline(layout, net)
    pin = layout.pins[net.ends[0]]
    begins = layout.routes.found[net.id].branches[0][0] == (pin.x, pin.y)
    return course if begins else course[::-1]


def split(course: list[Point], where: float) -> tuple[list[Point], list[Point]]:
    """Both pieces of a course that is cut at a share of its length.

    Examples
    --------
    >>> split([(0.0, 0.0), (30.0, 0.0), (30.0, 10.0)], 0.5)
    ([(0.0, 0.0), (20.0, 0.0)], [(20.0, 0.0), (30.0, 0.0), (30.0, 10.0)])
    """
    lengths = [math.dist(a, b) for a, b in pairwise(course)]
    left = where * sum(lengths)
    for n, length in enumerate(lengths):
        if left <= length and length > 0.0:
            (ax, ay), (bx, by) = course[n], course[n + 1]
            cut = (ax + (bx - ax) * left / length, ay + (by - ay) * left / length)
            return [*course[: n + 1], cut], [cut, *course[n + 1 :]]
        left -= length
    return course, course[-1:]
