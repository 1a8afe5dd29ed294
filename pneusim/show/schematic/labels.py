"""The words beside a symbol: the part's label where it is short, else its name, broken where they are long."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from itertools import combinations, pairwise

from pneusim.show.schematic.sheet import Node

FONT = 21
"""Height of labels in drawing units."""

_LONGEST = 30
"""Letters of a label that is written beside its symbol."""

_BROAD = 13
"""Letters of a line."""

_MANY = 3
_BY_WHEELS = 2
"""Lines of a label, and of one between a brake and its wheel."""

_BROKEN, _RENAMED = 0.25, 0.6
"""How much worse a label is with a line more, and a name instead of a label; 1 is a fourth of it under a line."""

_WIDE = 0.5
"""Mean width of a letter over the height of the font."""

_SILENT = ("tee", "plug", "atmosphere", "wheel_speed_sensor")
"""Parts whose symbol says all; their names stand in the tooltip."""

Lines = tuple[str, ...]


def label_lines(node: Node) -> Lines:
    """Lines of a node's label, none for a part that is shown without one.

    Examples
    --------
    >>> def lines(label):
    ...     return label_lines(Node("unit.rear", "relay_valve", "relay", "unit", "", "rear_relay", label))
    >>> lines("front supply coupling head")
    ('front supply', 'coupling head')
    >>> lines("low-pressure switch of the primary circuit")
    ('rear relay',)
    """
    return next((lines for lines, _ in label_variants(node)), ())


def label_variants(node: Node) -> list[tuple[Lines, float]]:
    """What a node's label may be, the best first, and how much worse it is: in more lines, or its name."""
    if node.type in _SILENT:
        return []
    most = _BY_WHEELS if node.is_brake else _MANY
    name = node.label.replace("_", " ")
    made: list[tuple[Lines, float]] = []
    for text in dict.fromkeys((node.words, name)):
        fitting = [lines for lines in _broken(text, most) if text and _breadth(lines) <= _BROAD]
        worse = _RENAMED if made else 0.0
        made += [(lines, worse + _BROKEN * n) for n, lines in enumerate(fitting) if len(text) <= _LONGEST]
    return made or [(min(_broken(name, most), key=_breadth), 0.0)]


def _broken(text: str, most: int) -> Iterator[Lines]:
    """A text in one line, two, and so on, each time where the lines are narrowest."""
    words = [piece for word in text.split() for piece in (_hyphened(word) if len(word) > _BROAD else [word])] or [text]
    for count in range(1, min(most, len(words)) + 1):
        cuts = combinations(range(1, len(words)), count - 1)
        ways = [_joined(words, (0, *cut, len(words))) for cut in cuts]
        yield min(ways, key=lambda lines: (_breadth(lines), -len(lines[0])))


def _hyphened(word: str) -> list[str]:
    return re.split(r"(?<=\w-)(?=\w)", word)


def _joined(words: Sequence[str], cuts: Sequence[int]) -> Lines:
    return tuple(re.sub(r"(?<=\w-) ", "", " ".join(words[a:b])) for a, b in pairwise(cuts))


def _breadth(lines: Lines) -> int:
    return max(map(len, lines))


def text_width(text: str, font: float = FONT) -> float:
    """Estimated width of a text in drawing units."""
    return len(text) * font * _WIDE


def label_size(node: Node, cell: int = 12) -> tuple[int, int]:
    """Width and height of a label in grid cells."""
    lines = label_lines(node)
    if not lines:
        return 0, 0
    return math.ceil(max(map(text_width, lines)) / cell), math.ceil(len(lines) * FONT * 1.05 / cell)
