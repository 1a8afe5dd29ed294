"""Test rigs of the regulations, run by the engine.

The times of both rigs are from memory, to be read against the official texts (`shared/references/rigs.yaml`); the
volumes and pressures of the UN R13 simulator were seen.  So these hold the rigs' consistency; until the times are read
they validate nothing.
"""

from __future__ import annotations

import math

import pytest

from pneusim.physics.plain import hole_conductance
from tests.engine.bench import ADIABATIC, ATMOSPHERE, PA, Bench
from tests.reference_figures import Figure, figure

NOZZLE_RATIO = 0.528
CAN_FILM = 20.0  # W/(m2 K), inside the band that fits the rig
EFFECTIVE_AREA = 9.25e-6  # discharge coefficient times hole of the simulator's orifice [m2]
PIPE_BORE = 13e-3


def of_area(area: float) -> float:
    return hole_conductance(math.sqrt(4.0 * area / math.pi), 1.0)


def can_wall(volume: float) -> float:
    """Wall conductance of a can as long as wide [W/K]."""
    return CAN_FILM * 1.5 * math.pi * (4.0 * volume / math.pi) ** (2.0 / 3.0)


@pytest.mark.parametrize("cells", [None, 16])
@pytest.mark.parametrize("name", ["un13_simulator_385", "un13_simulator_1155"])
def test_un13_simulator_with_its_pipe(name: str, cells: int | None):
    """Orifice, 385 cm3 of 13 mm pipe with turbulent wall heat, can.

    The tap is in the wall of the pipe behind the orifice: it reads the static pressure of the first cell.
    """
    f = figure(name)
    bench = Bench()
    source = bench.walled("source", f["source"], can_wall(f["source"]), f["supply"])
    behind = bench.volume("behind", 0.0)
    can = bench.walled("can", f["volume"], can_wall(f["volume"]))
    bench.valve("orifice", source, behind, of_area(EFFECTIVE_AREA), NOZZLE_RATIO)
    length = f["pipe"] / (math.pi / 4.0 * PIPE_BORE**2)
    pipe = bench.line("pipe", behind, can, length, PIPE_BORE, cells=cells)
    tap = bench.a.affine(-PA, (1.0, pipe.cells[0].p))
    for level in ("from", "to"):
        bench.passes(level, tap, f[level], 1.0)
    run = bench.run(1.0, rtol=1e-5)
    f.check(run.when("to") - run.when("from"))


@pytest.fixture
def former_us_rig() -> dict[str, Figure]:
    return {"fill": figure("us121_old_rig_apply"), "empty": figure("us121_old_rig_release")}


def test_one_conductance_serves_both_times_of_the_former_us_rig(former_us_rig):
    conductance = 5.3e-8
    f = former_us_rig["fill"]
    bench = Bench()
    source = bench.volume("source", f["source"], f["supply"], ADIABATIC)
    vessel = bench.volume("vessel", f["volume"], f["start"], ADIABATIC)
    bench.valve("valve", source, vessel, conductance, NOZZLE_RATIO)
    bench.passes("full", bench.watch["vessel"], f["end"], 1.0)
    f.check(bench.run(0.3, rtol=1e-6).when("full"))

    f = former_us_rig["empty"]
    bench = Bench()
    vessel = bench.volume("vessel", f["volume"], f["start"], ADIABATIC)
    bench.valve("valve", vessel, ATMOSPHERE, conductance, NOZZLE_RATIO)
    bench.passes("empty", bench.watch["vessel"], f["end"], -1.0)
    f.check(bench.run(0.6, rtol=1e-6).when("empty"))
