"""Finds the spot for every label: beside its symbol, off the lines, the numbers and its neighbours."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from pneusim.show.schematic.labels import FONT, label_variants, text_width
from pneusim.show.schematic.place import CELL, Box, Frame
from pneusim.show.schematic.ports import STEP, End, Pin
from pneusim.show.schematic.quality import segments
from pneusim.show.schematic.route import Routes
from pneusim.show.schematic.sheet import Node, Sheet
from pneusim.show.schematic.symbols.registry import DRAWINGS

Area = tuple[float, float, float, float]
"""x, y, width, height."""

LINE = FONT * 1.02
"""Height of a line of a label in drawing units."""

_NEAR = 16
"""Spots beyond so many differ little."""

_STRUCK = 1.0
"""What it costs that a line goes through a label."""


@dataclass(frozen=True)
class Label:
    """Lines of text; ``x`` is where ``anchor`` says, ``y`` the first base line, in drawing units."""

    lines: tuple[str, ...]
    x: float
    y: float
    anchor: str

def wanted(sheet: Sheet, frame: Frame, pins: Mapping[End, Pin]) -> list[Area]:
    """Areas in grid cells that lines should leave to labels and numbers, before the lines are known."""
    leaving = [_leaving(pin) for pin in pins.values()]
    areas = [area for area, _ in _chosen(sheet, frame, pins, leaving).values()]
    areas += [number_area(pin, port) for (_, port), pin in pins.items()]
    areas += [_below(frame.boxes[name]) for name, node in sheet.nodes.items() if _vents_below(node)]
    return [(x / CELL, y / CELL, w / CELL, h / CELL) for x, y, w, h in areas]

def put_labels(sheet: Sheet, frame: Frame, routes: Routes, pins: Mapping[End, Pin]) -> dict[str, Label]:
    """The spot of every label that covers least."""
    wires = [_wire(a, b) for _, a, b in (*segments(routes), *segments(routes, signals=True))]
    return {name: label for name, (_, label) in _chosen(sheet, frame, pins, wires).items()}

def _chosen(
    sheet: Sheet, frame: Frame, pins: Mapping[End, Pin], wires: list[Area]
) -> dict[str, tuple[Area, Label]]:
    taken: list[Area] = [_outline(box) for box in frame.boxes.values()]
    numbers = [number_area(pin, port) for (_, port), pin in pins.items()]
    page = (0.0, 0.0, float(CELL * frame.width), float(CELL * frame.height))
    chosen: dict[str, tuple[Area, Label]] = {}
    for name, node in sheet.nodes.items():
        costs = []
        for lines, extra in label_variants(node):
            for n, spot in enumerate(_spots(node, lines, frame.boxes[name], pins)):
                area = spot[0]
                outside = 1.0 - _covered(area, [page])
                cost = 10.0 * _covered(area, taken) + 4.0 * _covered(area, wires) + 8.0 * _covered(area, numbers)
                cost += _STRUCK * _struck(area, wires)
                costs.append((_aside(n) + extra + cost + 20.0 * outside, spot))
        if costs:
            chosen[name] = min(costs, key=lambda item: item[0])[1]
            taken.append(chosen[name][0])
    return chosen

def _aside(n: int) -> float:
    """What it costs to take the n-th spot of a list that begins with the best."""
    return 0.03 * min(n, _NEAR) + 0.003 * n

def _vents_below(node: Node) -> bool:
    drawing = DRAWINGS[node.symbol]
    return drawing.round and "S" in drawing.closed


def _below(box: Box) -> Area:
    """Where the triangle of an exhaust hangs."""
    x, y, width, height = _outline(box)
    return x + width / 2 - CELL, y + height, 2 * CELL, CELL


def _leaving(pin: Pin) -> Area:
    """Where the line of a pin will run at first."""
    (x, y), (dx, dy) = (pin.x, pin.y), STEP[pin.side]
    return _wire((x, y), (x + 4 * dx, y + 4 * dy))

def number_area(pin: Pin, port: str) -> Area:
    """Where a port's number stands: beside its line, just outside the box."""
    wide = 8.0 * len(port) + 1
    x, y = pin.x * CELL, pin.y * CELL
    return {
        "E": (x + 4, y - 16.0, wide, 12.0),
        "W": (x - 4 - wide, y - 16.0, wide, 12.0),
        "N": (x + 5, y - 16.0, wide, 12.0),
        "S": (x + 5, y + 4.0, wide, 12.0),
    }[pin.side]

def _outline(box: Box) -> Area:
    return box.x * CELL, box.y * CELL, box.w * CELL, box.h * CELL

def _wire(a: tuple[int, int], b: tuple[int, int]) -> Area:
    x, y = min(a[0], b[0]) * CELL, min(a[1], b[1]) * CELL
    return x - 4.0, y - 4.0, abs(a[0] - b[0]) * CELL + 8.0, abs(a[1] - b[1]) * CELL + 8.0

def _covered(area: Area, others: Iterable[Area]) -> float:
    """Share of an area that others cover."""
    x, y, w, h = area
    total = 0.0
    for a, b, c, d in others:
        across = min(x + w, a + c) - max(x, a)
        down = min(y + h, b + d) - max(y, b)
        if across > 0 and down > 0:
            total += across * down
    return total / (w * h)

def _struck(area: Area, wires: Iterable[Area]) -> int:
    """How many lines go through an area, not along its edge."""
    x, y, w, h = area
    return sum(a < x + w - 6 and x + 6 < a + c and b < y + h - 6 and y + 6 < b + d for a, b, c, d in wires)


def _spots(
    node: Node, lines: tuple[str, ...], box: Box, pins: Mapping[End, Pin]
) -> list[tuple[Area, Label]]:
    """Where a label could stand, the best first."""
    w, h = max(map(text_width, lines)), LINE * len(lines)
    x, y, width, height = _outline(box)
    middle, right, bottom = x + width / 2, x + width, y + height
    sides = [pins[node.name, port].side for port in node.ports]
    above, below = y - h - 3 - DRAWINGS[node.symbol].over, bottom + (11 if "S" not in sides else 5)
    levels = [above, below] if sides.count("N") <= sides.count("S") else [below, above]
    if node.is_brake:
        levels = [above] if node.side == "right" else [bottom + 3]
    across = [
        (middle, "middle"), (middle - 6, "end"), (middle + 6, "start"), (x, "start"), (right, "end"),
        (middle + 30, "start"), (x + 14, "start"), (right - 14, "end"),
    ]  # fmt: skip
    spots = [_spot(lines, px, level, w, h, anchor) for level in levels for px, anchor in across]
    aside = [(middle + shift, "middle") for n in range(1, 7) for shift in (6 * n, -6 * n)]
    heights = (y + height / 2 - h / 2, y - h / 2, bottom - h / 2, y + height / 2 - h - 4, y + height / 2 + 4)
    outward = ((right + 6, "start"), (x - 6, "end"), (right + 20, "start"), (x - 20, "end"))
    spots += [_spot(lines, px, level, w, h, anchor) for level in heights for px, anchor in outward]
    return spots + [_spot(lines, px, level, w, h, anchor) for level in levels for px, anchor in aside]

def _spot(lines: tuple[str, ...], x: float, top: float, w: float, h: float, anchor: str) -> tuple[Area, Label]:
    left = {"middle": x - w / 2, "start": x, "end": x - w}[anchor]
    return (left, top, w, h), Label(lines, x, top + FONT * 0.8, anchor)
