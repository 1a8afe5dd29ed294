"""The schematic of a replay page: the drawing, and which channel moves what in it."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator
from html import escape
from typing import Any

from pneusim.circuit.circuit import Circuit, Vehicle
from pneusim.parts.registry import part
from pneusim.show.replay.course import along, split
from pneusim.show.replay.damage import marks
from pneusim.show.replay.poses import OTHERS, POSES, PRESSED, Pose, pressure_at
from pneusim.show.replay.wheels import wheel
from pneusim.show.schematic.layout import Layout
from pneusim.show.schematic.place import CELL
from pneusim.show.schematic.render import Point, component_group, line_group, outline, path_of, signal_group
from pneusim.show.schematic.sheet import Net, Node
from pneusim.show.schematic.symbols.strokes import num
from pneusim.show.schematic.vehicle import vehicle_group

__all__ = ["actors", "drawing", "marks"]

_BESIDE = 2
"""Cells beside a part that its name may need."""

_ROOM = 3
"""Cells of room around a unit that is shown alone: a sign at the end of its hose has place there."""

_NAME = 2
"""Cells below a chassis that its name needs."""

_LAP = 0.002
"""Share of a line by which its halves overlap, so that no seam is seen."""

_WHEELS = 7
"""Cells from a brake chamber to the far side of its wheel."""


# ---- what moves


def actors(circuit: Circuit, layout: Layout, channels: Collection[str]) -> list[dict[str, Any]]:
    """What every element of the drawing shows.

    Parameters
    ----------
    circuit : Circuit
        What is drawn.
    layout : Layout
        Its places.
    channels : collection of str
        Names of the run's channels.

    Returns
    -------
    list of dict
        ``element`` (id in the drawing), ``pose`` (see `pneusim.show.replay.poses.Pose`), ``channel``, ``low`` and
        ``high`` [SI], the values shown as 0 and 1; ``high`` None is the full scale of pressures.  ``minus``, if
        there, is a channel to be taken from ``channel``.
    """
    known = set(channels)
    made = list(_nets(circuit, layout, known))
    for node in layout.sheet.nodes.values():
        ball = _ball(circuit, layout, node, known)
        made += [ball] if ball else _actors(f"c-{node.name}", node, _poses(node, layout), known)
        if node.is_brake:
            made += _actors(f"w-{node.name}", node, wheel(circuit.components[node.name]), known)
    return made


def _actors(element: str, node: Node, poses: Collection[Pose], known: set[str]) -> Iterator[dict[str, Any]]:
    for pose in poses:
        channel, minus = f"{node.name}.{pose.channel}", f"{node.name}.{pose.minus}"
        if channel in known and (not pose.minus or minus in known):
            actor = {"element": element, "pose": pose.name, "channel": channel, "low": pose.low, "high": pose.high}
            yield actor | ({"minus": minus} if pose.minus else {})


def _poses(node: Node, layout: Layout) -> tuple[Pose, ...]:
    poses = POSES.get(node.symbol, OTHERS)
    if node.symbol == "switch":
        warns = any(event.category == "warning" for event in part(node.type).events)
        return (*poses, Pose("warning" if warns else "lit", "closed"))
    if node.symbol == "shuttle" and _lies_reversed(node, layout):
        return tuple(Pose(pose.name, pose.minus, pose.low, pose.high, pose.channel) for pose in poses)
    return poses


def _ball(circuit: Circuit, layout: Layout, node: Node, known: set[str]) -> dict[str, Any] | None:
    """The ball of a double check valve: pressed by the higher inlet onto the other's seat, flow or none.

    With equal pressures it is between the seats.  None where channels do not tell the pressures of both inlets.
    """
    left, right = ("12", "11") if _lies_reversed(node, layout) else ("11", "12")
    at = [_pressure_of(circuit, layout, (node.name, port), known) for port in (left, right)]
    if node.symbol != "shuttle" or not all(at):
        return None
    held = {"element": f"c-{node.name}", "pose": "ball", "low": -PRESSED, "high": PRESSED}
    return held | {"channel": at[0], "minus": at[1]}


def _pressure_of(circuit: Circuit, layout: Layout, end: tuple[str, str], known: set[str]) -> str:
    """Channel of the pressure in the line or joint that ends at a port, "" if there is none."""
    for net in layout.sheet.nets:
        if end in net.ends:
            told = _pressures(circuit, layout, net, known)
            return told.get("end" if net.id.startswith("l-") and net.ends[1] == end else "start", "")
    return ""


def _lies_reversed(node: Node, layout: Layout) -> bool:
    """Whether port 12 of a double check valve lies at the left: the ball leaves the seat that opens."""
    return {"11", "12"} <= set(node.ports) and layout.pins[node.name, "11"].x > layout.pins[node.name, "12"].x


def _nets(circuit: Circuit, layout: Layout, known: set[str]) -> Iterator[dict[str, Any]]:
    for net in layout.sheet.nets:
        for pose, channel in _pressures(circuit, layout, net, known).items():
            yield {"element": net.id, "pose": pose, "channel": channel, "low": 0.0, "high": None}


def _pressures(circuit: Circuit, layout: Layout, net: Net, known: set[str]) -> dict[str, str]:
    """Channels of both ends of a line, or of the node that a joint is, which is all start."""
    if net.id.startswith("l-"):
        name = net.id[2:]
        both = {"start": f"{name}.pressure_in", "end": f"{name}.pressure_out"}
        return {pose: channel for pose, channel in both.items() if channel in known}
    for component, port in net.ends:
        symbol = layout.sheet.nodes[component].symbol
        for quantity in pressure_at(symbol, port):
            if f"{component}.{quantity}" in known:
                return {"start": f"{component}.{quantity}"}
    return {}


# ---- the drawing


def drawing(layout: Layout) -> str:
    """SVG of a layout for a page: every element has a ``data-id``, a line has two halves, a unit can move by itself.

    It has no style of its own; names of parts are text in it.
    """
    width, height = CELL * layout.frame.width, CELL * (layout.frame.height - 2)
    title = escape(layout.sheet.title)
    body = [
        f'<svg class="pneusim" viewBox="0 0 {width} {height}" role="group" aria-label="{title}">',
        '<g class="vehicles">', *_by_unit(layout, _vehicles), "</g>",
        '<g class="lines">', *_by_unit(layout, _lines), *_couplings(layout), "</g>",
        '<g class="components">', *_by_unit(layout, _components), "</g>",
        "</svg>", "",
    ]  # fmt: skip
    return "\n".join(body).replace(' id="', ' data-id="')


def _by_unit(layout: Layout, drawn: Callable[[Vehicle, Layout], Iterable[str]]) -> Iterator[str]:
    for unit in layout.sheet.units:
        box = _extent(unit.name, layout)
        yield f'<g data-unit="{escape(unit.name)}" data-box="{box}">{"".join(drawn(unit, layout))}</g>'


def _vehicles(unit: Vehicle, layout: Layout) -> list[str]:
    return [vehicle_group(unit, layout)]


def _lines(unit: Vehicle, layout: Layout) -> list[str]:
    nodes = layout.sheet.nodes
    told = [signal_group(layout, net) for net in layout.sheet.signals if nodes[net.ends[0][0]].unit == unit.name]
    return told + [_line(layout, net) for net in layout.sheet.nets if set(_units(net, layout)) == {unit.name}]


def _components(unit: Vehicle, layout: Layout) -> list[str]:
    return [component_group(layout, node.name) for node in layout.sheet.nodes.values() if node.unit == unit.name]


def _couplings(layout: Layout) -> Iterator[str]:
    """Lines between units, with the units that they come from and go to."""
    for net in layout.sheet.nets:
        units = _units(net, layout)
        if len(set(units)) > 1:
            yield f'<g data-from="{escape(units[0])}" data-to="{escape(units[-1])}">{_line(layout, net)}</g>'


def _extent(unit: str, layout: Layout) -> str:
    """x, y, width, height of all that belongs to a unit, with room around it, inside the drawing."""
    nets = [net for net in layout.sheet.nets if set(_units(net, layout)) == {unit}]
    points = [point for net in nets for point in _points(layout, net)]
    for node in layout.sheet.nodes.values():
        if node.unit == unit:
            box, wheel = layout.frame.boxes[node.name], _WHEELS if node.is_brake else 0
            points += _corners(box.x - _BESIDE, box.y - wheel, box.w + 2 * _BESIDE, box.h + 2 * wheel)
    if unit in layout.frame.chassis:
        box = layout.frame.chassis[unit]
        points += _corners(box.x, box.y, box.w, box.h + _NAME)
    (left, right), (top, bottom) = ((min(values) - _ROOM, max(values) + _ROOM) for values in zip(*points))
    left, top = max(left, 0.0), max(top, 0.0)
    right, bottom = min(right, float(layout.frame.width)), min(bottom, float(layout.frame.height - 2))
    return " ".join(num(CELL * value) for value in (left, top, right - left, bottom - top))


def _points(layout: Layout, net: Net) -> list[Point]:
    return [(x / CELL, y / CELL) for branch in outline(layout, net) for x, y in branch]


def _corners(x: float, y: float, width: float, height: float) -> list[Point]:
    return [(x, y), (x + width, y + height)]


def _units(net: Net, layout: Layout) -> list[str]:
    return [layout.sheet.nodes[name].unit for name, _ in net.ends]


def _line(layout: Layout, net: Net) -> str:
    """A net as its two halves, from its start and from its end; ports screwed together are all start."""
    branches = outline(layout, net)
    halves = {"start": branches}
    if net.id.startswith("l-"):
        course = along(layout, net)
        halves = {"start": [split(course, 0.5)[0]], "end": [split(course, 0.5 - _LAP)[1]]}
    strokes = "".join(
        f'<path class="{kind} {half}" d="{_data(paths)}"/>'
        for kind in ("casing", "core") for half, paths in halves.items()
    )  # fmt: skip
    whole = _data(branches)
    return line_group(layout, net, f'<path class="ground" d="{whole}"/>{strokes}<path class="hit" d="{whole}"/>')


def _data(branches: list[list[Point]]) -> str:
    return " ".join(map(path_of, branches))
