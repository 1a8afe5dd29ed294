"""Which ports are one node: joints join ports, and equal ports of one part are one space inside."""

from __future__ import annotations

from collections.abc import Mapping

from pneusim.circuit.circuit import Circuit, Port
from pneusim.parts.base import Part, PortSpec


def spec_of(part: type[Part], number: str) -> PortSpec:
    """The specification that a canonical port number belongs to."""
    for spec in part.ports:
        if spec.number == number or (spec.many and (spec.number == "*" or number.startswith(spec.number))):
            return spec
    raise KeyError(number)


class Ports:
    """Groups of ports that share a node; a group is named by one of its ports."""

    def __init__(self, circuit: Circuit, parts: Mapping[str, type[Part]]) -> None:
        self._parent: dict[Port, Port] = {}
        self.parts = parts
        self.used: dict[str, list[str]] = {name: [] for name in circuit.components}
        for line in circuit.lines.values():
            for port in (line.start, line.end):
                self._use(port)
        for joint in circuit.joints:
            for port in joint.ports:
                self._use(port)
                self._union(joint.ports[0], port)
        for numbers in self.used.values():
            numbers.sort()

    def _use(self, port: Port) -> None:
        if port.number not in self.used[port.component]:
            self.used[port.component].append(port.number)
        self._union(port, self.inside(port))

    def inside(self, port: Port) -> Port:
        """The one space inside a part that equal ports open into."""
        spec = spec_of(self.parts[port.component], port.number)
        return Port(port.component, spec.number) if spec.many else port

    def group(self, port: Port) -> Port:
        """Name of the port's group."""
        root = port
        while self._parent.setdefault(root, root) != root:
            root = self._parent[root]
        self._parent[port] = root
        return root

    def _union(self, a: Port, b: Port) -> None:
        self._parent[self.group(a)] = self.group(b)
