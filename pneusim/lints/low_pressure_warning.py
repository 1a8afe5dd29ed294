"""Service reservoirs whose loss nobody is told."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.lints.base import FROM_MEMORY, POWERED, Lint, Seen, at
from pneusim.lints.unit import Unit

SOURCES = {"us": f"49 CFR 571.121 S5.1.5, {FROM_MEMORY}", "un13": f"UN R13 5.2.1.13, {FROM_MEMORY}"}


def find(unit: Unit) -> Iterator[Seen]:
    """Service reservoirs that no pressure switch senses through pipes."""
    sensed = {unit.network.place(switch.name, "1") for switch in unit.all("pressure_switch")}
    for reservoir in unit.service_reservoirs:
        if not sensed & unit.network.piped(reservoir.name):
            yield at(
                reservoir,
                f"no pressure switch senses {reservoir.name}; the driver must be warned of low pressure in every "
                "service reservoir",
                f"join a component of type pressure_switch to {reservoir.name}",
            )


LINT = Lint("W05", "A service reservoir has no low-pressure switch.", SOURCES, find, POWERED)
