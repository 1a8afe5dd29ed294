"""Supply and control crossed at a coupling."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.lints.base import CUSTOM, Lint, Seen
from pneusim.lints.unit import Unit


def find(unit: Unit) -> Iterator[Seen]:
    """Couplings that begin at the unit and join heads of two roles."""
    components = unit.circuit.components
    for line in unit.circuit.couplings.values():
        heads = [components[port.component] for port in (line.start, line.end)]
        roles = [unit.figure(head, "role") for head in heads]
        if heads[0].unit == unit.vehicle.name and roles[0] != roles[1]:
            yield Seen(
                line.place,
                f"couplings.{line.name}",
                f"{heads[0].name} is a {roles[0]} head and {heads[1].name} a {roles[1]} head",
                "couple heads of the same role; a step 'cross:' exchanges the lines in a scenario",
            )


LINT = Lint("W01", "A supply head is coupled to a control head.", CUSTOM, find)
