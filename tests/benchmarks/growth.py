"""How the time grows with the number of vessels in a row and with the cells of a line."""

from __future__ import annotations

import sys

import numpy as np

from pneusim.engine.assembly import ATMOSPHERE, Assembly
from pneusim.engine.lines import LineSpec, add_line
from pneusim.engine.machine import Machine
from tests.benchmarks.measure import Ready, Target, run, show

PA, ROOM = 101_325.0, 293.15
VESSELS = (10, 30, 100, 300, 1000)
CELLS = (2, 4, 8, 16, 32, 64)
EXPONENT = 1.2


def vessels(count: int) -> Ready:
    """One-litre vessels in a row, the first at 8 bar, adiabatic: 20 s of filling."""
    a = Assembly(PA, ROOM)
    nodes = [a.node(f"vessel_{k}") for k in range(count)]
    for k, node in enumerate(nodes):
        a.air(node, 1e-3, 0.0, 7e5 if k == 0 else 0.0)
    for k in range(count - 1):
        a.restriction("valve", nodes[k], nodes[k + 1], 2e-8, 0.3)
    pressures = [a.nodes[node].p for node in nodes]
    machine = Machine.of(a)
    return Ready(machine, [machine.place(p) for p in pressures], (), 20.0)


def lines(cells: int) -> Ready:
    """Ten lines of 3 m in a row with small volumes between, blown down through a valve: 5 s."""
    a = Assembly(PA, ROOM)
    nodes = [a.node(f"node_{k}") for k in range(11)]
    for k, node in enumerate(nodes):
        a.air(node, 5e-3 if k == 0 else 2e-4, 40.0, 7e5)
    for k in range(10):
        spec = LineSpec(f"line_{k}", 3.0, 9e-3, 1.5e-6, cells=cells)
        add_line(a, spec, nodes[k], nodes[k + 1])
    opening = a.tape.setting("valve", 0.0)
    a.restriction("valve", nodes[-1], ATMOSPHERE, 4e-8, 0.3, opening)
    pressures = [a.nodes[node].p for node in nodes]
    machine = Machine.of(a)
    return Ready(machine, [machine.place(p) for p in pressures], [(0.5, lambda: machine.set(opening, 1.0))], 5.0)


def exponent(sizes: list[int], seconds: list[float]) -> float:
    """Growth between the first and the last size, N to this power."""
    return float(np.log(seconds[-1] / seconds[0]) / np.log(sizes[-1] / sizes[0]))


def main() -> bool:
    """Measure both series."""
    met = True
    series = (("Vessels in a row, 20 s", vessels, VESSELS), ("Cells in each of ten lines, 5 s", lines, CELLS))
    for title, make, sizes in series:
        rows, seconds = [], []
        for size in sizes:
            found = run(lambda size=size, make=make: make(size), 1e-4, repeats=5 if size < 300 else 2, step=0.05)
            seconds.append(found.seconds)
            attempts = found.accepted + found.rejected
            states = len(found.machine.state)
            rows.append([size, states, attempts, f"{1e3 * found.seconds:.2f}", f"{1e6 * found.seconds / attempts:.1f}"])
        power = exponent(list(sizes), seconds)
        target = Target("exponent of the growth, first to last", power, EXPONENT, least=False)
        met &= show(title, ("size", "states", "attempts", "CPU ms", "us per attempt"), rows, [target])
    return met


if __name__ == "__main__":
    sys.exit(0 if main() else 1)
