"""A circuit under a scenario as a graph of labelled nodes: everything that its equations depend on, and no names.

Two cases whose portraits are isomorphic have the same equations up to the names of their parts.  Nodes are parts, the
spaces behind their ports, lines and their two ends, joints, axles and vehicles; what a scenario begins with and does
is in the labels of what it does it to.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from pneusim.circuit.braking import ACTUATORS
from pneusim.circuit.circuit import Circuit, Line
from pneusim.circuit.scenario import Scenario, Step
from pneusim.parts.registry import part
from pneusim.reading.parameters import dimension_of
from pneusim.simulate.ports import spec_of

if TYPE_CHECKING:
    import networkx

Node = tuple[str, ...]


class Unlabelled(Exception):
    """Something that the scenario does cannot be put on a part, line or vehicle."""


class Portrait:
    """Labels by node, in the order of the circuit, and neighbours by node."""

    def __init__(self, circuit: Circuit, scenario: Scenario) -> None:
        self.labels: dict[Node, Any] = {}
        self.neighbours: dict[Node, set[Node]] = {}
        self._circuit = circuit
        self._marks: dict[Node, list[Any]] = {}
        for node, mark in _marks(circuit, scenario):
            self._marks.setdefault(node, []).append(mark)
        road = scenario.road
        self._uneven = road is not None and any(stretch.left != stretch.right for stretch in road.stretches)
        for place, vehicle in enumerate(circuit.vehicles):
            rolls = [place, repr(vehicle.motion)] if road else []
            self._add(("vehicle", vehicle.name), [vehicle.kind, *rolls])
            for axle in vehicle.axles:
                node = ("axle", vehicle.name, str(axle.number))
                rolls = [repr(axle.rolling)] if road else []
                self._add(node, [axle.load, axle.load_empty, axle.tyre_radius, dict(axle.brake), *rolls])
                self._join(node, ("vehicle", vehicle.name))
        for component in circuit.components.values():
            self._part(component.name)
        for line in circuit.lines.values():
            self._line(line)
        for count, joint in enumerate(circuit.joints):
            node = ("joint", str(count))
            self._add(node, None)
            for port in joint.ports:
                self._join(node, self._port(port.component, port.number))
        if missing := self._marks.keys() - self.labels.keys():
            raise Unlabelled(str(sorted(missing)))

    def graph(self, colours: Mapping[Node, int]) -> networkx.Graph[int]:
        """The portrait for networkx, colours under ``colour``.

        Nodes are their numbers in ``labels``: sets of texts are in another order in every process, and of several maps
        between two portraits the one that is found would hang on it.
        """
        import networkx

        number = {node: k for k, node in enumerate(self.labels)}
        made: networkx.Graph[int] = networkx.Graph()
        made.add_nodes_from((k, {"colour": colours[node]}) for node, k in number.items())
        made.add_edges_from(sorted((number[a], number[b]) for a, others in self.neighbours.items() for b in others))
        return made

    def _add(self, node: Node, content: Any) -> None:
        marks = sorted(json.dumps(mark) for mark in self._marks.get(node, []))
        self.labels[node] = json.dumps([node[0], content, marks], sort_keys=True, default=str)
        self.neighbours.setdefault(node, set())

    def _join(self, a: Node, b: Node) -> None:
        self.neighbours.setdefault(a, set()).add(b)
        self.neighbours.setdefault(b, set()).add(a)

    def _part(self, name: str) -> None:
        component = self._circuit.components[name]
        model, node = part(component.type)(**component.parameters), ("part", name)
        values, fields = model.model_dump(), type(model).model_fields
        named = {word for word, info in fields.items() if values[word] is not None and dimension_of(info) == "name"}
        heat = component.heat and [component.heat.mode, component.heat.coefficient]
        side = [component.side] if self._uneven else []
        self._add(node, [component.type, {k: v for k, v in values.items() if k not in named}, heat, *side])
        for word in sorted(named):  # a reference to another part
            reference = ("reference", name, word)
            self._add(reference, word)
            self._join(reference, node)
            self._join(reference, ("part", values[word]))
        if any(vehicle.name == component.unit for vehicle in self._circuit.vehicles):
            self._join(node, ("vehicle", component.unit))
        axle = ("axle", component.unit, str(component.axle))
        if component.type in ACTUATORS and axle in self.labels:
            self._join(node, axle)

    def _port(self, component: str, number: str) -> Node:
        """The space behind a port: one for all equal ports of a part."""
        spec = spec_of(part(self._circuit.components[component].type), number)
        inside = spec.number if spec.many else number
        node = ("port", component, inside)
        if node not in self.labels:
            self._add(node, inside)
            self._join(node, ("part", component))
        return node

    def _line(self, line: Line) -> None:
        node = ("line", line.name)
        heat = line.heat and [line.heat.mode, line.heat.coefficient]
        self._add(node, [line.length, line.bore, line.roughness, line.loss, line.model, line.cells, heat,
                         line.friction_factor, line.coupling])  # fmt: skip
        for word, port in (("start", line.start), ("end", line.end)):
            kept = line.coupling and self._circuit.components[port.component].unit == (line.stays_with or "")
            end = ("end", line.name, word)
            self._add(end, [word, kept])
            self._join(end, node)
            self._join(end, self._port(port.component, port.number))


def _marks(circuit: Circuit, scenario: Scenario) -> Iterator[tuple[Node, Any]]:
    """What a scenario begins with and does, each with the node that it does it to."""
    for name, value in scenario.begin.items():
        node, word = _owner(circuit, name)
        yield node, ["begin", word, value]
    for step in scenario.steps:
        yield from _of_step(circuit, step)


def _of_step(circuit: Circuit, step: Step) -> Iterator[tuple[Node, Any]]:
    if step.action in ("ask", "note"):
        return
    does = [step.action, step.at, step.to, step.over, step.where]
    if step.when:
        node, word = _owner(circuit, step.when.channel)
        does += [step.when.level, step.when.direction]
        yield node, ["when", word, *does]
    for count, target in enumerate(step.targets or (step.target,)):
        node, word = _owner(circuit, target)
        yield node, [word, count, *does]


def _owner(circuit: Circuit, name: str) -> tuple[Node, str]:
    """The node of a component or line by its own name, or by that of something of it, and what of it."""
    if name in circuit.lines:
        return ("line", name), ""
    owner, _, word = name.rpartition(".")
    if owner in circuit.lines:
        return ("line", owner), word
    if owner in circuit.components:
        return ("part", owner), word
    raise Unlabelled(name)
