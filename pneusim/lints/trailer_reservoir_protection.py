"""Trailer reservoirs that empty through a lost supply line."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.lints.base import FROM_MEMORY, PRACTICE, TOWED, Lint, Seen, at
from pneusim.lints.unit import Unit

SOURCES = {"us": f"49 CFR 393.43(e), {FROM_MEMORY}", "un13": PRACTICE}


def find(unit: Unit) -> Iterator[Seen]:
    """Reservoirs that pipes alone connect with a front supply head."""
    heads = unit.heads("supply", "front")
    for reservoir in unit.all("reservoir"):
        piped = unit.network.piped(reservoir.name)
        head = next((head for head in heads if unit.network.places(head.name) & piped), None)
        if head:
            yield at(
                reservoir,
                f"the air of {reservoir.name} can flow back to {head.name}; a lost supply line must not empty it",
                f"put a check valve, a trailer spring-brake valve or a relay-emergency valve between {head.name} and "
                f"{reservoir.name}",
            )


LINT = Lint("W06", "A trailer's reservoir empties through a lost supply line.", SOURCES, find, TOWED)
