"""Own simplified graphics after the ideas of ISO 1219-1; one drawing for every ``symbol`` that a part names."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pneusim.show.schematic.symbols import air, brakes, electric, valves  # noqa: F401  (they register their drawings)
from pneusim.show.schematic.symbols.registry import DRAWINGS

if TYPE_CHECKING:
    from pneusim.show.schematic.sheet import Node


def size_of(node: Node) -> tuple[int, int]:
    """Width and height of a node's symbol in grid cells; a part with many lines is wider than the symbol needs."""
    drawing = DRAWINGS[node.symbol]
    width, height = drawing.width, drawing.height
    while len(node.ports) > sum(rooms(node, width, height).values()):
        width += 2
    return width, height


def rooms(node: Node, width: int, height: int) -> dict[str, int]:
    """How many lines may end on every side, two cells apart."""
    drawing = DRAWINGS[node.symbol]
    beside = (height - drawing.shoulder) // 2
    sides = {"W": beside, "N": width // 2, "E": beside, "S": (width - drawing.exhaust) // 2}
    return {side: 0 if side in drawing.closed else room for side, room in sides.items()}


def span(node: Node, side: str, width: int, height: int) -> tuple[int, int]:
    """First and last cell of a side between which lines may end."""
    drawing = DRAWINGS[node.symbol]
    if side in "WE":
        return drawing.shoulder, height
    return 0, width - (drawing.exhaust if side == "S" else 0)


def is_round(node: Node) -> bool:
    """Whether lines are led on below the symbol."""
    return DRAWINGS[node.symbol].round


def is_directed(node: Node) -> bool:
    """Whether the symbol passes to the right, and is to be mirrored where the lines lie the other way round."""
    return DRAWINGS[node.symbol].directed


def is_fixed(node: Node) -> bool:
    """Whether lines end at places that the symbol shows."""
    return DRAWINGS[node.symbol].fixed


def draw_symbol(node: Node, width: float, height: float) -> str:
    """SVG of a node's symbol from (0, 0) to (width, height)."""
    return DRAWINGS[node.symbol].draw(width, height)
