"""Ways of air through a part by its port numbers (ISO 6786): from supply (1) to delivery (2), moved by control (4)."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

PIPES = frozenset({"tee", "reservoir", "stop_valve", "restriction", "coupling_head", "line_filter"})
"""Parts through which air passes either way, between any two ports."""


@dataclass(frozen=True)
class Passage:
    """Air that has come to one of ``inlets`` gets to ``outlets``, if one of ``pilots`` (where there are any) has air.

    ``pipe``: it passes either way.
    """

    inlets: frozenset[str]
    outlets: frozenset[str]
    pilots: frozenset[str] = frozenset()
    pipe: bool = False


def _way(inlets: str, outlets: str, pilots: str = "", pipe: bool = False) -> Passage:
    return Passage(frozenset(inlets.split()), frozenset(outlets.split()), frozenset(pilots.split()), pipe)


_DELIVERIES = " ".join(f"2{count}" for count in range(1, 10))
_OWN: dict[str, tuple[Passage, ...]] = {
    "supply": (),
    "atmosphere": (),
    "foot_valve": (_way("11", "21"), _way("12", "22")),
    "tractor_protection_valve": (_way("11", "21", pipe=True), _way("12", "22", "11")),
    "bobtail_valve": (_way("1", _DELIVERIES, "41"),),
    "trailer_control_valve": (_way("11", "21"), _way("11", "22", "41 42 43")),
    "relay_emergency_valve": (_way("1", "1-2"), _way("1-2", _DELIVERIES, "4")),
    "park_release_control": (_way("11", "21"), _way("12 13", "22")),
    "spring_modulating_valve": (_way("1", _DELIVERIES, "43"),),
}
"""Parts that the rule of the numbers does not fit."""


def passages(kind: str, used: Collection[str]) -> list[Passage]:
    """The ways through a part of a type whose ports ``used`` are connected.

    Examples
    --------
    >>> [way] = passages("relay_valve", ["1", "21", "4"])
    >>> sorted(way.inlets), sorted(way.outlets), sorted(way.pilots)
    (['1'], ['21'], ['4'])
    """
    ports = frozenset(used)
    if kind in PIPES:
        return [Passage(ports, ports, pipe=True)]
    inlets, outlets, pilots = (frozenset(port for port in ports if port[0] == digit) for digit in "124")
    ways = _OWN.get(kind, (Passage(inlets, outlets, pilots),))
    cut = [Passage(way.inlets & ports, way.outlets & ports, way.pilots & ports, way.pipe) for way in ways]
    return [way for way in cut if way.inlets and way.outlets]
