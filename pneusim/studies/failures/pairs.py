"""Pairs of failures that may do more than each alone, by the graph of the circuit.

Two failures of which each leaves a port of a brake its air may together take it.  And what nobody notices by itself may
matter with another failure: a dead warning switch with a loss of the air that it watches, a valve that no longer shuts
with a loss of air on either of its sides.

The graph tells where air gets to from the reservoirs with the pedal down.  What is blocked or stuck shut is no way any
more; what breaks empties all places whose air gets to it with the pedal up.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from pneusim.circuit.braking import ACTUATORS
from pneusim.circuit.circuit import Circuit
from pneusim.lints.network import Link, Network
from pneusim.studies.failures.failure import Failure, together

SPENDS = ("broken_middle", "lost", "separated")
"""What empties a place."""

CUTS = ("stuck_shut", "stuck", "cock_forgotten_shut", "blocked")
"""What shuts a way: of an element that cannot spend air, the first of these."""

SLEEPING = ("stuck_open", "stuck_open_21", "stuck_open_22", "stuck_open_23", "stuck_open_24", "dead")
SLEEPERS = ("check_valve", "protection_valve", "four_circuit_valve", "pressure_switch")
"""Faults that nobody notices as long as all else works, and the parts concerned."""

SOURCES = ("reservoir", "supply")
SHUT = ("hand_valve",)
"""What stays shut in the drive cycle."""

AT_REST = ("foot_valve", "hand_valve")
"""What is shut with the pedal up, beside the ways that a pilot opens."""


@dataclass(frozen=True)
class Effect:
    """What a failure does to the graph: places without air, and owners of ways that are shut."""

    dead: frozenset[int] = frozenset()
    shut: frozenset[str] = frozenset()

    def __or__(self, other: Effect) -> Effect:
        return Effect(self.dead | other.dead, self.shut | other.shut)


def pairs_of(circuit: Circuit, single: Sequence[Failure]) -> list[Failure]:
    """Pairs of single failures worth running, each once, in the order of the circuit."""
    graph = _Graph(circuit)
    found = {(a.id, b.id): together(a, b) for a, b in (*_cuts(graph, single), *_sleepers(graph, single))}
    return list(found.values())


def _cuts(graph: _Graph, single: Sequence[Failure]) -> Iterator[tuple[Failure, Failure]]:
    """Pairs that together take the air of a port that each alone leaves it."""
    effects = [(failure, graph.effect(failure)) for failure in _one_each(single)]
    left = {failure.id: graph.fed(effect) for failure, effect in effects}
    for (a, first), (b, second) in combinations(effects, 2):
        both = left[a.id] & left[b.id]
        if both and not both <= graph.fed(first | second):
            yield a, b


def _one_each(single: Sequence[Failure]) -> list[Failure]:
    """Of every element the failure that takes the most air."""
    found: dict[str, Failure] = {}
    for what in (*SPENDS, *CUTS):
        for failure in single:
            if failure.id.rpartition(".")[2] == what and len(failure.targets) == 1 and not failure.parted:
                found.setdefault(failure.targets[0], failure)
    return list(found.values())


def _sleepers(graph: _Graph, single: Sequence[Failure]) -> Iterator[tuple[Failure, Failure]]:
    """What nobody notices, with every loss of air beside it."""
    spent = [(failure, graph.effect(failure).dead) for failure in single if failure.id.rpartition(".")[2] in SPENDS]
    for failure in single:
        name, _, what = failure.id.rpartition(".")
        component = graph.circuit.components.get(name)
        if component is not None and component.type in SLEEPERS and what in SLEEPING:
            places = graph.network.places(name)
            yield from ((failure, other) for other, dead in spent if places & dead and not other.parted)


class _Graph:
    """Where air gets to in a circuit with some failures."""

    def __init__(self, circuit: Circuit) -> None:
        self.circuit = circuit
        joined = {name: replace(line, coupling=False) for name, line in circuit.lines.items()}
        self.network = Network(replace(circuit, lines=joined))
        self._links = [link for link in self.network.links if link.kind not in SHUT]
        self._open = [link for link in self.network.links if not link.pilots and link.kind not in AT_REST]
        self._sources = {
            name: self.network.places(name) for name, c in circuit.components.items() if c.type in SOURCES
        }
        brakes = [name for name, c in circuit.components.items() if c.type in ACTUATORS]
        self._ports = frozenset(
            place for name in brakes for number in self.network.used(name)
            if (place := self.network.place(name, number)) is not None
        )  # fmt: skip

    def effect(self, failure: Failure) -> Effect:
        """What a failure does."""
        [target] = failure.targets[:1]
        if failure.id.rpartition(".")[2] not in SPENDS:
            return Effect(shut=frozenset({target}))
        own = {place for link in self.network.links if link.owner == target for place in link.inlets | link.outlets}
        return Effect(frozenset(self._upstream(own | self._sources.get(target, frozenset()))))

    def _upstream(self, places: Collection[int]) -> set[int]:
        """Places whose air gets to some places with the pedal up, and these."""
        found: set[int] = set()
        new = set(places)
        while new:
            found |= new
            new = {place for link in self._open if link.outlets & new for place in link.inlets} - found
        return found

    def fed(self, effect: Effect) -> frozenset[int]:
        """Ports of brakes that air gets to with the pedal down."""
        aired = {p for places in self._sources.values() for p in places} - effect.dead
        links = [link for link in self._links if link.owner not in effect.shut]
        grown = True
        while grown:
            grown = False
            for link in links:
                new = link.outlets - effect.dead - aired
                if new and _passes(link, aired):
                    aired |= new
                    grown = True
        return self._ports & aired


def _passes(link: Link, aired: set[int]) -> bool:
    return bool(link.inlets & aired) and (not link.pilots or bool(link.pilots & aired))
