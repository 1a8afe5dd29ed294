"""The vehicles behind the circuit: chassis, axles, tyres, foundation brakes, names."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from pneusim.circuit.braking import ACTUATORS
from pneusim.circuit.circuit import Vehicle
from pneusim.show.schematic.layout import Layout
from pneusim.show.schematic.place import CELL, Box
from pneusim.show.schematic.sheet import Node
from pneusim.show.schematic.symbols.registry import DRAWINGS
from pneusim.show.schematic.symbols.strokes import num
from pneusim.show.schematic.zones import has_cab

_FOUNDATION = {"s_cam": "drum", "air_disc": "disc"}
TYRE = (9.0, 2.2)


def vehicle_group(unit: Vehicle, layout: Layout) -> str:
    """SVG of a unit, "" of one without brakes."""
    nodes = [node for node in layout.sheet.nodes.values() if node.unit == unit.name and not node.beyond]
    brakes = [node for node in nodes if node.is_brake]
    if not brakes:
        return ""
    return "\n".join([_body(unit, layout.frame.chassis[unit.name]), *_axles(unit, brakes, layout)])


def _body(unit: Vehicle, box: Box) -> str:
    left, top, right, bottom = box.x, box.y, box.x + box.w, box.y + box.h
    r = 40 if has_cab(unit) else 8
    d = (
        f"M{num(CELL * left + r)},{num(CELL * top)} H{num(CELL * right)} V{num(CELL * bottom)} H{num(CELL * left + r)} "
        f"a{r},{r} 0 0 1 {-r},{-r} V{num(CELL * top + r)} a{r},{r} 0 0 1 {r},{-r}Z"
    )
    x, y, name = num(CELL * left + 14), num(CELL * bottom + 24), escape(unit.name or unit.kind)
    return f'<path class="body" d="{d}"/><text class="unit" x="{x}" y="{y}">{name}</text>'


def _axles(unit: Vehicle, brakes: list[Node], layout: Layout) -> Iterator[str]:
    kinds = {axle.number: _FOUNDATION.get(str(axle.brake.get("type")), "") for axle in unit.axles}
    for number in sorted({node.axle or 0 for node in brakes}):
        on_it = [node for node in brakes if node.axle == number]
        here = {node.side: node for node in sorted(on_it, key=lambda node: node.type in ACTUATORS)}
        boxes = {side: layout.frame.boxes[node.name] for side, node in here.items()}
        middle = sum(box.centre[0] for box in boxes.values()) / len(boxes)
        ends = {side: _tyre_middle(box, side == "right") for side, box in boxes.items()}
        top, bottom = min(ends.values()), max(ends.values())
        if len(ends) == 1:
            top, bottom = sorted((next(iter(ends.values())), next(iter(boxes.values())).centre[1]))
        yield f'<path class="axle" d="M{num(CELL * middle)},{num(CELL * top)} V{num(CELL * bottom)}"/>'
        for side, y in ends.items():
            wheel = _tyre(middle, y) + _foundation(kinds.get(number, ""), middle, y)
            yield f'<g class="wheel" id="w-{escape(here[side].name)}">{wheel}</g>'


def _tyre_middle(box: Box, up: bool) -> float:
    return box.y - 5.2 if up else box.y + box.h + 5.2


def _tyre(x: float, y: float) -> str:
    w, h = TYRE
    return (
        f'<rect class="tyre" x="{num(CELL * (x - w / 2))}" y="{num(CELL * (y - h / 2))}" '
        f'width="{num(CELL * w)}" height="{num(CELL * h)}" rx="8"/>'
    )


def _foundation(kind: str, x: float, y: float) -> str:
    if not kind:
        return ""
    drawing = DRAWINGS[kind]
    w, h = CELL * drawing.width, CELL * drawing.height
    at = f"translate({num(CELL * x - w / 2)} {num(CELL * y - h / 2)})"
    return f'<g class="c" transform="{at}">{drawing.draw(w, h)}</g>'
