"""The circuit as a graph: which ports are one node, and what hangs together."""

from __future__ import annotations

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


def graph(circuit: Circuit) -> networkx.MultiGraph[str | int]:
    """The circuit as a graph.

    Nodes are the numbers of `nodes` and the names of components; an edge is a line (key and attribute ``line``) or
    a port by which a component opens into a node (attribute ``port``).
    """
    import networkx

    made: networkx.MultiGraph[str | int] = networkx.MultiGraph()
    made.add_nodes_from(circuit.components)
    number = nodes(circuit)
    for port, node in number.items():
        made.add_edge(port.component, node, port=port)
    for name, line in circuit.lines.items():
        made.add_edge(number[line.start], number[line.end], key=name, line=name)
    return made


def islands(circuit: Circuit) -> list[list[str]]:
    """Groups of components that lines and joints connect with each other, each in the order of the file."""
    import networkx

    groups: dict[str, list[str]] = {}
    first: dict[str | int, str] = {}
    for group in networkx.connected_components(graph(circuit)):
        leader = next(name for name in group if isinstance(name, str))
        first.update(dict.fromkeys(group, leader))
    for name in circuit.components:
        groups.setdefault(first[name], []).append(name)
    return list(groups.values())
