"""Who feeds whom: the circuit, uncoupled, as links between places (joints and free ports)."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass

from pneusim.circuit.circuit import Circuit
from pneusim.circuit.network import nodes
from pneusim.lints.passages import passages


@dataclass(frozen=True)
class Link:
    """A line, or a way through a component.

    ``element`` names what is lost when it fails; ``owner`` is the name of the line or component, ``kind`` its type
    (``line`` for lines). Air passes from any of the places ``inlets`` to all ``outlets``, with air at one of
    ``pilots`` where there are any; ``pipe``: either way.
    """

    element: str
    owner: str
    kind: str
    inlets: frozenset[int]
    outlets: frozenset[int]
    pilots: frozenset[int] = frozenset()
    pipe: bool = False


class Network:
    """Places and links of a circuit whose couplings are open."""

    def __init__(self, circuit: Circuit) -> None:
        self._place = {(port.component, port.number): number for port, number in nodes(circuit).items()}
        self._used: dict[str, list[str]] = {}
        for name, number in self._place:
            self._used.setdefault(name, []).append(number)
        self._joints = {n: f"the joint of {', '.join(map(str, j.ports))}" for n, j in enumerate(circuit.joints)}
        self.links = [*_lines(circuit, self), *_ways(circuit, self)]
        self.pipes = [link for link in self.links if link.pipe]

    def place(self, component: str, number: str) -> int | None:
        """Where a port is, None if nothing is connected to it."""
        return self._place.get((component, number))

    def used(self, component: str) -> list[str]:
        """Numbers of the connected ports of a component."""
        return self._used.get(component, [])

    def places(self, component: str) -> frozenset[int]:
        """Where the ports of a component are."""
        return frozenset(self._place[component, number] for number in self.used(component))

    def reach(self, places: Iterable[int], links: Collection[Link]) -> set[int]:
        """The places that air gets to from some places along some links; pilots do not count."""
        found: set[int] = set()
        new = set(places)
        while new:
            found |= new
            new = {out for link in links if link.inlets & new for out in link.outlets} - found
        return found

    def piped(self, component: str) -> set[int]:
        """The places that lines and open ways connect with a component."""
        return self.reach(self.places(component), self.pipes)

    def needs(self, sources: Collection[str], shut: Collection[str] = ()) -> dict[int, frozenset[str]]:
        """What each place cannot have air without: by place, the elements; a place without air is not in it.

        ``sources`` are the components that air comes from, ``shut`` the part types that stay shut.

        Notes
        -----
        The dominators of a flow graph, with the addition that a piloted way needs both its supply and its pilot: sets
        only shrink from round to round, and what is left when none does is what no way can do without.
        """
        found: dict[int, frozenset[str]] = {}
        for source in sources:
            for place in self.places(source):
                self._narrow(found, place, frozenset({source}))
        open_links = [link for link in self.links if link.kind not in shut]
        while any([self._pass(found, link) for link in open_links]):
            pass
        return found

    def _pass(self, found: dict[int, frozenset[str]], link: Link) -> bool:
        """Let air through a link; whether anything changed."""
        supply, pilot = _common(found, link.inlets), _common(found, link.pilots)
        if supply is None or (pilot is None and link.pilots):
            return False
        needed = supply | (pilot or frozenset()) | {link.element}
        return any([self._narrow(found, place, needed) for place in link.outlets])

    def _narrow(self, found: dict[int, frozenset[str]], place: int, needed: frozenset[str]) -> bool:
        if place in self._joints:
            needed |= {self._joints[place]}
        before = found.get(place)
        found[place] = needed if before is None else before & needed
        return found[place] != before


def _common(found: dict[int, frozenset[str]], places: Collection[int]) -> frozenset[str] | None:
    """What all of the places that have air need; None if none has."""
    sets = [found[place] for place in places if place in found]
    return frozenset.intersection(*sets) if sets else None


def _lines(circuit: Circuit, network: Network) -> Iterable[Link]:
    for name, line in circuit.lines.items():
        ends = [network.place(port.component, port.number) for port in (line.start, line.end)]
        both = frozenset(end for end in ends if end is not None)
        if not line.coupling:
            yield Link(name, name, "line", both, both, pipe=True)


def _ways(circuit: Circuit, network: Network) -> Iterable[Link]:
    for name, component in circuit.components.items():
        ways = passages(component.type, network.used(name))
        for way in ways:
            inlets, outlets, pilots = (
                frozenset(place for number in numbers if (place := network.place(name, number)) is not None)
                for numbers in (way.inlets, way.outlets, way.pilots)
            )
            element = name if len(ways) == 1 else f"{name}.{min(way.outlets)}"
            ends = (inlets | outlets,) * 2 if way.pipe else (inlets, outlets)
            yield Link(element, name, component.type, *ends, pilots, way.pipe)
