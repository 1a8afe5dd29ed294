"""Service reservoirs that empty when what feeds them is lost."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.lints.base import FROM_MEMORY, POWERED, PRACTICE, Lint, Seen, at
from pneusim.lints.unit import Unit

SOURCES = {"us": f"49 CFR 571.121 S5.1.2.3, {FROM_MEMORY}", "un13": PRACTICE}


def find(unit: Unit) -> Iterator[Seen]:
    """Service reservoirs that pipes alone connect with the supply side; two tanks of one circuit are one."""
    upstream = [
        *(r for r in unit.all("reservoir") if not unit.figure(r, "service")),
        *unit.all("compressor", "supply"),
    ]
    for reservoir in unit.service_reservoirs:
        piped = unit.network.piped(reservoir.name)
        open_to = next((part for part in upstream if unit.network.places(part.name) & piped), None)
        if open_to:
            yield at(
                reservoir,
                f"nothing keeps the air of {reservoir.name} when {open_to.name} loses its own; every service reservoir "
                "must be protected from what happens upstream",
                f"put a check valve or a protection valve between {open_to.name} and {reservoir.name}",
            )


LINT = Lint("W04", "A service reservoir is not protected from a loss upstream.", SOURCES, find, POWERED)
