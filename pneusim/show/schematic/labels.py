"""The words beside a symbol: the part's name, broken where it is long."""

from __future__ import annotations

import math
import re

from pneusim.show.schematic.sheet import Node

FONT = 21
"""Height of labels in drawing units."""

_LONGEST = 11
_WIDE = 0.5
"""Mean width of a letter over the height of the font."""

_SILENT = ("tee", "plug", "atmosphere")
"""Parts whose symbol says all; their names stand in the tooltip."""


def label_lines(node: Node) -> tuple[str, ...]:
    """Lines of a node's label, none for a part that is shown without one."""
    if node.type in _SILENT:
        return ()
    lines: list[str] = []
    for word in re.split(r"(?<=[_ ])", node.label):
        if lines and len(lines[-1]) + len(word) <= _LONGEST:
            lines[-1] += word
        else:
            lines.append(word)
    return tuple(line.strip() for line in lines)


def text_width(text: str, font: float = FONT) -> float:
    """Estimated width of a text in drawing units."""
    return len(text) * font * _WIDE


def label_size(node: Node, cell: int = 12) -> tuple[int, int]:
    """Width and height of a label in grid cells."""
    lines = label_lines(node)
    if not lines:
        return 0, 0
    return math.ceil(max(map(text_width, lines)) / cell), math.ceil(len(lines) * FONT * 1.05 / cell)
