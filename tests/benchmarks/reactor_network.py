"""A hundred vessels in a row against Cantera's reactor network, both with one tabulated law of the pressure difference.

Cantera evaluates the table in its own compiled code (`Func1`, "tabulated-linear"); ours is a table of the tape.
"""

from __future__ import annotations

import sys
import time
from itertools import pairwise

import cantera as ct
import numpy as np

from pneusim.engine.assembly import Assembly
from pneusim.engine.machine import Machine
from pneusim.physics.constants import CP, KAPPA, R
from tests.benchmarks.measure import Error, Floats, Ready, Target, run, show, times

PA, ROOM, VOLUME, FULL = 101_325.0, 293.15, 1e-3, 8e5
COUNT, LASTS, STEP = 100, 20.0, 0.05
DIFFERENCES = np.concatenate([[0.0], np.geomspace(100.0, 8e5, 9)])
FLOWS = 1e-5 * DIFFERENCES / (DIFFERENCES**2 + 1e6) ** 0.25
AIR = f"""
elements:
- {{symbol: Xx, atomic-weight: {ct.gas_constant / R:.12f}}}
phases:
- {{name: air, thermo: ideal-gas, elements: [Xx], species: [AIR]}}
species:
- name: AIR
  composition: {{Xx: 1}}
  thermo: {{model: constant-cp, T0: 293.15, h0: 0.0, s0: 0.0, cp0: {ct.gas_constant * KAPPA / (KAPPA - 1.0):.12e}}}
"""


def ours() -> Ready:
    """The row on our tape; the flow only goes to the right, so it carries the heat of its left vessel."""
    a = Assembly(PA, ROOM)
    nodes = [a.node(f"vessel_{k}") for k in range(COUNT)]
    for k, node in enumerate(nodes):
        a.air(node, VOLUME, 0.0, FULL - PA if k == 0 else 0.0)
    points = list(zip(DIFFERENCES.tolist(), FLOWS.tolist(), strict=True))
    for left, right in pairwise(nodes):
        one, other = a.nodes[left], a.nodes[right]
        q = a.table(a.affine(0.0, (1.0, one.p), (-1.0, other.p)), points)
        h = a.affine(0.0, (CP, a.product(q, one.T)))
        one.flows.append((-1.0, q, h))
        other.flows.append((1.0, q, h))
    pressures = [a.nodes[node].p for node in nodes]
    machine = Machine.of(a)
    return Ready(machine, [machine.place(p) for p in pressures], (), LASTS)


def cantera(rtol: float) -> tuple[Floats, float]:
    """Pressures on the grid and CPU time [s] of Cantera, set-up aside."""
    reactors = []
    for k in range(COUNT):
        gas = ct.Solution(yaml=AIR)
        gas.TP = ROOM, FULL if k == 0 else PA
        reactors.append(ct.IdealGasReactor(gas, volume=VOLUME, clone=False))
    valves = []
    for left, right in pairwise(reactors):
        valve = ct.Valve(left, right, K=1.0)
        valve.pressure_function = ct.Func1("tabulated-linear", DIFFERENCES, FLOWS)
        valves.append(valve)
    network = ct.ReactorNet(reactors)
    network.rtol, network.atol = rtol, 1e-4 * rtol
    grid = times(LASTS, STEP)
    found = np.empty((len(grid), COUNT))
    begin = time.process_time()
    for i, t in enumerate(grid):
        if t > 0.0:
            network.advance(t)
        found[i] = [reactor.phase.P for reactor in reactors]
    return found, time.process_time() - begin


def main() -> bool:
    """Measure both against a sharp run of ours."""
    reference = run(ours, 1e-8, repeats=1, step=STEP).values
    mine = run(ours, 1e-4, repeats=5, step=STEP)
    theirs, seconds = cantera(1e-4)
    error, other = Error.of(mine.values, reference), Error.of(theirs, reference)
    rows = [
        ["ours, 1e-4", f"{mine.seconds:.4f}", str(error)],
        ["Cantera, 1e-4", f"{seconds:.3f}", str(other)],
    ]
    targets = [
        Target("times faster than Cantera", seconds / mine.seconds, 200.0),
        Target("our largest error over Cantera's", error.largest / other.largest, 1.0, least=False),
    ]
    return show(
        f"{COUNT} vessels in a row, one law of the pressure difference, {LASTS:.0f} s",
        ("engine", "CPU s", "error kPa: largest / p99.9 / rms"), rows, targets,
    )  # fmt: skip


if __name__ == "__main__":
    sys.exit(0 if main() else 1)
