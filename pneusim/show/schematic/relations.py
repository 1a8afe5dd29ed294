"""Which parts tell each other something without a line of the circuit."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.circuit.circuit import Circuit, Component


def signals(circuit: Circuit) -> Iterator[tuple[str, ...]]:
    """Every governor, the compressor that it governs, and the dryers that purge with it."""
    for name, item in circuit.components.items():
        compressor = _compressor_of(circuit, item) if item.type == "governor" else None
        if compressor:
            dryers = [other for other in circuit.components.values() if other.type == "air_dryer"]
            yield (name, compressor, *(one.name for one in dryers if _compressor_of(circuit, one) == compressor))


def _compressor_of(circuit: Circuit, item: Component) -> str | None:
    """The compressor that a part names, or the only one of its unit."""
    mates = [c.name for c in circuit.components.values() if c.type == "compressor" and c.unit == item.unit]
    named = item.parameters.get("compressor")
    return named if named in circuit.components else mates[0] if named is None and len(mates) == 1 else None
