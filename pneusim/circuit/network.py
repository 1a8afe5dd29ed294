"""The circuit as a graph: which ports are one node, and what hangs together."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from pneusim.circuit.circuit import Circuit, Port

if TYPE_CHECKING:
    import networkx


def used_ports(circuit: Circuit) -> list[Port]:
    """Every port that a joint or a line ends at, in the order of the file, joints first."""
    ports = [port for joint in circuit.joints for port in joint.ports]
    ports += [port for line in circuit.lines.values() for port in (line.start, line.end)]
    return list(dict.fromkeys(ports))


def nodes(circuit: Circuit) -> dict[Port, int]:
    """Number of the node that each used port belongs to: the ports of a joint share one, any other has its own.

    Ports of a part that open into one space inside it (21 and 22 of a relay valve) are nodes of their own here.
    """
    number: dict[Port, int] = {}
    for count, joint in enumerate(circuit.joints):
        number.update(dict.fromkeys(joint.ports, count))
    free = len(circuit.joints)
    for port in used_ports(circuit):
        if port not in number:
            number[port] = free
            free += 1
    return number


def _edges(circuit: Circuit) -> Iterator[tuple[str | int, str | int, dict[str, object]]]:
    number = nodes(circuit)
    for port, node in number.items():
        yield port.component, node, {"port": port}
    for name, line in circuit.lines.items():
        yield number[line.start], number[line.end], {"line": name}


def graph(circuit: Circuit) -> networkx.MultiGraph[str | int]:
    """The circuit as a graph.

    Nodes are the numbers of `nodes` and the names of components; an edge is a line (attribute ``line``, its name) or
    a port by which a component opens into a node (attribute ``port``).
    """
    import networkx

    made: networkx.MultiGraph[str | int] = networkx.MultiGraph()
    made.add_nodes_from(circuit.components)
    made.add_edges_from(_edges(circuit))
    return made


def islands(circuit: Circuit) -> list[list[str]]:
    """Groups of components that lines and joints connect with each other, each in the order of the file.

    A plain walk: checking a file must not wait for networkx to be imported.
    """
    neighbours: dict[str | int, list[str | int]] = {name: [] for name in circuit.components}
    for a, b, _ in _edges(circuit):
        neighbours.setdefault(a, []).append(b)
        neighbours.setdefault(b, []).append(a)
    leader: dict[str | int, str] = {}
    for name in circuit.components:
        waiting: list[str | int] = [] if name in leader else [name]
        while waiting:
            here = waiting.pop()
            if here not in leader:
                leader[here] = name
                waiting += neighbours[here]
    groups: dict[str, list[str]] = {}
    for name in circuit.components:
        groups.setdefault(leader[name], []).append(name)
    return list(groups.values())
