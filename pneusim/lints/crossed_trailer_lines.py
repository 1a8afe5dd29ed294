"""The two lines of a trailer exchanged between trailer control valve and coupling heads."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.lints.base import CUSTOM, Lint, Seen, at
from pneusim.lints.unit import Unit

OUTLETS = {"supply": "21", "control": "22"}  #: ports of a trailer control valve, by the role of what they feed


def find(unit: Unit) -> Iterator[Seen]:
    """Trailer control valves one of whose outlets gets by pipes to a head of the other role, not to its own."""
    network = unit.network
    for valve in unit.all("trailer_control_valve"):
        for head in unit.all("coupling_head"):
            role = str(unit.figure(head, "role"))
            places = network.places(head.name)
            reached = {
                wanted: (place := network.place(valve.name, number)) is not None
                and bool(network.reach([place], network.pipes) & places)
                for wanted, number in OUTLETS.items()
            }
            if any(reached.values()) and not reached[role]:
                yield at(
                    head,
                    f"{head.name} is a {role} head, but it hangs on the other outlet of {valve.name}",
                    f"lead it to {valve.name}.{OUTLETS[role]}",
                )


LINT = Lint("W14", "A coupling head hangs on the wrong outlet of the trailer control valve.", CUSTOM, find)
