"""Failures that are alike: the graphs of their cases are isomorphic, so that one run tells both.

The row of the twin is the image of the row that was run: every name in it is replaced by its partner.  The isomorphism
is found by networkx (VF2++) on graphs whose nodes have been coloured by refinement, and checked edge by edge.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from pneusim.circuit.circuit import Circuit
from pneusim.studies.failures.cycle import Cycle
from pneusim.studies.failures.failure import Failure, failed
from pneusim.studies.failures.portrait import Node, Portrait, Unlabelled

ROUNDS = 64
"""Rounds of refinement at most; it ends when no colour divides any more."""


@dataclass(frozen=True)
class Twin:
    """What a failure is like: the index of the one to be run, and by its components the names of one's own."""

    first: int
    names: Mapping[str, str]


def twins(circuit: Circuit, cycle: Cycle, failures: Sequence[Failure]) -> list[Twin]:
    """For every failure the first one that it is like; itself, if it is like none before it."""
    painter, own = _Painter(), {name: name for name in circuit.components}
    found = {index: Twin(index, own) for index in range(len(failures))}
    for hinted in _hinted(circuit, cycle, failures, painter):
        known: dict[Any, list[tuple[int, Portrait, Mapping[Node, int]]]] = {}
        for index in hinted:
            portrait = Portrait(*failed(circuit, cycle.scenario, failures[index], cycle.fails))
            colours = painter.paint(portrait)
            alike = known.setdefault(tuple(sorted(colours.values())), [])
            for first, other, painted in alike:
                if partners := isomorphism(other, portrait, painted, colours):
                    found[index] = Twin(first, {a[1]: b[1] for a, b in partners.items() if a[0] == "part"})
                    break
            else:
                alike.append((index, portrait, colours))
    return [found[index] for index in range(len(failures))]


def _hinted(circuit: Circuit, cycle: Cycle, failures: Sequence[Failure], painter: _Painter) -> list[list[int]]:
    """Failures that may be alike: of one kind, and what they concern has one colour in the intact vehicle."""
    try:
        colours = painter.paint(Portrait(circuit, cycle.scenario))
    except Unlabelled:
        return []
    by_name = {node[1]: colour for node, colour in colours.items() if node[0] in ("part", "line", "vehicle")}
    groups: dict[Any, list[int]] = {}
    for index, failure in enumerate(failures):
        kind, what = failure.kind, failure.id.rpartition(".")[2]
        groups.setdefault((kind, what, *(by_name[target] for target in failure.targets)), []).append(index)
    return [group for group in groups.values() if len(group) > 1]


def isomorphism(
    first: Portrait, second: Portrait, colours: Mapping[Node, int], others: Mapping[Node, int]
) -> dict[Node, Node] | None:
    """Nodes of the first by nodes of the second so that labels and edges agree; None if there is no such map."""
    import networkx

    numbers = networkx.vf2pp_isomorphism(first.graph(colours), second.graph(others), node_label="colour")
    if not numbers:
        return None
    ours, theirs = list(first.labels), list(second.labels)
    found = {ours[a]: theirs[b] for a, b in sorted(numbers.items())}
    return found if _holds(found, first, second) else None


def image(value: Any, names: Mapping[str, str]) -> Any:
    """Plain data with all component names that are keys or entries replaced."""
    if isinstance(value, Mapping):
        return {names.get(key, key): image(item, names) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [image(item, names) for item in value]
    return names.get(value, value) if isinstance(value, str) else value


def _holds(found: Mapping[Node, Node], first: Portrait, second: Portrait) -> bool:
    """Whether a map takes labels to equal labels and neighbours to neighbours, one to one."""
    return (
        found.keys() == first.labels.keys()
        and set(found.values()) == second.labels.keys()
        and all(first.labels[a] == second.labels[b] for a, b in found.items())
        and all({found[n] for n in first.neighbours[a]} == second.neighbours[b] for a, b in found.items())
    )


class _Painter:
    """Gives equal nodes equal colours across all portraits: by label, then by the colours of the neighbours."""

    def __init__(self) -> None:
        self._colours: dict[Any, int] = {}

    def paint(self, portrait: Portrait) -> dict[Node, int]:
        """Colours by node when a further round divides none."""
        now = {node: self._colour(label) for node, label in portrait.labels.items()}
        count = len(set(now.values()))
        for _ in range(ROUNDS):
            now = {n: self._colour((c, *_sorted(now, portrait.neighbours[n]))) for n, c in now.items()}
            if len(set(now.values())) == count:
                break
            count = len(set(now.values()))
        return now

    def _colour(self, what: Any) -> int:
        return self._colours.setdefault(what, len(self._colours))


def _sorted(colours: Mapping[Node, int], nodes: Iterable[Node]) -> Sequence[int]:
    return sorted(colours[node] for node in nodes)
