"""What is to be drawn: nodes and nets, taken from the circuit graph."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from pneusim.circuit.circuit import NOWHERE, Circuit, Component, Line, Port, Vehicle
from pneusim.errors import Place, UsageError
from pneusim.parts.base import Part
from pneusim.parts.registry import part
from pneusim.show.schematic.relations import signals

HOSE_ROUGHNESS = 9e-6
"""A wall rougher than this [m] is that of a hose: the file format's default for hoses is 10 um, for tubes 1.5 um."""

_SENSOR = "wheel_speed_sensor"

_PASSED = ("tee", "line_filter", "check_valve", "restriction", "test_connection", "silencer")
"""Parts behind which a control line is still the control line."""


@dataclass(frozen=True)
class Node:
    """A symbol on the sheet; ``ports`` are those in use, ``pin`` is [station, row] where the file gives it.

    ``label`` is its name without that of its unit, ``words`` is what the file calls it, "" where that is nothing or
    also the name of another part of the unit.
    ``beyond`` is ``front`` or ``rear`` for what belongs to no unit and stands before or behind one.
    """

    name: str
    type: str
    symbol: str
    unit: str
    title: str
    label: str
    words: str = ""
    ports: tuple[str, ...] = ()
    axle: int | None = None
    side: str | None = None
    end: str = ""
    role: str = ""
    pin: tuple[float, float] | None = None
    beyond: str = ""

    @property
    def is_brake(self) -> bool:
        """Whether axle and side say where it stands, as they do of all but a sensor."""
        return self.axle is not None and self.side is not None and self.type != _SENSOR


@dataclass(frozen=True)
class Net:
    """A line, or ports screwed together: ends as (node, port)."""

    id: str
    title: str
    ends: tuple[tuple[str, str], ...]
    pilot: bool = False
    hose: bool = False
    coupling: bool = False
    place: Place = NOWHERE


@dataclass(frozen=True)
class Sheet:
    """All that the drawing shows."""

    title: str
    units: tuple[Vehicle, ...]
    nodes: Mapping[str, Node]
    nets: tuple[Net, ...]
    caps: Mapping[tuple[str, str], Node] = field(default_factory=dict)
    """Plugs by the (node, port) that they close."""
    signals: tuple[Net, ...] = ()
    """What parts tell each other without a line of the circuit: no air, no ports."""

    @property
    def mounted(self) -> dict[str, str]:
        """Sensors drawn on the wheel that they are at, by the brake of that wheel; a pin takes a sensor elsewhere."""
        brakes: dict[tuple[object, ...], str] = {}
        for node in self.nodes.values():
            if node.is_brake:
                brakes.setdefault((node.unit, node.axle, node.side), node.name)
        sensors = [node for node in self.nodes.values() if node.type == _SENSOR and node.pin is None]
        wheels = {node.name: (node.unit, node.axle, node.side) for node in sensors}
        return {name: brakes[wheel] for name, wheel in wheels.items() if wheel in brakes}

    def placed(self, unit: str) -> list[Node]:
        """Nodes of a unit that have a cell of their own."""
        mounted = self.mounted
        return [node for node in self.nodes.values() if node.unit == unit and node.name not in mounted]


def sheet(circuit: Circuit, unit: str | None = None) -> Sheet:
    """The sheet of a circuit, or of one of its units with the hoses to its neighbours as stubs.

    Raises
    ------
    UsageError
        If there is no such unit.
    """
    names = [vehicle.name for vehicle in circuit.vehicles if vehicle.name]
    if unit is not None and unit not in names:
        known = f"; there are: {', '.join(names)}" if names else "; the circuit is of one unit, leave it out"
        raise UsageError(f"{circuit.source or circuit.name}: there is no unit {unit!r}{known}")
    homes = _homes(circuit)
    nodes = {name: _node(circuit, part, homes[name], unit) for name, part in circuit.components.items()}
    nets = [_line_net(circuit, line) for line in circuit.lines.values()]
    nets += [_joint_net(circuit, joint.ports, joint.place) for joint in circuit.joints]
    nets = _with_control_line(circuit, nets)
    units = circuit.vehicles
    if unit is not None:
        nodes, nets = _alone(nodes, nets, unit)
        units = tuple(vehicle for vehicle in units if vehicle.name == unit)
    nodes, nets, caps = _capped(nodes, nets)
    nodes = _with_ports(nodes, nets, caps)
    title = circuit.title if unit is None else f"{circuit.title}: {unit}"
    told = tuple(_signal_net(circuit, names) for names in signals(circuit) if set(names) <= set(nodes))
    return Sheet(title, units, nodes, tuple(nets), caps, told)


