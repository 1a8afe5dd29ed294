"""The drawings by the name of their symbol."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

Draw = Callable[[float, float], str]


@dataclass(frozen=True)
class Drawing:
    """A symbol: its size in grid cells (even, so that centres lie on the grid), and its SVG for a size in units.

    ``round`` symbols do not fill their box; lines are led on to the middle below them.  No line ends on the sides in
    ``closed``, nor on the last ``exhaust`` cells of the lower side, nor on the first ``shoulder`` cells from above.
    ``over`` is how far the drawing rises above its box [units].
    """

    width: int
    height: int
    draw: Draw
    round: bool = False
    closed: str = ""
    exhaust: int = 0
    shoulder: int = 0
    over: float = 0.0


DRAWINGS: dict[str, Drawing] = {}


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
) -> Callable[[Draw], Draw]:
    """Register a drawing."""

    def keep(draw: Draw) -> Draw:
        DRAWINGS[name] = Drawing(width, height, draw, round_, closed, exhaust, shoulder, over)
        return draw

    return keep
