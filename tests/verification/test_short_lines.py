"""Short, wide lines under a sudden full-bore step: one steady state, and no cell runs dry on the way to it."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import brentq

from pneusim.physics.constants import KAPPA, R
from tests.engine.bench import ATMOSPHERE, PA, ROOM, Bench

FACTOR = 0.02


def fanno(mach: float) -> float:
    """f L*/D of Fanno flow, closed form."""
    square = mach * mach
    term = (KAPPA + 1.0) * square / (2.0 + (KAPPA - 1.0) * square)
    return (1.0 - square) / (KAPPA * square) + (KAPPA + 1.0) / (2.0 * KAPPA) * math.log(term)


def choked_flow(p0: float, length: float, bore: float) -> float:
    """Mass flow [kg/s] from a reservoir through a duct that is sonic at its end, without entrance loss."""
    mach = brentq(lambda m: fanno(m) - FACTOR * length / bore, 1e-3, 1.0 - 1e-9)
    stagnation = (1.0 + 0.5 * (KAPPA - 1.0) * mach**2) ** (-0.5 * (KAPPA + 1.0) / (KAPPA - 1.0))
    return p0 * math.sqrt(KAPPA / (R * ROOM)) * mach * stagnation * math.pi / 4.0 * bore**2


@pytest.mark.parametrize("cells", [2, 8, 16])
@pytest.mark.parametrize(("length", "bore"), [(0.2, 13e-3), (0.3, 9e-3), (0.5, 13e-3), (1.0, 6e-3)])
def test_flow_is_that_of_fanno_whether_the_line_was_empty_or_full(length, bore, cells):
    """A staggered momentum balance has a supersonic branch, with up to 30 % more flow; it must not be taken."""
    p0, flows = 9e5, []
    for start in (PA, p0):
        bench = Bench()
        source, _ = bench.source("source", p0 - PA)
        line = bench.line("line", source, ATMOSPHERE, length, bore, cells=cells, friction_factor=FACTOR, film=0.0)
        machine = bench.machine()
        machine.set_field(line.faces[0], "loss_k", 0.0)
        for cell in line.cells:
            machine.set_state(cell.mass, start * cell.volume / (R * ROOM))
            machine.set_state(cell.energy, start * cell.volume / (KAPPA - 1.0))
        flows.append(bench.run(1.0, machine)["line.in"][-1])
    assert flows[0] == pytest.approx(flows[1], rel=1e-4)
    assert flows[0] == pytest.approx(choked_flow(p0, length, bore), rel=0.06 if cells == 2 else 0.035)


@pytest.mark.parametrize("fault_at", [None, 0.5])
@pytest.mark.parametrize("pressure", [5e5, 7e5, 10e5])
@pytest.mark.parametrize(("length", "bore"), [(0.2, 6e-3), (0.2, 13e-3), (0.5, 9e-3), (1.0, 13e-3)])
def test_a_full_reservoir_opens_into_an_empty_one(length, bore, pressure, fault_at):
    bench = Bench()
    empty, full = bench.volume("empty", 20e-3, 0.0, 25.0), bench.volume("full", 20e-3, pressure, 25.0)
    line = bench.line("line", empty, full, length, bore, fault_at=fault_at)  # its cells begin as the empty end
    for k, cell in enumerate(line.cells):
        bench.watch |= {f"p{k}": cell.p, f"T{k}": cell.T}
    run = bench.run(0.3)
    for k in range(len(line.cells)):
        assert run[f"p{k}"].min() > 0.5 * PA
        assert run[f"T{k}"].min() > 100.0
    assert np.all(run["line.out"] < 1e-3)
    assert run["empty"][-1] > 1e4