def part_of(whole: Sheet, names: Collection[str]) -> Sheet:
    """The sheet of some of the nodes and of what joins them."""
    kept = [replace(net, ends=tuple(end for end in net.ends if end[0] in names)) for net in whole.nets]
    nets = [net for net in kept if len(net.ends) > 1]
    caps = {end: plug for end, plug in whole.caps.items() if end[0] in names}
    nodes = _with_ports({name: whole.nodes[name] for name in whole.nodes if name in names}, nets, caps)
    inside = {node.unit for node in nodes.values()}
    return Sheet(whole.title, tuple(unit for unit in whole.units if unit.name in inside), nodes, tuple(nets), caps)


def _with_ports(
    nodes: Mapping[str, Node], nets: Iterable[Net], caps: Iterable[tuple[str, str]]
) -> dict[str, Node]:
    used: dict[str, list[str]] = {name: [] for name in nodes}
    for name, port in [*caps, *(end for net in nets for end in net.ends)]:
        used[name].append(port)
    return {name: replace(node, ports=tuple(used[name])) for name, node in nodes.items()}


def _homes(circuit: Circuit) -> dict[str, str]:
    """Unit of every component; one that the combination itself adds goes to a neighbour's."""
    known = {vehicle.name for vehicle in circuit.vehicles}
    homes = {name: item.unit for name, item in circuit.components.items() if item.unit in known}
    groups = [{line.start.component, line.end.component} for line in circuit.lines.values()]
    groups += [{port.component for port in joint.ports} for joint in circuit.joints]
    for _ in circuit.components:
        for group in groups:
            near = [homes[name] for name in sorted(group) if name in homes]
            if near and len(near) < len(group):
                homes.update({name: near[0] for name in group if name not in homes})
    first = circuit.vehicles[0].name
    return {name: homes.get(name, first) for name in circuit.components}


def _node(circuit: Circuit, item: Component, home: str, alone: str | None) -> Node:
    label = item.name.removeprefix(f"{item.unit}.") if item.unit else item.name
    twins = [other for other in circuit.components.values() if (other.label, other.unit) == (item.label, item.unit)][1:]
    kind = part(item.type)
    pin = circuit.layout.get(item.name, item.pos)
    given = isinstance(pin, (list, tuple)) and len(pin) == 2
    given = given and all(isinstance(value, (int, float)) and math.isfinite(value) for value in pin)
    return Node(
        name=item.name,
        type=item.type,
        symbol=kind.symbol,
        unit=home,
        title=circuit.title_of(item) if alone is None else item.title,
        label=label,
        words="" if twins else item.label or "",
        axle=item.axle,
        side=item.side,
        end=_word(kind, item.parameters, "end"),
        role=_word(kind, item.parameters, "role"),
        pin=(float(pin[0]), float(pin[1])) if given else None,
        beyond="" if item.unit == home else _end_of(circuit, home),
    )


def _end_of(circuit: Circuit, unit: str) -> str:
    """End of a unit at which parts of no unit are coupled to a head of its."""
    for line in circuit.lines.values():
        for near, far in ((line.start, line.end), (line.end, line.start)):
            head, other = circuit.components[near.component], circuit.components[far.component]
            if head.type == "coupling_head" and head.unit == unit != other.unit and other.type != "coupling_head":
                return _word(part(head.type), head.parameters, "end")
    return "rear"


def _word(kind: type[Part], given: Mapping[str, Any], parameter: str) -> str:
    """A parameter that is a word, by its default where the file does not give it; "" if the part has none."""
    field = kind.model_fields.get(parameter)
    return str(given.get(parameter, field.default)) if field else ""


