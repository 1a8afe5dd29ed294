"""Cells to boxes on the routing grid: columns by station, lanes by row, long combinations in several decks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from pneusim.show.schematic.labels import FONT, label_size
from pneusim.show.schematic.sheet import Node, Sheet
from pneusim.show.schematic.symbols import size_of
from pneusim.show.schematic.zones import Cell

CELL = 12
"""Side of a grid cell in drawing units."""

WIDEST = int(1920 * FONT / 18 / CELL)
"""Cells that a deck may be wide, so that labels are at least 18 px high on a projector 1920 px wide."""

_MARGIN = 4
_LEGEND = 3
_TYRE = 6
"""Cells from a brake chamber to the far side of its tyre."""

_FREE = 2
"""Cells between a brake chamber and the chassis."""

_BETWEEN_UNITS = 6
_BETWEEN_DECKS = 12
_OVERHANG = 4
_OVERHANGING = 2
"""Cells that a label may be wider than its column."""


ABOVE, BELOW = 5, 4
"""Cells of chassis above the uppermost and below the lowest parts."""


@dataclass(frozen=True)
class Box:
    """A node's rectangle in grid cells."""

    x: int
    y: int
    w: int
    h: int

    @property
    def centre(self) -> tuple[float, float]:
        """Its middle."""
        return self.x + self.w / 2, self.y + self.h / 2


@dataclass(frozen=True)
class Frame:
    """Boxes of all nodes, the size of the grid, the units of every deck from top to bottom, and where each lies."""

    boxes: Mapping[str, Box]
    width: int
    height: int
    decks: tuple[tuple[str, ...], ...]
    chassis: Mapping[str, Box]


def frame(sheet: Sheet, cells: Mapping[str, Cell], gap: int = 3) -> Frame:
    """Lay the cells out; ``gap`` is the free width between columns and lanes."""
    members = {unit.name: sheet.placed(unit.name) for unit in sheet.units}
    columns = {name: _columns(nodes, cells, gap) for name, nodes in members.items() if nodes}
    decks = _decks({name: width for name, (_, width) in columns.items()})
    boxes: dict[str, Box] = {}
    chassis: dict[str, Box] = {}
    width, y = 0, _MARGIN
    for deck in decks:
        nodes = [node for name in deck for node in members[name]]
        lanes, bottom = _lanes(nodes, cells, gap, y)
        x = _MARGIN
        for name in deck:
            centres, wide = columns[name]
            for node in members[name]:
                w, h = size_of(node)
                station, row = cells[node.name]
                boxes[node.name] = Box(x + centres[station] - w // 2, lanes[row] - h // 2, w, h)
            x += wide + _BETWEEN_UNITS
        chassis |= _chassis({name: members[name] for name in deck}, boxes)
        width = max(width, x - _BETWEEN_UNITS + _MARGIN)
        y = bottom + _BETWEEN_DECKS
    boxes |= {name: _on_wheel(sheet.nodes[name], boxes[brake]) for name, brake in sheet.mounted.items()}
    height = y - _BETWEEN_DECKS + _MARGIN + _LEGEND
    return Frame(boxes, max(width, 2 * _MARGIN), max(height, 2 * _MARGIN), decks, chassis)


def _on_wheel(sensor: Node, brake: Box) -> Box:
    """Outside of the tyre of a brake, so that the word on it can be read."""
    w, h = size_of(sensor)
    y = brake.y - _TYRE - h if sensor.side == "right" else brake.y + brake.h + _TYRE
    return Box(round(brake.centre[0]) - w // 2, y, w, h)


def _chassis(units: Mapping[str, Sequence[Node]], boxes: Mapping[str, Box]) -> dict[str, Box]:
    """Where the units of a deck lie, between their wheels."""
    nodes = [node for members in units.values() for node in members]
    inside = [boxes[node.name] for node in nodes if not node.is_brake] or [boxes[node.name] for node in nodes]
    top, bottom = min(box.y for box in inside) - ABOVE, max(box.y + box.h for box in inside) + BELOW
    made = {}
    for name, members in units.items():
        own = [boxes[node.name] for node in members if not node.beyond] or [boxes[node.name] for node in members]
        left, right = min(box.x for box in own) - _OVERHANG, max(box.x + box.w for box in own) + _OVERHANG
        made[name] = Box(left, top, right - left, bottom - top)
    return made


def _columns(nodes: Sequence[Node], cells: Mapping[str, Cell], gap: int) -> tuple[dict[float, int], int]:
    """Centre of every station from the left of the unit, and the unit's width."""
    widths: dict[float, int] = {}
    for node in nodes:
        station = cells[node.name][0]
        need = max(size_of(node)[0], label_size(node)[0] - _OVERHANGING)
        widths[station] = max(widths.get(station, 0), need + need % 2)
    centres, x = {}, 0
    for station in sorted(widths):
        centres[station] = x + widths[station] // 2
        x += widths[station] + gap
    return centres, x - gap


def _lanes(nodes: Sequence[Node], cells: Mapping[str, Cell], gap: int, top: int) -> tuple[dict[float, int], int]:
    """Centre of every row, and the bottom of the deck; every lane has room for the labels and tyres of its parts."""
    half: dict[float, int] = {}
    above: dict[float, int] = {}
    below: dict[float, int] = {}
    for node in nodes:
        row = cells[node.name][1]
        over, under = _beside(node)
        half[row] = max(half.get(row, 0), size_of(node)[1] // 2)
        above[row] = max(above.get(row, 0), over)
        below[row] = max(below.get(row, 0), under)
    centres, y = {}, top
    for row in sorted(half, reverse=True):
        y += above[row] + half[row]
        centres[row] = y
        y += half[row] + below[row] + gap
    return centres, y - gap


def _beside(node: Node) -> tuple[int, int]:
    """Cells above and below a node for its label, and its tyre."""
    if node.is_brake:
        return (_TYRE, _FREE) if node.side == "right" else (_FREE, _TYRE)
    return label_size(node)[1], 0


def _decks(widths: Mapping[str, int]) -> tuple[tuple[str, ...], ...]:
    """Units side by side as long as they fit; the rest goes on below."""
    decks: list[list[str]] = []
    used = 0
    for name, width in widths.items():
        if decks and used + _BETWEEN_UNITS + width + 2 * _MARGIN <= WIDEST:
            decks[-1].append(name)
            used += _BETWEEN_UNITS + width
        else:
            decks.append([name])
            used = width
    return tuple(tuple(deck) for deck in decks)
