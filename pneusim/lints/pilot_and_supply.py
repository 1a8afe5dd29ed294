"""A relay whose supply and pilot come from one pipe."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.lints.base import CUSTOM, Lint, Seen, at
from pneusim.lints.unit import Unit

_RELAYS = ("relay_valve", "ratio_relay_valve", "two_port_relay_valve", "bobtail_valve")


def find(unit: Unit) -> Iterator[Seen]:
    """Relays whose supply and control port hang on one pipe without a reservoir between."""
    network = unit.network
    pipes = [link for link in network.pipes if link.kind != "reservoir"]
    names = {component.name for component in unit.components}
    for link in network.links:
        if link.owner in names and link.kind in _RELAYS and link.pilots & network.reach(link.inlets, pipes):
            yield at(
                unit.circuit.components[link.owner],
                f"{link.owner} draws its supply from the pipe that also moves it; when it opens, its own draw lowers "
                "its pilot, and it hunts",
                "feed its supply port from a reservoir",
            )


LINT = Lint("W13", "A relay draws from the pipe that is its pilot.", CUSTOM, find)
