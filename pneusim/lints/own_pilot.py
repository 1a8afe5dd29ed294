"""A pilot taken from behind the gate that it moves."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.lints.base import CUSTOM, Lint, Seen, at
from pneusim.lints.unit import Unit

_ONE_WAY = ("check_valve", "double_check_valve")


def find(unit: Unit) -> Iterator[Seen]:
    """Valves whose delivery gets to their own control port through pipes and check valves."""
    links = [link for link in unit.network.links if link.pipe or link.kind in _ONE_WAY]
    names = {component.name for component in unit.components}
    for link in unit.network.links:
        if link.owner in names and link.pilots & unit.network.reach(link.outlets, links):
            yield at(
                unit.circuit.components[link.owner],
                f"the air that moves {link.owner} comes from its own delivery; what it lets through keeps it open, and "
                "it hunts as it shuts",
                "take the pilot from before the valve",
            )


LINT = Lint("W11", "A valve is moved by air from behind itself.", CUSTOM, find)
