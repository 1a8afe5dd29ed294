"""How long the schematic of a combination takes, with its places pinned and without."""

from __future__ import annotations

import time
from dataclasses import replace

from pneusim import reading
from pneusim.circuit.circuit import Circuit
from pneusim.show.schematic.layout import lay_out
from pneusim.show.schematic.render import svg
from pneusim.show.schematic.sheet import sheet
from tests.benchmarks.measure import Target, show

CIRCUIT = "tractor-semitrailer"
PINNED, FREE = 2.0, 6.0
"""Aims [s]."""


def without_pins(circuit: Circuit) -> Circuit:
    """A circuit whose places must be searched for."""
    parts = {name: replace(part, pos=None) for name, part in circuit.components.items()}
    return replace(circuit, components=parts, layout={})


def main() -> bool:
    """Measure both; nothing is read from the cache."""
    circuit = reading.load(reading.find_shipped(CIRCUIT))
    rows, targets = [], []
    for words, made, aim in (("pinned", circuit, PINNED), ("not pinned", without_pins(circuit), FREE)):
        begin = time.process_time()
        text = svg(lay_out(sheet(made)))
        seconds = time.process_time() - begin
        size = f"{len(text) / 1000:.0f}"
        rows.append([CIRCUIT, words, len(made.components), len(made.lines), size, f"{seconds:.2f}"])
        targets.append(Target(f"{CIRCUIT} drawn, {words} [s]", seconds, aim, least=False))
    return show("drawing", ["circuit", "places", "parts", "lines", "SVG [kB]", "CPU [s]"], rows, targets)
