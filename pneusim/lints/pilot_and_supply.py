"""A relay whose supply and pilot come from one pipe."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.lints.base import CUSTOM, Lint, Seen, at
from pneusim.lints.unit import Unit
from pneusim.parts._relay import Relay
from pneusim.parts.registry import part


def find(unit: Unit) -> Iterator[Seen]:
    """Relays whose supply and control port hang on one pipe without a reservoir between."""
    network = unit.network
    pipes = [link for link in network.pipes if link.kind != "reservoir"]
    names = {component.name for component in unit.components}
    for link in network.links:
        if link.owner not in names or not link.pilots or not issubclass(part(link.kind), Relay):
            continue
        if link.pilots & network.reach(link.inlets, pipes):
            yield at(
                unit.circuit.components[link.owner],
                f"{link.owner} draws its supply from the pipe that also moves it; when it opens, its own draw lowers "
                "its pilot, and it hunts",
                "feed its supply port from a reservoir",
            )


LINT = Lint("W13", "A relay draws from the pipe that is its pilot.", CUSTOM, find)
