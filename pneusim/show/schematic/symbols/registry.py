"""The drawings by the name of their symbol."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from pneusim.show.schematic.symbols.strokes import arrow, group, rect

Draw = Callable[[float, float], str]


@dataclass(frozen=True)
class Drawing:
    """A symbol: its size in grid cells (even, so that centres lie on the grid), and its SVG for a size in units.

    ``round`` symbols do not fill their box; lines are led on to the middle below them.  No line ends on the sides in
    ``closed``, nor on the last ``exhaust`` cells of the lower side, nor on the first ``shoulder`` cells from above.
    ``over`` is how far the drawing rises above its box [units].  One that is ``directed`` passes to the right; it is
    mirrored where its delivery lies at the left.  One that is ``fixed`` shows where its ports are, and its lines end
    there.
    """

    width: int
    height: int
    draw: Draw
    round: bool = False
    closed: str = ""
    exhaust: int = 0
    shoulder: int = 0
    over: float = 0.0
    directed: bool = False
    fixed: bool = False


class _Drawings(dict[str, Drawing]):
    """A symbol that nobody has drawn, of a part from outside the package, is a plain box."""

    def __missing__(self, name: str) -> Drawing:
        return Drawing(6, 4, _box)


def _box(w: float, h: float) -> str:
    through = rect(3, 3, w - 6, h - 6, 0, "square") + arrow(10, h / 2, w - 10, h / 2)
    return rect(0, 0, w, h) + group("position passing", through)


DRAWINGS: dict[str, Drawing] = _Drawings()


def symbol(
    name: str,
    width: int,
    height: int,
    *,
    round_: bool = False,
    closed: str = "",
    exhaust: int = 0,
    shoulder: int = 0,
    over: float = 0.0,
    directed: bool = False,
    fixed: bool = False,
) -> Callable[[Draw], Draw]:
    """Register a drawing."""

    def keep(draw: Draw) -> Draw:
        DRAWINGS[name] = Drawing(width, height, draw, round_, closed, exhaust, shoulder, over, directed, fixed)
        return draw

    return keep
