"""Ways of air through a part: those it declares, or by its port numbers (ISO 6786) from 1 to 2, opened by 4."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from pneusim.parts.base import Way
from pneusim.parts.registry import part


@dataclass(frozen=True)
class Passage:
    """Air that has come to one of ``inlets`` gets to ``outlets``, if one of ``pilots`` (where there are any) has air.

    ``pipe``: it passes either way.
    """

    inlets: frozenset[str]
    outlets: frozenset[str]
    pilots: frozenset[str] = frozenset()
    pipe: bool = False


def passages(kind: str, used: Collection[str]) -> list[Passage]:
    """The ways through a part of a type whose ports ``used`` are connected.

    Examples
    --------
    >>> [way] = passages("relay_valve", ["1", "21", "4"])
    >>> sorted(way.inlets), sorted(way.outlets), sorted(way.pilots)
    (['1'], ['21'], ['4'])
    """
    ports, model = frozenset(used), part(kind)
    if model.pipe:
        return [Passage(ports, ports, pipe=True)]
    if model.ways is None:
        inlets, outlets, pilots = (frozenset(port for port in ports if port[0] == digit) for digit in "124")
        ways = [Passage(inlets, outlets, pilots)]
    else:
        ways = [_cut(way, ports) for way in model.ways]
    return [way for way in ways if way.inlets and way.outlets]


def _cut(way: Way, ports: frozenset[str]) -> Passage:
    """The connected ports of a way."""
    inlets, outlets, pilots = (
        frozenset(port for word in words.split() for port in ports if port == word or (word == "2x" and port[0] == "2"))
        for words in (way.inlets, way.outlets, way.pilots)
    )
    return Passage(inlets, outlets, pilots, way.pipe)
