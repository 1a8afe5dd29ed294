"""Pipe flow against the general library fluids (Bell and others): friction, isothermal pipes and sonic flow."""

from __future__ import annotations

import math

import fluids
import pytest

from pneusim.physics.constants import KAPPA, R
from pneusim.physics.flow import hole_conductance, iso6358
from pneusim.physics.friction import churchill
from tests.engine.bench import ATMOSPHERE, PA, Bench

BORE, LENGTH, FACTOR, ROOM = 9e-3, 12.0, 0.02, 293.15
ISOTHERMAL_FILM, STATIC_INLET = 2e4, -1.0


@pytest.mark.parametrize("roughness", [0.0, 1.5e-6, 10e-6])
@pytest.mark.parametrize("reynolds", [2e2, 1e3, 5e3, 2e4, 1e5, 5e5])
def test_friction_factor_is_that_of_churchill_and_near_that_of_colebrook(reynolds: float, roughness: float) -> None:
    ours = churchill(reynolds, roughness / BORE)
    assert ours == pytest.approx(fluids.friction.Churchill_1977(reynolds, roughness / BORE), rel=1e-6)
    if reynolds > 4e3:
        assert ours == pytest.approx(fluids.friction_factor(reynolds, roughness / BORE), rel=0.04)


@pytest.mark.parametrize("back", [8.5e5, 8e5, 7e5])
def test_isothermal_pipe_flow(back: float) -> None:
    """Static pressures at both ends, run until it is steady; the library takes the density at the inlet."""
    supply = 9e5
    bench = Bench(back, ROOM)
    source, _ = bench.source("source", supply - back)
    line = bench.line("pipe", source, ATMOSPHERE, LENGTH, BORE, cells=16, friction_factor=FACTOR, film=ISOTHERMAL_FILM)
    machine = bench.machine()
    machine.set_field(line.faces[0], "loss_k", STATIC_INLET)
    ours = bench.run(4.0, machine, rtol=1e-6)["pipe.out"][-1]
    rho = supply / (R * ROOM)
    theirs = fluids.isothermal_gas(rho=rho, fd=FACTOR, P1=supply, P2=back, L=LENGTH, D=BORE)
    assert abs(ours) == pytest.approx(theirs, rel=0.005)


@pytest.mark.parametrize("pressure", [3e5, 6e5, 9e5])
def test_sonic_flow_of_a_hole(pressure: float) -> None:
    """Density and speed of sound at the critical state of an isentropic nozzle, in the library's words."""
    p = fluids.P_critical_flow(pressure, KAPPA)
    T = fluids.T_critical_flow(ROOM, KAPPA)
    assert fluids.is_critical_flow(pressure, PA, KAPPA)
    theirs = p / (R * T) * math.sqrt(KAPPA * R * T) * math.pi / 4.0 * BORE**2
    ours = iso6358(pressure, ROOM, PA, ROOM, hole_conductance(BORE, 1.0), 0.528, 20.0)
    assert ours == pytest.approx(theirs, rel=1e-5)