def _line_net(circuit: Circuit, line: Line) -> Net:
    ends = (line.start, line.end)
    hose = line.coupling or line.roughness > HOSE_ROUGHNESS
    return Net(
        f"l-{line.name}", line.title, _ends(ends), _is_pilot(circuit, ends), hose, line.coupling, line.place
    )  # fmt: skip


def _joint_net(circuit: Circuit, ports: tuple[Port, ...], place: Place) -> Net:
    title = "screwed together: " + ", ".join(str(port) for port in ports)
    return Net(f"j-{ports[0]}", title, _ends(ports), _is_pilot(circuit, ports), place=place)


def _signal_net(circuit: Circuit, names: tuple[str, ...]) -> Net:
    first, *others = (circuit.title_of(circuit.components[name]) for name in names)
    return Net(f"s-{names[0]}", f"signal: {first} to {', '.join(others)}", tuple((name, "") for name in names))


def _ends(ports: Iterable[Port]) -> tuple[tuple[str, str], ...]:
    return tuple((port.component, port.number) for port in ports)


def _is_pilot(circuit: Circuit, ports: Iterable[Port]) -> bool:
    """Whether a line ends at a control port; a tee counts its ports through and has none."""
    return any(
        port.number.startswith("4")
        and any(spec.number.startswith("4") for spec in part(circuit.components[port.component].type).ports)
        for port in ports
    )


def _with_control_line(circuit: Circuit, nets: list[Net]) -> list[Net]:
    """Mark all that belongs to the control line between vehicles as pilot lines, from the heads inwards."""
    parts = circuit.components
    at: dict[tuple[str, str], list[int]] = {}
    of: dict[str, list[tuple[str, str]]] = {}
    for index, net in enumerate(nets):
        for end in net.ends:
            at.setdefault(end, []).append(index)
            of.setdefault(end[0], []).append(end)
    waiting = [
        end for name, item in parts.items()
        if item.type == "coupling_head" and item.parameters.get("role") == "control" for end in of.get(name, [])
    ]  # fmt: skip
    found: set[int] = set()
    while waiting:
        for index in at[waiting.pop()]:
            if index not in found:
                found.add(index)
                for name, port in nets[index].ends:
                    waiting += _through(parts[name].type, port, of[name])
    return [replace(net, pilot=True) if index in found else net for index, net in enumerate(nets)]


def _through(kind: str, port: str, ends: list[tuple[str, str]]) -> list[tuple[str, str]]:
    if kind == "tractor_protection_valve":
        return [end for end in ends if {port, end[1]} == {"12", "22"}]
    return ends if kind in _PASSED or kind == "coupling_head" else []


def _capped(
    nodes: dict[str, Node], nets: list[Net]
) -> tuple[dict[str, Node], list[Net], dict[tuple[str, str], Node]]:
    """Take the plugs that close a part's port from the sheet; they are drawn at the port."""
    caps: dict[tuple[str, str], Node] = {}
    for net in nets:
        plugs = [end for end in net.ends if nodes[end[0]].type == "plug"]
        if len(net.ends) == 2 and len(plugs) == 1 and net.id.startswith("j-"):
            host = net.ends[0] if net.ends[1] == plugs[0] else net.ends[1]
            caps[host] = nodes[plugs[0][0]]
    gone = {plug.name for plug in caps.values()}
    kept = [net for net in nets if not gone & {name for name, _ in net.ends}]
    return {name: node for name, node in nodes.items() if name not in gone}, kept, caps


def _alone(nodes: dict[str, Node], nets: list[Net], unit: str) -> tuple[dict[str, Node], list[Net]]:
    own = {name: node for name, node in nodes.items() if node.unit == unit}
    inside, kept = dict(own), list[Net]()
    for net in nets:
        here = [name for name, _ in net.ends if name in own]
        if len(here) == len(net.ends):
            kept.append(net)
        elif here:
            ends = []
            for name, port in net.ends:
                if name not in own:
                    other, near = nodes[name], inside[here[0]]
                    beyond, words = f"beyond_{near.end or 'rear'}", f"to {other.unit}"
                    inside[name] = Node(
                        name, "stub", "stub", unit, f"to {name}", words, end=beyond, role=near.role, beyond=near.end
                    )
                ends.append((name, port))
            kept.append(replace(net, ends=tuple(ends)))
    return inside, kept
